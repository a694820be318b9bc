"""Long work for tests; found by name in a process of its own."""

import os
import time

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
