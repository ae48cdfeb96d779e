"""Photos as they are kept: upright, in colours alone, without anything the camera wrote.

Pillow is loaded when the first photo comes.
"""

from __future__ import annotations

import io
import warnings
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

#: Pixels; more is no photo of a damage, and takes a gigabyte to open.
MOST_PIXELS = 60_000_000
#: Longest side of a photo that is kept, and of a preview, in pixels.
LONGEST = 6000
PREVIEW = 320
QUALITY = 92
KIND = "image/jpeg"
#: A masked face, and the share of the way to the middle that stays to be seen of the card.
GREY = (128, 128, 128)
OUTLINE = 0.04


def opened(data: bytes, longest: int = 0) -> Image:
    """A photo, turned upright by its tag. Raises ValueError for what is none, or too large.

    With ``longest`` it may come smaller, but no side shorter than that, which is much faster.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            # Sizes are judged below, before a pixel is decoded.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP", "TIFF", "BMP"))
        if picture.width * picture.height > MOST_PIXELS:
            size = f"{picture.width} x {picture.height}"
            raise ValueError(f"too many pixels: {size}; accepted: up to {MOST_PIXELS // 10**6}"
                             " million")  # fmt: skip
        if longest:
            picture.draft("RGB", (longest, longest))
        turned = ImageOps.exif_transpose(picture)
        return turned.convert("RGB")
    except UnidentifiedImageError:
        raise ValueError("not a photo that can be read (of no known kind)") from None
    except (OSError, SyntaxError, Image.DecompressionBombError) as error:
        raise ValueError(f"not a photo that can be read ({error})") from None


def as_kept(picture: Image) -> bytes:
    """The pixels alone, as JPEG: no place, no time, no name, no preview of another content."""
    kept = picture.copy()
    kept.thumbnail((LONGEST, LONGEST))
    kept.info.clear()
    out = io.BytesIO()
    kept.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def preview(data: bytes, longest: int = PREVIEW) -> bytes:
    """A small JPEG of a photo that is kept. Raises ValueError."""
    small = opened(data, longest)
    small.thumbnail((longest, longest))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=80)
    return out.getvalue()


def masked(picture: Image, corners: list[tuple[float, float]]) -> Image:
    """A copy in which a card's face is grey: it may be somebody's bank card.

    ``corners`` are where its edges meet, in pixels.
    """
    from PIL import ImageDraw

    covered = picture.copy()
    middle = [sum(corner[axis] for corner in corners) / len(corners) for axis in (0, 1)]
    # The outline stays, for it is what was measured by: a small share of the way inwards.
    inner = [
        (x + (middle[0] - x) * OUTLINE, y + (middle[1] - y) * OUTLINE) for x, y in corners
    ]
    ImageDraw.Draw(covered).polygon(inner, fill=GREY)
    return covered
