"""Whether the full counts are wanted, for what is laid out before a test runs."""

import os

IS_PROOF = bool(os.environ.get("FOLDWRIGHT_PROOF"))
