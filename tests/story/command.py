"""The command line as a maker would use it: a new process each time."""

import json
import subprocess
import sys
from dataclasses import dataclass

RUN = "import sys; from foldwright.cli import main; sys.argv[0] = 'foldwright'; main()"


@dataclass
class Answer:
    """What a command said."""

    code: int
    out: str
    err: str

    def json(self):
        """Return the report as data."""
        return json.loads(self.out)


def foldwright(*words, typed=None):
    """Run the command line."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", RUN, *map(str, words)],
        capture_output=True,
        text=True,
        input=typed,
        timeout=120,
    )
    assert "Traceback" not in done.stdout + done.stderr
    return Answer(done.returncode, done.stdout, done.stderr)
