"""What all tests share.

Random checks run at reduced counts; with FOLDWRIGHT_PROOF set (``make proof``)
they run at the full ones.
"""

import os

import pytest
from hypothesis import settings

settings.register_profile("quick", max_examples=25, deadline=None, derandomize=True)
settings.register_profile("proof", max_examples=500, deadline=None, print_blob=True)

IS_PROOF = bool(os.environ.get("FOLDWRIGHT_PROOF"))
settings.load_profile("proof" if IS_PROOF else "quick")


@pytest.fixture(scope="session")
def is_proof() -> bool:
    """Whether the full counts are wanted, for checks that count by themselves."""
    return IS_PROOF
