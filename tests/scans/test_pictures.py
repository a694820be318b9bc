"""Pictures: what is taken in, and how what cannot be is refused."""

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image, ImageDraw
from pytest import approx
from reportlab.lib.units import mm
from reportlab.pdfgen import canvas

from foldwright.errors import NoPicture
from foldwright.scans import MOST_BYTES, take_picture
from foldwright.scans.drawing import Drawing
from foldwright.scans.standing import stand, take


def saved(image, kind, **how):
    out = io.BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()


def slope(mode="RGB", size=(400, 300)):
    """Darker to the left, with a white square in the upper left corner."""
    grey = np.tile(np.linspace(40, 200, size[0]).astype(np.uint8), (size[1], 1))
    image = Image.fromarray(grey).convert("RGB")
    ImageDraw.Draw(image).rectangle((0, 0, 60, 40), fill="white")
    return image.convert(mode)


def opened(picture):
    return Image.open(io.BytesIO(picture.image))


@pytest.mark.parametrize(
    ("kind", "suffix"), [("JPEG", "jpg"), ("PNG", "png"), ("TIFF", "tif"), ("WEBP", "webp")]
)
def test_every_kind_of_picture_is_taken(kind, suffix):
    picture = take_picture(saved(slope(), kind))

    assert (picture.width, picture.height, picture.source_suffix) == (400, 300, suffix)
    assert opened(picture).getpixel((20, 20)) == approx((255, 255, 255), abs=12)


@pytest.mark.parametrize("mode", ["L", "1", "P", "RGBA", "LA", "CMYK", "I;16", "I"])
def test_every_depth_comes_out_in_eight_bits(mode):
    if mode in ("I;16", "I"):
        deep = np.asarray(slope("L")).astype(np.uint16) * 257
        image = Image.fromarray(deep if mode == "I;16" else deep.astype(np.int32))
        content = saved(image, "PNG" if mode == "I;16" else "TIFF")
    else:
        content = saved(slope(mode), "TIFF" if mode == "CMYK" else "PNG")
    picture = opened(take_picture(content)).convert("L")

    assert picture.getpixel((20, 20)) == approx(255, abs=6)
    if mode != "1":
        grey = np.asarray(picture, dtype=float)
        rise = grey[100:200, 350:390].mean() - grey[100:200, 80:120].mean()
        assert rise == approx(0.4 * 270, abs=6)


def test_a_jpeg_in_printing_inks_is_taken():
    picture = take_picture(saved(slope("CMYK"), "JPEG"))

    assert opened(picture).mode == "RGB"
    assert opened(picture).getpixel((20, 20)) == approx((255, 255, 255), abs=12)


def test_what_is_clear_becomes_white():
    clear = Image.new("RGBA", (60, 60), (0, 0, 0, 0))

    assert opened(take_picture(saved(clear, "PNG"))).convert("L").getpixel((30, 30)) >= 254


def test_a_photo_held_on_its_side_is_set_upright():
    """Orientation 6: the camera was turned, the right of the file is the bottom of the view."""
    exif = Image.Exif()
    exif[0x0112] = 6
    picture = take_picture(saved(slope(), "JPEG", exif=exif, quality=95))

    assert (picture.width, picture.height) == (300, 400)
    assert opened(picture).convert("L").getpixel((280, 20)) > 240


def test_a_large_picture_is_shrunk_and_says_how_much():
    picture = take_picture(saved(Image.new("L", (8000, 4000), 200), "PNG"))

    assert max(picture.width, picture.height) <= 6000
    assert picture.width * picture.height <= 16_000_000
    assert picture.shrunk == approx(8000 / picture.width)


def test_a_scan_says_its_own_size():
    picture = take_picture(saved(slope(), "PNG", dpi=(300, 300)))

    assert picture.mm_per_pixel == approx(25.4 / 300, rel=1e-3)
    assert not picture.is_exact


def test_a_picture_that_knows_no_size_says_none():
    assert take_picture(saved(slope(), "PNG", dpi=(72, 72))).mm_per_pixel is None
    assert take_picture(saved(slope(), "PNG")).mm_per_pixel is None


