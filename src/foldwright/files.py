"""Files: written in one step, so that a file is either the old one or the new one, whole."""

from __future__ import annotations

import os
from pathlib import Path

from foldwright.errors import OutputRefused


def write_text(path: Path, text: str) -> None:
    """Write a text file in one step.

    Raises
    ------
    OutputRefused
        The folder cannot be written.
    """
    write_bytes(path, text.encode())


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file in one step.

    Raises
    ------
    OutputRefused
        The folder cannot be written.
    """
    try:
        replace_file(path, content)
    except OSError as fault:
        raise OutputRefused(f"{path} cannot be written: {fault.strerror or fault}.") from fault


def replace_file(path: Path, content: bytes) -> None:
    """Write beside the file, flush it to the disk, and put it in the file's place."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(path.name + ".part")
    with open(beside, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.replace(beside, path)
