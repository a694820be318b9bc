"""A hand that puts in a picture and picks on it at once, among others that do the same.

Run as ``python hand.py BUILD PICTURE COUNT``; it begins when a line comes on standard input.
"""

import sys
from pathlib import Path

from foldwright.scans import Drawings


def _main(build: Path, picture: Path, count: int) -> None:
    content = picture.read_bytes()
    drawings = Drawings(build)
    print("ready", flush=True)
    sys.stdin.readline()
    id = drawings.put(content, picture.name).id
    for i in range(count):
        drawings.change(id, lambda d, x=i + 1.0: d.picked("length", [(0.0, 0.0), (x, x)]))


if __name__ == "__main__":
    _main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]))
