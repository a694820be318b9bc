"""A program that writes to a ledger until it is killed, and says what was acknowledged.

Run as ``python writer.py LEDGER NAME COUNT``: readings, and after every third one a
revision of three changes. Each line on standard output follows the call that it tells of.
"""

import sys
from pathlib import Path

from foldwright.ledger import Change, Ledger


def _main(path: Path, name: str, count: int) -> None:
    with Ledger(path, patience=60.0) as ledger:
        print("ready", flush=True)
        for i in range(count):
            reading = ledger.add_reading(
                name, "girth", 600.0 + i, tool="tape", bare=True, drawn=600.0, sigma=0.5
            )
            print("reading", reading.id, name, reading.value, flush=True)
            if i % 3 == 2:
                changes = [Change(name, p, 1.0, float(i), 1.0, ("why",)) for p in "abc"]
                print("revision", ledger.add_revision(changes).number, name, i, flush=True)


if __name__ == "__main__":
    _main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
