"""Says aloud which tests of reports were left out for want of poppler."""

import shutil

import pytest


@pytest.fixture
def poppler() -> None:
    missing = [name for name in ("pdfinfo", "pdftotext") if shutil.which(name) is None]
    if missing:
        pytest.skip(f"{' and '.join(missing)} not installed: apt-get install poppler-utils")
