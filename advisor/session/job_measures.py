"""What was measured and agreed for a job, as written in the window, and kept. Knows no Qt."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from pathlib import Path

from advisor.facts.case import Case
from advisor.facts.faults import BadInput
from advisor.job.measured_and_agreed import Wishes
from advisor.job.parse_agreed import WishError, read_wishes
from advisor.paths import autosave_folder
from advisor.wording.amounts import factor

Texts = Mapping[str, str]

#: Units a number may have; the first is the one of the job sheet.
UNITS: Mapping[str, tuple[str, ...]] = {
    "certainty": ("%",),
    "distance": ("km", "mi"),
    "humidity": ("%",),
    "area": ("m2", "ft2"),
    "bridge": ("mm", "cm", "in"),
    "roll": ("mm", "cm", "m", "in"),
    "repeat": ("mm", "cm", "in"),
}
TITLES: Mapping[str, str] = {
    "certainty": "Jobs of 100 that stay within the quote",
    "distance": "To the customer, one way",
    "hollow": "Hollow, length x width x depth",
    "humidity": "Humidity where foam cures",
    "area": "Area to colour",
    "bridge": "Sound bridge between the splits",
    "panels": "Panels of the new cover",
    "roll": "Width of the roll",
    "repeat": "Pattern repeats, along and across added up",
    "nap": "Nap",
}
_NUMBER = re.compile(
    r"\s*(?P<number>[-+]?[0-9]*\.?[0-9]+)\s*(?P<unit>[a-z0-9%²]*)\s*", re.IGNORECASE
)
NAP = {"": None, "one way": True, "any way": False}


def to_wishes(texts: Texts) -> Wishes:
    """Wishes from what is written; empty texts leave what is usual. Raises WishError."""
    faults: list[str] = []
    agreed: dict[str, object] = {}
    for name, units in UNITS.items():
        written = texts.get(name, "").strip()
        if written:
            value = _number(name, written, units, faults)
            if value is not None:
                agreed[name] = value
    hollow = texts.get("hollow", "").strip()
    if hollow:
        agreed["hollow"] = f"{texts.get('shape', 'dish')} {hollow}"
    agreed["panels"] = [line for line in texts.get("panels", "").splitlines() if line.strip()]
    agreed["nap"] = NAP.get(texts.get("nap", ""))
    try:
        wishes = read_wishes(agreed)
    except WishError as error:
        raise WishError([*faults, *(_titled(fault) for fault in error.faults)]) from None
    if faults:
        raise WishError(faults)
    return wishes


def _number(
    name: str, written: str, units: tuple[str, ...], faults: list[str]
) -> float | None:
    found = _NUMBER.fullmatch(written)
    unit = "" if found is None else found["unit"].replace("²", "2").lower()
    if found is None or unit not in ("", *units):
        accepted = " or ".join(units)
        faults.append(f"{TITLES[name]}: {written!r} is not a number in {accepted}")
        return None
    value = float(found["number"])
    if units == ("%",):
        return value / 100.0
    return value * factor(unit or units[0], units[0], "area" if name == "area" else "length")


def _titled(fault: str) -> str:
    """The name of an option read as the title of its field."""
    word, space, rest = fault.partition(" ")
    title = TITLES.get(word)
    return f"{title}{space}{rest}" if title is not None else fault


def _place(case: Case) -> Path:
    name = hashlib.sha256(case.name.encode()).hexdigest()[:24]
    return autosave_folder().parent / "job" / f"{name}.json"


def kept(case: Case) -> dict[str, str]:
    """What was written for this case before; nothing where nothing can be read."""
    try:
        found = json.loads(_place(case).read_text("utf-8"))
    except (OSError, ValueError, BadInput):
        return {}
    if not isinstance(found, dict):
        return {}
    return {str(key): value for key, value in found.items() if isinstance(value, str)}


def keep(case: Case, texts: Texts) -> None:
    """Keep what is written, whole or not at all. Raises OSError where it cannot be written."""
    from advisor.facts.whole_file import private_folder, write_whole

    try:
        place = _place(case)
    except BadInput as error:
        raise OSError(str(error)) from None
    private_folder(place.parent)
    said = {key: text for key, text in texts.items() if text.strip()}
    write_whole(place, json.dumps(said, ensure_ascii=False).encode("utf-8"), private=True)
