"""Long work for tests; found by name in a process of its own."""

import os
import time
from pathlib import Path

from foldwright.errors import FoldwrightError


def counts(folder, upto, *, say):
    for i in range(upto):
        say(i, upto, f"Counting {i}")
        time.sleep(0.02)
    return folder.name, os.getpid()


def never_ends(folder, *, say):
    say(0, 0, "Working")
    time.sleep(600)


def refuses(folder, *, say):
    raise FoldwrightError("The sheet is too small. Take a larger one.")


def errs(folder, *, say):
    return 1 / 0


def dies(folder, *, say):
    os._exit(9)


def takes_for_ever(folder, aside, name, number, *, say):
    say(0, 2, "Reading the picture")
    (Path(aside) / "half.jpg").write_bytes(b"half")
    time.sleep(600)


def straightens_for_ever(folder, id, frame, board, path, *, say):
    say(0, 0, "Straightening the picture")
    time.sleep(600)
