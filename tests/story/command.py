"""The command line as a maker would use it: a new process each time."""

import json
from dataclasses import dataclass

from forked import run


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
    answer = Answer(*run(*words, typed=typed))
    assert "Traceback" not in answer.out + answer.err
    return answer