def pages(count=2):
    """A4 pages: a line 150 mm long across, and one 200 mm long up."""
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(210 * mm, 297 * mm))
    for number in range(count):
        sheet.setLineWidth(0.3 * mm)
        sheet.line(30 * mm, (40 + number) * mm, 180 * mm, (40 + number) * mm)
        sheet.line(20 * mm, 60 * mm, 20 * mm, 260 * mm)
        sheet.showPage()
    sheet.save()
    return out.getvalue()


def test_a_page_of_a_pdf_is_as_large_as_it_says():
    """Ends of lines found in the picture are 150.0 and 200.0 mm apart."""
    picture = take_picture(pages(), 2)
    grey = np.asarray(opened(picture).convert("L"), dtype=float)
    dark = grey < 128
    row = int(np.argmax(dark.sum(axis=1)))
    across = np.flatnonzero(dark[row])
    column = int(np.argmax(dark.sum(axis=0)))
    up = np.flatnonzero(dark[:, column])
    drawing = Drawing(
        "0" * 20, "page", "png", "pdf", picture.width, picture.height, 2, 2,
        picture.mm_per_pixel, picture.is_exact,
    ).with_sureness(picking=0.5, sure=0.0, page_scale=1.0)  # fmt: skip
    ends = [
        [(across.min(), row + 0.5), (across.max() + 1, row + 0.5)],
        [(column + 0.5, up.min()), (column + 0.5, up.max() + 1)],
    ]
    for points, length in zip(ends, (150.0, 200.0), strict=True):
        drawing = drawing.picked("length", points)
        taken = take(drawing, stand(drawing), drawing.picks[-1])

        assert taken.value == approx(length, abs=2.0 * taken.trust)
        assert taken.trust < 0.1

    assert (picture.page, picture.pages, picture.is_exact) == (2, 2, True)


def test_a_page_of_a_tiff_is_chosen():
    first, second = Image.new("L", (40, 40), 10), Image.new("L", (50, 40), 240)
    content = saved(first, "TIFF", save_all=True, append_images=[second])

    assert (take_picture(content, 2).width, take_picture(content).width) == (50, 40)


def bomb(side=30_000):
    """A small file that says it is 900 million pixels."""

    def chunk(name, data):
        body = name + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 99))


def gif():
    return saved(Image.new("P", (3000, 3000)), "GIF")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"not a picture at all, whatever it is called", "no picture that can be read"),
        (gif(), "no picture that can be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no picture that can be read"),
        (bomb(), "80 million pixels"),
        (bomb(11_000), "80 million pixels"),
        (saved(slope(), "JPEG")[:3000], "cut short"),
        (saved(slope(), "PNG")[:400], "cut short"),
        (saved(slope(), "TIFF")[:2000], "cut short|no picture"),
        (saved(Image.new("L", (300, 8)), "PNG"), "too small"),
        (b"%PDF-1.7\nrubbish", "PDF file is damaged"),
        (pages()[:300], "damaged"),
    ],
)
def test_what_is_no_picture_is_refused_in_words(content, words):
    with pytest.raises(NoPicture, match=words):
        take_picture(content)


def test_a_page_that_is_not_there_is_refused():
    with pytest.raises(NoPicture, match="no page 3: the file has 2 pages"):
        take_picture(pages(), 3)
    with pytest.raises(NoPicture, match="no page 2: the file has one page"):
        take_picture(saved(slope(), "PNG"), 2)


def test_a_file_of_200_megabytes_is_refused_before_it_is_looked_at():
    with pytest.raises(NoPicture, match="has 200 MB; at most 40"):
        take_picture(bytes(200_000_000))
    assert MOST_BYTES == 40_000_000


@pytest.mark.parametrize("seed", range(40))
def test_damage_anywhere_is_a_refusal_or_a_picture(seed):
    """Bytes changed at random never raise anything but a refusal in words."""
    rng = np.random.default_rng(seed)
    kinds = [saved(slope(), kind) for kind in ("JPEG", "PNG", "TIFF", "WEBP")] + [pages()]
    content = bytearray(kinds[seed % len(kinds)])
    for at in rng.integers(0, len(content), 20):
        content[at] = rng.integers(0, 256)
    try:
        picture = take_picture(bytes(content))
    except NoPicture as refused:
        assert len(str(refused)) > 20
    else:
        assert picture.width > 0
