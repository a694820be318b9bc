"""What the tests of the ledger share."""

import shutil
import tempfile
from pathlib import Path

import pytest


@pytest.fixture
def open_folder():
    """A folder that everybody may enter."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)
