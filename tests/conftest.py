"""Shared by all tests: nothing here reaches the network or the user's own files."""

import os
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "diagnosis"))
os.environ.setdefault("TIPWARD_CASEBOOK", str(Path(__file__).parent / "never-used.db"))
