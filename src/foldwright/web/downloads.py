"""Downloads: the files that we drew, one by one or all together, and the ledger.

Only what the manifest lists is handed out, and only while it is a plain file inside
the folder: a name or a link that leads elsewhere is answered like one that is not there.
"""

from __future__ import annotations

import tempfile
import zipfile
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, Response, StreamingResponse
from starlette.routing import Route

from foldwright.errors import OutputRefused
from foldwright.ledger import Ledger, export_history, export_readings
from foldwright.outputs import Drawn, drawn_in, place_of
from foldwright.web.pages import live_of

_TYPES = {
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".dxf": "image/vnd.dxf",  # as registered with IANA
    ".glb": "model/gltf-binary",
    ".json": "application/json",
}
# A build of two hundred parts takes a tenth of it; past this, the folder itself is the better way.
_LARGEST_ZIP = 500 * 1024 * 1024
_CHUNK = 256 * 1024
_EARLIEST = 315_619_200.0  # 2 January 1980: no archive knows earlier dates


def out_of(request: Request) -> Path:
    """Folder that the outputs of a build lie in."""
    return live_of(request).folder / "out"


def one(request: Request) -> Response:
    """Hand out one file."""
    name = request.path_params["path"]
    folder = out_of(request)
    path = place_of(folder, name)
    if path is None:
        raise HTTPException(
            404,
            "There is no such drawing. It may have been moved or deleted; what there is, and a "
            "way to draw it anew, stands under Build book.",
        )
    kind = _TYPES.get(path.suffix.lower(), "application/octet-stream")
    return FileResponse(
        path, media_type=kind, filename=name.replace("/", "-"), stat_result=path.stat()
    )


def everything(request: Request) -> Response:
    """Hand out all files as one archive, made while it is sent."""
    folder = out_of(request)
    files = drawn_in(folder)
    if not files:
        raise HTTPException(404, "Nothing is drawn yet. Draw it under Build book first.")
    total = sum(file.size for file in files)
    if total > _LARGEST_ZIP:
        raise OutputRefused(
            f"All drawings together are {total / 1e6:.0f} MB, which is more than one archive "
            f"takes here. Take them one by one, or copy the folder {folder}."
        )
    name = live_of(request).folder.name or "build"
    return StreamingResponse(
        _zipped(folder, files, name),
        media_type="application/zip",
        headers=_as_file(f"{name}.zip"),
    )


def readings(request: Request) -> Response:
    """Hand out all readings as a table."""
    return _exported(request, export_readings, "readings.csv", "text/csv; charset=utf-8")


def history(request: Request) -> Response:
    """Hand out the whole ledger, line by line."""
    return _exported(request, export_history, "history.jsonl", "application/jsonl")


def _exported(
    request: Request, export: Callable[[Ledger, Path], int], name: str, kind: str
) -> Response:
    live = live_of(request)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        live.act(lambda made, ledger: export(ledger, path))
        content = path.read_bytes()
    return Response(content, media_type=kind, headers=_as_file(f"{live.folder.name}-{name}"))


def _as_file(name: str) -> dict[str, str]:
    """Header that makes a browser keep a file under a name."""
    plain = "".join(c if c.isascii() and (c.isalnum() or c in "-_.") else "-" for c in name)
    return {"Content-Disposition": f'attachment; filename="{plain}"'}


class _Sink:
    """Where an archive is written to; what has come together is taken out and sent."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []

    def write(self, content: bytes, /) -> int:
        """Take some of the archive."""
        self._parts.append(bytes(content))
        return len(content)

    def flush(self) -> None:
        """Nothing is held back."""

    def close(self) -> None:
        """Nothing is held open."""

    def take(self) -> bytes:
        """Return what came since the last time."""
        parts, self._parts = self._parts, []
        return b"".join(parts)


def _zipped(folder: Path, files: Sequence[Drawn], name: str) -> Iterator[bytes]:
    """Yield an archive of files that are still there, no more than a chunk in memory."""
    sink = _Sink()
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in files:
            path = place_of(folder, file.name)
            if path is None:  # it went while the others were sent
                continue
            when = datetime.fromtimestamp(max(file.when, _EARLIEST)).timetuple()[:6]
            entry = zipfile.ZipInfo(f"{name}/{file.name}", when)
            entry.compress_type = zipfile.ZIP_DEFLATED
            with open(path, "rb") as source, archive.open(entry, "w") as target:
                while chunk := source.read(_CHUNK):
                    target.write(chunk)
                    yield sink.take()
    yield sink.take()


ROUTES = [
    Route("/out/{path:path}", one),
    Route("/book/everything.zip", everything),
    Route("/book/readings.csv", readings),
    Route("/book/history.jsonl", history),
]
