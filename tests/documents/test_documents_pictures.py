"""Photographs: the copy shows the picture and holds nothing else; every hostile file is refused in plain words."""

import io
import struct
import zlib
from collections.abc import Callable

import pytest
from photograph_samples import photograph, with_position
from PIL import Image, ImageCms

from carknocker.documents import InputRefused
from carknocker.documents.pictures import COPY_SIDE, LEAST_SIDE, MOST_BYTES, MOST_PIXELS, reduced_copy


def refused(content: bytes) -> str:
    with pytest.raises(InputRefused) as caught:
        reduced_copy(content, "a.jpg")
    (problem,) = caught.value.problems
    assert problem.expected
    assert problem.remedy
    assert "Traceback" not in problem.found
    return problem.found


def opened(content: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(content))
    picture.load()
    return picture


def png_chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width: int, height: int, data: bytes, *more: bytes) -> bytes:
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    parts = (b"\x89PNG\r\n\x1a\n", head, *more, png_chunk(b"IDAT", data), png_chunk(b"IEND", b""))
    return b"".join(parts)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_format_becomes_the_same_jpeg_each_time(kind: str) -> None:
    content = photograph(kind=kind)
    copy = reduced_copy(content, "a.jpg")
    assert copy == reduced_copy(content, "another name")
    picture = opened(copy)
    assert (picture.format, picture.size) == ("JPEG", (400, 300))
    red, _, blue = picture.getpixel((50, 150))
    assert red > 150
    assert blue < 60


@pytest.mark.parametrize(
    ("size", "wanted"),
    [
        ((COPY_SIDE, 1200), (1600, 1200)),
        ((COPY_SIDE + 1, 1200), (1600, 1199)),
        ((4000, 3000), (1600, 1200)),
        ((1000, 4000), (400, 1600)),
    ],
)
def test_no_side_is_longer_than_the_longest(size: tuple[int, int], wanted: tuple[int, int]) -> None:
    assert opened(reduced_copy(photograph(*size), "a.jpg")).size == wanted


def test_a_smaller_side_may_be_asked_for() -> None:
    assert opened(reduced_copy(photograph(), "a.jpg", 200)).size == (200, 150)


def test_position_camera_comment_and_profile_stay_behind() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    content = with_position(comment=b"Secretnote", icc_profile=profile, xmp=b"<x:xmpmeta>Secretxmp</x:xmpmeta>")
    assert b"Secretmaker" in content
    assert opened(content).getexif().get_ifd(0x8825)
    copy = reduced_copy(content, "a.jpg")
    picture = opened(copy)
    assert not picture.getexif()
    assert not {"exif", "icc_profile", "comment", "xmp"} & picture.info.keys()
    for held in (b"Secret", b"Exif", b"ICC_PROFILE", b"xmpmeta", b"Photoshop"):
        assert held not in copy
    markers = [copy[at + 1] for at in range(len(copy) - 1) if copy[at] == 0xFF and copy[at + 1] not in (0, 0xFF)]
    assert not set(range(0xE1, 0xF0)) & set(markers)  # APP1 to APP15
    assert 0xFE not in markers  # comment


@pytest.mark.parametrize(("turned", "left_is_red"), [(1, True), (3, False)])
def test_the_picture_stands_upright(turned: int, left_is_red: bool) -> None:
    exif = Image.Exif()
    exif[0x0112] = turned
    red, _, _ = opened(reduced_copy(photograph(exif=exif), "a.jpg")).getpixel((50, 150))
    assert (red > 150) is left_is_red


def test_a_picture_on_its_side_changes_its_sides() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    assert opened(reduced_copy(photograph(exif=exif), "a.jpg")).size == (300, 400)


