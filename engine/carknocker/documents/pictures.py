"""Photographs read as if a stranger meant harm, and made small: the copy holds what is to be seen and nothing else, no
position, no camera, no comment, no color profile."""

import io
from typing import TYPE_CHECKING, NoReturn

import msgspec

from carknocker.documents.node import Location
from carknocker.documents.problems import InputRefused, Problem
from carknocker.documents.visible_text import visible_line

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 40_000_000
"""Of a photograph as a camera makes it."""
MOST_PIXELS = 64_000_000
"""Width times height. Pixels take memory, however small the file is."""
LEAST_SIDE = 64
"""Pixels. What is smaller shows nothing."""
COPY_SIDE = 1_600
"""The longer side of a reduced copy, in pixels."""
PAGE_SIDE = 640
"""Of a photograph on a page."""
_QUALITY = 82
_FORMATS = ("JPEG", "PNG", "WEBP")
_WANTED = "a JPEG, PNG or WebP photograph"
_REMEDY = "take another, or export it anew"
_STARTS = {b"\xff\xd8\xff": "JPEG", b"\x89PNG\r\n\x1a\n": "PNG", b"RIFF": "WEBP"}
_ENDINGS = {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp"}
_HEIC = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis")
_LARGEST_PROFILE = 1_000_000


def reduced_copy(content: bytes, file: str, side: int = COPY_SIDE) -> bytes:
    """The JPEG file of a smaller picture, upright, at most `side` pixels long; the same bytes give the same copy.

    `file` names the photograph. Raises InputRefused, in plain words, for what is no whole photograph: another format,
    one that is cut off or damaged, one that is too large, or a small file that says it holds a huge picture.
    """
    _check_start(content, file)
    picture = _opened(content, file)
    made = io.BytesIO()
    try:
        _small_and_bare(picture, side).save(made, "JPEG", quality=_QUALITY, subsampling="4:2:0", optimize=True)
    except MemoryError:
        _refuse(file, "a photograph that takes more memory than there is", "a smaller one")
    except Exception as error:  # the decoders raise a dozen kinds of error for damaged data
        _refuse(file, f"a photograph that is cut off or damaged ({visible_line(str(error))[:120]})", "a whole one")
    return made.getvalue()


class SmallPicture(msgspec.Struct, frozen=True):
    """A JPEG file for a page. width, height: in pixels."""

    jpeg: bytes
    width: int
    height: int


def small_picture(content: bytes, file: str, side: int = PAGE_SIDE) -> SmallPicture:
    """A photograph as a page shows it. Raises InputRefused as `reduced_copy` does."""
    from PIL import Image

    jpeg = reduced_copy(content, file, side)
    return SmallPicture(jpeg, *Image.open(io.BytesIO(jpeg)).size)


def ending_of(content: bytes) -> str:
    """The usual ending of a photograph's file name, by its first bytes; "" for what is none."""
    return next((_ENDINGS[name] for start, name in _STARTS.items() if content.startswith(start)), "")


def _refuse(
    file: str, found: str, expected: str = _WANTED, remedy: str = "take another, or export it anew"
) -> NoReturn:
    raise InputRefused((Problem(Location(file, 1, 1), found, expected, remedy=remedy),)) from None


def _check_start(content: bytes, file: str) -> None:
    """Refuses by size and first bytes alone; how the file is named says nothing."""
    if not content:
        _refuse(file, "an empty file")
    if len(content) > MOST_BYTES:
        _refuse(file, f"a file of {len(content):,} bytes", f"a photograph of at most {MOST_BYTES:,} bytes")
    if content[4:8] == b"ftyp" and content[8:12] in _HEIC:
        remedy = "send it as JPEG: on an iPhone, Settings, Camera, Formats, Most Compatible; else export it as JPEG"
        _refuse(file, "a HEIC or AVIF photograph, which can't be read here", remedy=remedy)
    known = next((name for start, name in _STARTS.items() if content.startswith(start)), "")
    if not known or (known == "WEBP" and content[8:12] != b"WEBP"):
        _refuse(file, "a file that is no photograph, whatever its name says")


def _opened(content: bytes, file: str) -> "Image":
    """The picture, of which only the head was read, so that its size is known before any of it is unpacked."""
    # imported only where a photograph is read, since start-up is felt at every check
    import warnings

    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # ours is the stricter limit
            picture = Image.open(io.BytesIO(content), formats=_FORMATS)
    except Exception:
        _refuse(file, "a photograph whose head is damaged, or that says it is larger than any camera's", "a whole one")
    width, height = picture.size
    if width * height > MOST_PIXELS:
        _refuse(file, f"a picture of {width:,} × {height:,} pixels", f"at most {MOST_PIXELS:,} pixels")
    if min(width, height) < LEAST_SIDE:
        _refuse(file, f"a picture of {width:,} × {height:,} pixels", f"{LEAST_SIDE} pixels or more a side")
    return picture


def _small_and_bare(picture: "Image", side: int) -> "Image":
    """The first picture in the file, upright, in the usual colors, painted on a new sheet that knows nothing of it."""
    from PIL import Image, ImageOps

    profile = picture.info.get("icc_profile")
    picture.draft("RGB", (side, side))  # of a JPEG: unpacked no larger than needed
    upright = ImageOps.exif_transpose(picture)
    upright = _usual_colors(upright, profile)
    upright.thumbnail((side, side), Image.Resampling.LANCZOS)
    bare = Image.new("RGB", upright.size, "white")
    if upright.mode == "RGBA":
        bare.paste(upright, mask=upright.getchannel("A"))
    else:
        bare.paste(upright)
    return bare


def _usual_colors(picture: "Image", profile: object) -> "Image":
    """In sRGB, which every screen shows; by its own profile where that can be read."""
    from PIL import ImageCms

    see_through = picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info
    wanted = "RGBA" if see_through else "RGB"
    if isinstance(profile, bytes) and 0 < len(profile) <= _LARGEST_PROFILE and picture.mode in ("RGB", "CMYK"):
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            changed = ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            changed = None
        if changed is not None:
            return changed
    return picture.convert(wanted)
