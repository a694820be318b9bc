"""A program that writes to a ledger until it is killed, and says what was acknowledged.

Run as ``python writer.py LEDGER NAME COUNT``: rounds of entries of every kind, of a
part called NAME, which is marked, measured, scrapped and made anew. Each line on
standard output is the entry that the call just made returned.
"""

import sys
from pathlib import Path

from foldwright.ledger import Change, Ledger
from foldwright.ledger.lines import line_of


def _rounds(ledger: Ledger, name: str, count: int):
    for i in range(count):
        yield ledger.mark(name, "cut")
        reading = ledger.add_reading(
            name, "girth", 600.0 + i, tool="tape", bare=True, drawn=600.0, sigma=0.5
        )
        yield reading
        yield ledger.add_revision([Change(name, p, 1.0, float(i), 1.0, ("why",)) for p in "abc"])
        yield ledger.mark(name, "folded", "n" * 100)
        yield ledger.withdraw(reading.id, "slip")
        yield ledger.scrap(name)
        yield ledger.forget("curl")


def _main(path: Path, name: str, count: int) -> None:
    with Ledger(path, patience=60.0) as ledger:
        ledger.history()
        print("ready", flush=True)
        for entry in _rounds(ledger, name, count):
            print(line_of(entry), flush=True)


if __name__ == "__main__":
    _main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
