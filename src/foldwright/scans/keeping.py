"""Keeping: drawings in the folder ``drawings`` of a build, each file named by its content.

Room: scans. Three files a drawing: the file as it came, the picture that is picked
on, and what was picked; a small picture for lists may lie beside them. Names are made
here and nowhere else, so that nothing from outside leads out of the folder. Every file
is written in one step, by one program at a time. What is being taken in lies in a
folder of its own until all of it is there, and is no drawing until then: that can be
ended at any moment.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock

from foldwright.errors import FoldwrightError, NoPicture, OutputRefused, UnknownName
from foldwright.files import replace_file
from foldwright.scans.drawing import Drawing, read_drawing, written_drawing
from foldwright.scans.pictures import small_picture, take_picture

FOLDER = "drawings"
"""Name of the folder inside that of the build."""

_ID = re.compile(r"[0-9a-f]{20}(?:-[1-9][0-9]{0,3})?")
_LONGEST_NAME = 80
_ASIDE = ".coming-"
_SMALL = ".small.jpg"
_ONE_AT_A_TIME = ".one-at-a-time"
# What a server left that was ended the hard way is cleared after so long [s].
_FORGOTTEN_AFTER = 24 * 3600.0


@dataclass(frozen=True)
class Unreadable:
    """A drawing whose file is damaged: its id, and why."""

    id: str
    why: str


class Drawings:
    """All drawings of one build.

    Parameters
    ----------
    build : Path
        Folder of the build.
    """

    def __init__(self, build: Path) -> None:
        self._folder = build / FOLDER
        self._lock = threading.Lock()

    def all(self) -> list[Drawing | Unreadable]:
        """All drawings, the latest first."""
        found: list[tuple[int, Drawing | Unreadable]] = []
        for path in self._folder.glob("*.json"):
            if not _ID.fullmatch(path.stem):
                continue
            try:
                drawing: Drawing | Unreadable = self.get(path.stem)
            except FoldwrightError as fault:
                drawing = Unreadable(path.stem, str(fault))
            try:
                found.append((self._picture_time(drawing, path), drawing))
            except OSError:  # put away meanwhile
                continue
        return [drawing for _, drawing in sorted(found, key=lambda pair: (-pair[0], pair[1].id))]

    def get(self, id: str) -> Drawing:
        """One drawing.

        Raises
        ------
        UnknownName
            There is none of that name.
        NoPicture
            Its file is damaged.
        """
        path = self._path(id, ".json")
        try:
            text = path.read_text(encoding="utf-8")
        except FileNotFoundError as fault:
            raise UnknownName("drawing", id, ()) from fault
        except (OSError, UnicodeDecodeError) as fault:
            raise NoPicture(f"The drawing {id} cannot be read: {fault}.") from fault
        return read_drawing(text, id)

    def stamp(self) -> str:
        """Short name for what is picked on all drawings now: after any change it is another."""
        found = []
        with suppress(OSError):
            for entry in os.scandir(self._folder):
                if entry.name.endswith(".json"):
                    stat = entry.stat()
                    found.append((entry.name, stat.st_ino, stat.st_mtime_ns, stat.st_size))
        return hashlib.sha256(repr(sorted(found)).encode()).hexdigest()[:16]

    def aside(self) -> Path:
        """Make a folder for a drawing that is being taken in; whoever asks clears it away.

        Raises
        ------
        OutputRefused
        """
        try:
            self._folder.mkdir(parents=False, exist_ok=True)
            for left in self._folder.glob(f"{_ASIDE}*"):
                if time.time() - left.stat().st_mtime > _FORGOTTEN_AFTER:
                    shutil.rmtree(left, ignore_errors=True)
            return Path(tempfile.mkdtemp(prefix=_ASIDE, dir=self._folder))
        except OSError as fault:
            raise self._unwritable(self._folder, fault) from fault

    def put(
        self,
        content: bytes,
        name: str,
        page: int = 1,
        *,
        aside: Path | None = None,
        told: Callable[[str], None] = lambda words: None,
    ) -> Drawing:
        """Take in a file; one that is there already keeps its picks.

        Parameters
        ----------
        content : bytes
        name : str
            What the file was called, to be shown.
        page : int
            From 1, of a file with several.
        aside : Path, optional
            Where to put it together, from `aside`; by itself if not given.
        told : callable
            Called with what comes now, in words.

        Raises
        ------
        NoPicture, OutputRefused
        """
        if aside is None:
            aside = self.aside()
            try:
                return self.put(content, name, page, aside=aside, told=told)
            finally:
                shutil.rmtree(aside, ignore_errors=True)
        told("Reading the picture")
        picture = take_picture(content, page)
        digest = hashlib.sha256(content).hexdigest()[:20]
        id = digest if picture.pages == 1 else f"{digest}-{page}"
        drawing = Drawing(
            id,
            _plain_name(name) or f"drawing {digest[:6]}",
            picture.suffix,
            picture.source_suffix,
            picture.width,
            picture.height,
            picture.page,
            picture.pages,
            picture.mm_per_pixel,
            picture.is_exact,
        )
        told("Keeping it")
        files = {
            self._path(digest, f".source.{picture.source_suffix}"): content,
            self._path(id, f".{picture.suffix}"): picture.image,
            self._path(id, _SMALL): small_picture(picture.image),
            # the last one makes it a drawing
            self._path(id, ".json"): written_drawing(drawing).encode(),
        }
        for path, of in files.items():
            self._write(aside / path.name, of)
        with self._alone():
            try:
                return self.get(id)
            except UnknownName:
                pass
            for path in files:
                try:
                    os.replace(aside / path.name, path)
                except OSError as fault:
                    raise self._unwritable(path, fault) from fault
            return drawing

    def change(self, id: str, change: Callable[[Drawing], Drawing]) -> Drawing:
        """Change what was picked, one change at a time.

        Raises
        ------
        FoldwrightError
            As `get`, or whatever the change refuses; nothing is written then.
        """
        with self._alone():
            drawing = change(self.get(id))
            self._write(self._path(id, ".json"), written_drawing(drawing).encode())
            return drawing

    def picture(self, drawing: Drawing) -> bytes:
        """Picture that is picked on.

        Raises
        ------
        NoPicture
            It is gone.
        """
        try:
            return self._path(drawing.id, f".{drawing.suffix}").read_bytes()
        except OSError as fault:
            raise NoPicture(
                f"The picture of {drawing.name} is gone from the folder {FOLDER}. Drop it in once "
                "more; what was picked is still there."
            ) from fault

    def small(self, drawing: Drawing) -> bytes:
        """Picture for a list; errors as `picture`."""
        path = self._path(drawing.id, _SMALL)
        with suppress(OSError):  # it is not there yet
            return path.read_bytes()
        made = small_picture(self.picture(drawing))
        with suppress(OutputRefused), self._alone():  # it can be looked at all the same
            if self._path(drawing.id, ".json").exists():  # not put away meanwhile
                self._write(path, made)
        return made

    def source(self, drawing: Drawing) -> bytes:
        """File as it came, to take another page from; errors as `picture`."""
        digest = drawing.id.partition("-")[0]
        try:
            return self._path(digest, f".source.{drawing.source_suffix}").read_bytes()
        except OSError as fault:
            raise NoPicture(
                f"The file {drawing.name} is gone from the folder {FOLDER}. Drop it in once more."
            ) from fault

    def put_away(self, id: str) -> None:
        """Take a drawing away, with all that was picked on it."""
        with self._alone():
            drawing = self.get(id)
            self._path(id, ".json").unlink(missing_ok=True)
            self._path(id, f".{drawing.suffix}").unlink(missing_ok=True)
            self._path(id, _SMALL).unlink(missing_ok=True)
            digest = id.partition("-")[0]
            # the file as it came may have other pages in use
            if not any(self._folder.glob(f"{digest}*.json")):
                source = self._path(digest, f".source.{drawing.source_suffix}")
                source.unlink(missing_ok=True)

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Have no other thread or program write here until the block ends.

        What is taken in is put in its place by a process of its own, and two servers may
        serve one build.

        Raises
        ------
        OutputRefused
        """
        if not self._folder.is_dir():  # it is gone: what is done to it says so
            yield
            return
        lock = FileLock(self._folder / _ONE_AT_A_TIME)
        with self._lock:
            try:
                lock.acquire()
            except OSError as fault:
                raise self._unwritable(self._folder, fault) from fault
            try:
                yield
            finally:
                lock.release()

    def _path(self, id: str, suffix: str) -> Path:
        if not _ID.fullmatch(id):
            raise UnknownName("drawing", id[:40], ())
        return self._folder / f"{id}{suffix}"

    def _picture_time(self, drawing: Drawing | Unreadable, path: Path) -> int:
        if isinstance(drawing, Drawing):
            picture = self._path(drawing.id, f".{drawing.suffix}")
            path = picture if picture.exists() else path
        return path.stat().st_mtime_ns

    def _write(self, path: Path, content: bytes) -> None:
        try:
            replace_file(path, content)
        except OSError as fault:
            raise self._unwritable(path, fault) from fault

    def _unwritable(self, path: Path, fault: OSError) -> OutputRefused:
        if not self._folder.parent.is_dir():
            return OutputRefused(
                f"The folder {self._folder.parent} is gone, so nothing was kept. Put it back where "
                "it was, then do this again."
            )
        return OutputRefused(
            f"{path} cannot be written: {fault.strerror or fault}. Make room, or let the "
            "folder be written to."
        )


def _plain_name(name: str) -> str:
    """Return the last part of a file name, without what cannot be shown."""
    last = re.split(r"[/\\]", name)[-1]
    return " ".join("".join(c for c in last if c.isprintable()).split())[:_LONGEST_NAME]
