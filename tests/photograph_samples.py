"""Photographs made for tests."""

import io
from typing import Any

from PIL import Image


def photograph(width: int = 400, height: int = 300, kind: str = "JPEG", mode: str = "RGB", **options: Any) -> bytes:
    """Left half red, right half blue."""
    picture = Image.new("RGB", (width, height), (200, 0, 0))
    picture.paste((0, 0, 200), (width // 2, 0, width, height))
    content = io.BytesIO()
    picture.convert(mode).save(content, kind, **options)
    return content.getvalue()


def with_position(**options: Any) -> bytes:
    """One that says where it was taken and by which camera."""
    exif = Image.Exif()
    exif[0x010F] = "Secretmaker"
    exif[0x9286] = "Secretcomment"
    exif.get_ifd(0x8825).update({1: "N", 2: (41.0, 52.0, 55.0), 3: "W", 4: (87.0, 37.0, 40.0)})
    return photograph(exif=exif, **options)