@pytest.mark.parametrize("mode", ["L", "P", "CMYK", "RGBA", "LA", "1"])
def test_every_kind_of_color_is_read(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    assert opened(reduced_copy(photograph(kind=kind, mode=mode), "a.png")).mode == "RGB"


def test_what_is_seen_through_is_white() -> None:
    content = io.BytesIO()
    Image.new("RGBA", (100, 100), (0, 0, 0, 0)).save(content, "PNG")
    assert opened(reduced_copy(content.getvalue(), "a.png")).getpixel((50, 50)) == (255, 255, 255)


def test_what_is_tied_behind_a_photograph_stays_behind() -> None:
    polyglot = photograph() + b"PK\x03\x04<script>alert(1)</script>" + b"%PDF-1.7"
    copy = reduced_copy(polyglot, "a.jpg")
    assert not [held for held in (b"PK\x03\x04", b"<script", b"%PDF") if held in copy]
    assert copy == reduced_copy(photograph(), "a.jpg")


def test_a_profile_that_is_none_does_no_harm() -> None:
    assert opened(reduced_copy(photograph(icc_profile=b"\0" * 500), "a.jpg")).size == (400, 300)


def test_a_bomb_is_refused_by_its_head() -> None:
    rows = zlib.compress(b"\0" * 30_000_000, 9)
    assert "10,000 × 10,000 pixels" in refused(png(10_000, 10_000, rows))
    assert "larger than any camera's" in refused(png(30_000, 30_000, rows))


def test_a_picture_of_most_pixels_is_not_too_large_by_its_head() -> None:
    assert MOST_PIXELS == 8_000 * 8_000
    assert "cut off or damaged" in refused(png(8_000, 8_000, zlib.compress(b"\0" * 100)))
    assert "8,001 × 8,000 pixels" in refused(png(8_001, 8_000, zlib.compress(b"\0" * 100)))


def test_a_picture_that_is_smaller_than_its_head_says_is_refused() -> None:
    assert "cut off or damaged" in refused(png(500, 500, zlib.compress(b"\0\0\0\0")))


def test_a_text_bomb_in_a_picture_is_refused_or_left_behind() -> None:
    text = b"note\0\0" + zlib.compress(b"a" * 200_000_000, 9)
    rows = zlib.compress((b"\0" + b"\x80" * 300) * 100)
    assert refused(png(100, 100, rows, png_chunk(b"zTXt", text)))


@pytest.mark.parametrize("kept", [0.1, 0.5, 0.9])
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photograph_that_is_cut_off_is_refused(kind: str, kept: float) -> None:
    content = photograph(kind=kind)
    assert "damaged" in refused(content[: int(len(content) * kept)])


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "an empty file"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>", "no photograph"),
        (b"GIF89a" + b"\0" * 100, "no photograph"),
        (b"RIFF\0\0\0\0WAVEfmt ", "no photograph"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n", "no photograph"),
        (b"BM" + b"\0" * 100, "no photograph"),
        (b"\xff\xd8\xff" + b"\0" * 100, "damaged"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "a HEIC or AVIF photograph"),
        (b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", "a HEIC or AVIF photograph"),
    ],
)
def test_what_is_no_photograph_is_refused(content: bytes, words: str) -> None:
    assert words in refused(content)


def test_heic_is_refused_with_what_to_do() -> None:
    with pytest.raises(InputRefused) as caught:
        reduced_copy(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "a.heic")
    assert "Most Compatible" in caught.value.problems[0].remedy


def test_too_many_bytes_are_refused_unread() -> None:
    assert "40,000,001 bytes" in refused(b"\xff\xd8\xff" + b"\0" * (MOST_BYTES - 2))


@pytest.mark.parametrize(("side", "taken"), [(LEAST_SIDE, True), (LEAST_SIDE - 1, False)])
def test_a_picture_that_shows_nothing_is_refused(side: int, taken: bool) -> None:
    content = photograph(300, side)
    shown: Callable[[], object] = lambda: reduced_copy(content, "a.jpg")  # noqa: E731
    if taken:
        shown()
    else:
        assert "300 × 63 pixels" in refused(content)
