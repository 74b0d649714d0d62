"""``tipward --help`` loads neither numpy nor SQL: what makes it quick is tested, the time itself is measured in benchmarks."""

import subprocess
import sys

CODE = """
import sys
from click.testing import CliRunner
from tipward.cli.main import group
told = CliRunner().invoke(group, ["--help"])
assert told.exit_code == 0 and "find" in told.output, told.output
print(sorted({"numpy", "sqlalchemy", "scipy", "pydantic", "pint", "rich", "fastapi"} & set(sys.modules)))
"""


def test_help_imports_nothing_heavy():
    told = subprocess.run([sys.executable, "-c", CODE], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
