"""The command line: thin; everything it does is done in the rooms.

Heavy libraries are imported inside the commands, so that help comes at once.
Exit code 0: done; 2: something to mend, said in words; nothing half-written.
"""

from foldwright.cli import (
    begin,
    calibrating,
    checking,
    drawing,
    keeping,
    learning,
    measuring,
    planning,
    reckoning,
    refitting,
    serving,
    simulating,
)
from foldwright.cli.root import cli, main

__all__ = [
    "begin",
    "calibrating",
    "checking",
    "cli",
    "drawing",
    "keeping",
    "learning",
    "main",
    "measuring",
    "planning",
    "reckoning",
    "refitting",
    "serving",
    "simulating",
]
