"""Photos as they are kept: upright, without what the camera wrote; bombs refused.

EXIF orientation 6 and the tag of the place are those of the EXIF standard (CIPA DC-008).
"""

from __future__ import annotations

import io
from functools import partial

import numpy as np
import pytest
from PIL import Image

from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.casebook.photos import pictures
from advisor.casebook.photos.attached import AFTER, BEFORE, attach, attached, take_away
from advisor.casebook.photos.files import UNUSED_DAYS
from advisor.casebook.photos.pictures import GREY, as_kept, masked, opened, preview
from advisor.facts.case import Case
from tests.casebook.shop import NOON

ORIENTATION, GPS, ARTIST = 0x0112, 0x8825, 0x013B


def camera_photo() -> bytes:
    """80 x 40, dark at the left, held turned; with a place and a name in it."""
    pixels = np.zeros((40, 80, 3), dtype=np.uint8)
    pixels[:, 40:] = 220
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif[ARTIST] = "Ada Quillfeather"
    exif[GPS] = {1: "N", 2: (53.0, 20.0, 0.0)}
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", exif=exif, quality=95)
    return out.getvalue()


def test_a_photo_is_kept_upright_without_place_and_name() -> None:
    data = camera_photo()
    assert b"Quillfeather" in data
    kept = as_kept(opened(data))
    assert b"Quillfeather" not in kept
    assert b"Exif" not in kept
    with Image.open(io.BytesIO(kept)) as picture:
        assert picture.size == (40, 80)  # orientation 6: turned by a quarter
        assert not picture.getexif()
        assert max(picture.getpixel((20, 10))) < 30
        assert min(picture.getpixel((20, 70))) > 190


def test_a_preview_is_small(monkeypatch: pytest.MonkeyPatch) -> None:
    with Image.open(io.BytesIO(preview(camera_photo(), 20))) as small:
        assert small.size == (10, 20)


@pytest.mark.parametrize("data", [b"", b"no photo", b"GIF89a", b"\xff\xd8\xff\xe0 cut short"])
def test_what_is_no_photo_is_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match="not a photo that can be read"):
        opened(data)


def test_a_photo_of_too_many_pixels_is_refused_before_it_is_decoded(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(pictures, "MOST_PIXELS", 3_000)
    with pytest.raises(ValueError, match="too many pixels: 80 x 40"):
        opened(camera_photo())


def test_the_face_of_a_card_is_masked_and_its_outline_stays() -> None:
    picture = Image.new("RGB", (200, 150), (250, 250, 250))
    covered = masked(picture, [(20, 20), (180, 20), (180, 130), (20, 130)])
    assert covered.getpixel((100, 75)) == GREY
    assert covered.getpixel((21, 75)) == (250, 250, 250)
    assert covered.getpixel((10, 75)) == (250, 250, 250)
    assert picture.getpixel((100, 75)) == (250, 250, 250)


def test_photos_before_and_after_belong_to_a_case(book: Casebook) -> None:
    book.write(partial(add_case, case=Case("HB-1"), author="A", at=NOON, pack=book.pack))
    key = book.all_keys()[0]
    put = partial(attach, key=key, data=camera_photo(), at=NOON, store=book.files)
    first = book.write(partial(put, name="one.jpg", moment=BEFORE))
    assert book.write(partial(put, name="again.jpg", moment=AFTER)) == first  # once by content
    listed = book.read(partial(attached, key=key))
    assert [(one.name, one.moment) for one in listed] == [("one.jpg", BEFORE)]
    data = book.read(partial(book.files.read, digest=first))
    assert opened(data).size == (40, 80)
    book.write(partial(take_away, key=key, digest=first))
    assert book.read(partial(attached, key=key)) == []
    assert book.read(book.files.unused) == [first]
    noted, day = 1_000_000, 86_400_000
    assert book.write(partial(book.files.note_unused, now=noted)) == []
    assert book.write(partial(book.files.note_unused, now=noted + UNUSED_DAYS * day)) == []
    late = noted + UNUSED_DAYS * day + 1
    assert book.write(partial(book.files.note_unused, now=late)) == [first]
    assert book.read(book.files.unused) == []
    with pytest.raises(KeyError):
        book.write(partial(attach, key="x", data=camera_photo(), name="", moment="", at=NOON,
                           store=book.files))  # fmt: skip
