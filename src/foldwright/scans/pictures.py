"""Pictures: what a maker drops in, read with care and made fit to be picked on.

Room: scans. JPEG, PNG, TIFF, WebP and pages of PDF files. The kind is told from
the content, never from the name. Nothing is decoded before its size is known to
be bearable. What comes out is upright, in grey or three colours of eight bits,
and no larger than a browser can turn about.
"""

from __future__ import annotations

import io
import math
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import numpy as np
import pypdfium2
from PIL import Image, ImageOps, UnidentifiedImageError

from foldwright.errors import NoPicture

MOST_BYTES = 40_000_000
"""Largest file that is taken in: a sheet of A3 at 600 dots to the inch has less."""

# As decoded; 80 million are A3 at 600 dots to the inch, and the limit of the library.
_MOST_PIXELS = 80_000_000
# As kept to be picked on: twice over what a hand sees on a sheet of A3.
_KEPT_PIXELS, _KEPT_SIDE = 16_000_000, 6_000
_LEAST_SIDE = 16
# In a list, on a screen of two dots to the point.
_SMALL = (520, 380)
_OPENED = ("JPEG", "PNG", "TIFF", "WEBP")
# A JPEG with a second view in it opens as one, and calls itself MPO.
_FORMATS = {"JPEG": "jpg", "MPO": "jpg", "PNG": "png", "TIFF": "tif", "WEBP": "webp"}
_KINDS = "JPEG, PNG, TIFF or WebP, or a PDF file"
_POINT = 25.4 / 72.0  # mm; the unit of a PDF page
_MOST_DPI = 300.0
_DOTS = range(100, 4801)  # to the inch; less is what programs write that know nothing
_INCH = 25.4
_pdf_lock = threading.Lock()  # the library that reads PDF files does one thing at a time


@dataclass(frozen=True)
class Picture:
    """A picture taken in.

    Attributes
    ----------
    image : bytes
        What is picked on, as a JPEG or PNG file.
    suffix : str
        ``"jpg"`` or ``"png"``.
    width, height : int
        [pixels]
    source_suffix : str
        Of the file as it came.
    page, pages : int
        Which page it is, from 1, of how many.
    mm_per_pixel : float or None
        What the file says of its own size, if anything.
    is_exact : bool
        Whether a program drew the page; a scan is stretched as scans are.
    shrunk : float
        How many times smaller the picture is than the file has it, 1 or more.
    """

    image: bytes
    suffix: str
    width: int
    height: int
    source_suffix: str
    page: int
    pages: int
    mm_per_pixel: float | None
    is_exact: bool
    shrunk: float


def take_picture(content: bytes, page: int = 1) -> Picture:
    """Read a picture, or a page of a file that has several.

    Parameters
    ----------
    content : bytes
        The file.
    page : int
        From 1; for PDF and TIFF files.

    Raises
    ------
    NoPicture
        In words, whatever is the matter with the file.
    """
    if not content:
        raise NoPicture("The file is empty. Choose another, or scan the drawing again.")
    if len(content) > MOST_BYTES:
        raise too_large(len(content))
    if b"%PDF-" in content[:1024]:
        return _page_of_pdf(content, page)
    try:
        return _of_image(content, page)
    except NoPicture:
        raise
    except MemoryError as fault:
        raise NoPicture("The picture does not fit into memory. Save it smaller.") from fault
    except Exception as fault:  # decoders of damaged files raise whatever they come upon
        raise NoPicture(
            "The picture is damaged or cut short: it cannot be read to its end. Save or send it "
            "once more."
        ) from fault


def small_picture(image: bytes) -> bytes:
    """Picture for a list, from one that was made fit to be picked on: a JPEG file of some kB.

    Raises
    ------
    NoPicture
        The kept picture cannot be read any more.
    """
    out = io.BytesIO()
    with kept_picture(image) as kept:
        kept.draft(None, _SMALL)  # decoded at a part of its size to begin with
        kept.thumbnail(_SMALL, Image.Resampling.BOX, reducing_gap=2.0)
        kept.save(out, "JPEG", quality=80)
    return out.getvalue()


@contextmanager
def kept_picture(image: bytes) -> Iterator[Image.Image]:
    """Open a picture that was made fit to be picked on; it is decoded as far as it is used.

    Raises
    ------
    NoPicture
        It cannot be read any more.
    """
    try:
        with Image.open(io.BytesIO(image), formats=("JPEG", "PNG")) as kept:
            yield kept
    except OSError as fault:
        raise NoPicture("The kept picture is damaged. Put the drawing in once more.") from fault


def too_large(size: int) -> NoPicture:
    """Refusal of a file of so many bytes."""
    return NoPicture(
        f"The file has {size / 1e6:.0f} MB; at most {MOST_BYTES / 1e6:.0f} are taken. Scan at 300 "
        "dots to the inch, or save the picture as JPEG."
    )


def _of_image(content: bytes, page: int) -> Picture:
    try:
        image = Image.open(io.BytesIO(content), formats=_OPENED)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as fault:
        raise _too_many_pixels() from fault
    except UnidentifiedImageError as fault:
        raise NoPicture(
            f"The file is no picture that can be read here, whatever its name says. Give {_KINDS}."
        ) from fault
    with image:
        source = _FORMATS[image.format or ""]
        pages = int(getattr(image, "n_frames", 1)) if source == "tif" else 1
        _require_page(page, pages)
        if page > 1:
            image.seek(page - 1)
        _require_size(*image.size)
        full = image.size
        dots = _dots(image)
        share = _share(*full)
        if source == "jpg" and share < 0.5:  # decoded at half size, or less, to begin with
            image.draft(None, (math.ceil(full[0] * share), math.ceil(full[1] * share)))
        image.load()
        flat = _in_eight_bits(ImageOps.exif_transpose(image))
    side = max(full)
    size = (max(1, round(flat.width * side * share / max(flat.size))),) if share < 1.0 else None
    if size is not None:
        flat = flat.resize(
            (size[0], max(1, round(size[0] * flat.height / flat.width))), Image.Resampling.BOX
        )
    shrunk = side / max(flat.size)
    mm = None if dots is None else _INCH / dots * shrunk
    # what was lossless stays so, so that lines keep their edges
    is_drawn = source != "jpg" and flat.mode == "L"
    return _kept(flat, "png" if is_drawn else "jpg", source, page, pages, mm, False, shrunk)


def _page_of_pdf(content: bytes, page: int) -> Picture:
    with _pdf_lock:
        try:
            document = pypdfium2.PdfDocument(content)
        except pypdfium2.PdfiumError as fault:
            why = "is locked by a password" if "assword" in str(fault) else "is damaged"
            raise NoPicture(
                f"The PDF file {why} and cannot be opened. Save the page as a new file."
            ) from fault
        try:
            pages = len(document)
            _require_page(page, pages)
            sheet = document[page - 1]
            width, height = sheet.get_size()
            if not 5.0 <= min(width, height) <= max(width, height) < 40_000.0:
                raise NoPicture(
                    f"The page is {width * _POINT:.0f} by {height * _POINT:.0f} mm, which is no "
                    "drawing. Print it to a new file at its true size."
                )
            inches = width * height / 72.0**2
            dpi = min(
                _MOST_DPI,
                math.sqrt(_KEPT_PIXELS / inches),
                _KEPT_SIDE / max(width, height) * 72.0,
            )
            image = sheet.render(scale=dpi / 72.0).to_pil()
            # whole pixels: the page is a little less than the picture of it
            dpi = max(image.size) / max(width, height) * 72.0
        except pypdfium2.PdfiumError as fault:
            raise NoPicture(
                f"Page {page} of the PDF file is damaged and cannot be drawn. Print it to a new "
                "file."
            ) from fault
        finally:
            document.close()
    flat = _in_eight_bits(image)
    return _kept(flat, "png", "pdf", page, pages, _INCH / dpi, True, 1.0)


def _kept(
    flat: Image.Image,
    suffix: str,
    source: str,
    page: int,
    pages: int,
    mm: float | None,
    is_exact: bool,
    shrunk: float,
) -> Picture:
    out = io.BytesIO()
    if suffix == "png":
        flat.save(out, "PNG", compress_level=4)
    else:
        flat.save(out, "JPEG", quality=92, subsampling=0)
    return Picture(out.getvalue(), suffix, *flat.size, source, page, pages, mm, is_exact, shrunk)


def _in_eight_bits(image: Image.Image) -> Image.Image:
    """Grey or three colours of eight bits, what is clear on white."""
    if image.mode.startswith("I") or image.mode == "F":
        deep = np.asarray(image, dtype=float)
        # 16 bits where the mode says so; else what is there, from darkest to lightest
        is_16 = image.mode.startswith("I;16") or (image.mode == "I" and deep.max() <= 65535.0)
        low, high = (0.0, 65535.0) if is_16 else (float(deep.min()), float(deep.max()))
        grey = (deep - low) * (255.0 / max(high - low, 1e-12))
        return Image.fromarray(np.clip(np.rint(grey), 0.0, 255.0).astype(np.uint8))
    if image.mode in ("RGBA", "LA", "PA", "La", "RGBa") or "transparency" in image.info:
        clear = image.convert("RGBA")
        white = Image.new("RGBA", clear.size, "white")
        image = Image.alpha_composite(white, clear).convert("RGB")
    if image.mode in ("1", "L"):
        return image.convert("L")
    return image.convert("RGB")


def _dots(image: Image.Image) -> float | None:
    """Dots to the inch as the file has them, where it says the same of both ways."""
    said = image.info.get("dpi")
    try:
        across, up = (float(each) for each in said)  # type: ignore[union-attr]
    except (TypeError, ValueError):
        return None
    if not (math.isfinite(across) and abs(across - up) < 0.5 and round(across) in _DOTS):
        return None
    return across


def _share(width: int, height: int) -> float:
    """How much the sides are shrunk by, at most 1."""
    return min(1.0, math.sqrt(_KEPT_PIXELS / (width * height)), _KEPT_SIDE / max(width, height))


def _require_page(page: int, pages: int) -> None:
    if not 1 <= page <= pages:
        has = "one page" if pages == 1 else f"{pages} pages"
        raise NoPicture(f"There is no page {page}: the file has {has}. Choose one of them.")


def _require_size(width: int, height: int) -> None:
    if width * height > _MOST_PIXELS:
        raise _too_many_pixels()
    if min(width, height) < _LEAST_SIDE:
        raise NoPicture(
            f"The picture is {width} by {height} pixels, too small to take anything off it. Scan "
            "at 200 dots to the inch or more."
        )


def _too_many_pixels() -> NoPicture:
    return NoPicture(
        f"The picture unpacks to more than {_MOST_PIXELS / 1e6:.0f} million pixels, which is more "
        "than is taken. Scan at 300 dots to the inch, or a part of the sheet at a time."
    )
