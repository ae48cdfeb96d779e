"""What is left of a file when all that is not well formed is left out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from advisor.facts.faults import Fault, nearest_name
from advisor.rulegraph.reading.pack_files import CUT, Loc, Lost, PackFile
from advisor.rulegraph.reading.validation_faults import adapter, existing, faults_of
from advisor.rulegraph.reading.variants import VARIANT_OF

#: Stand-ins for words and figures that nothing else in the pack refers to: with them the
#: rest of an entry is judged. A pack with a fault is never used, so nobody sees them.
STAND_INS: Mapping[str | int, Any] = {
    "title": "-", "ask": "-", "how": "-", "text": "-", "if_not": "-", "refer": "-",
    "finding": "-", "version": "-", "why": "-", "note": "-", "currency": "EUR", "order": 0,
    "looks": "slight", "status": "estimate", "stage": "job",
}  # fmt: skip
VARIANT = "variant"


def well_formed(file: PackFile, lost: Lost) -> list[Fault]:
    """Set the content of ``file`` to what is well formed in it; the faults of the rest.

    An entry goes as a whole where it cannot do without the part at fault. What goes is
    noted in ``lost``, so that what refers to it is not at fault for that.
    """
    faults: list[Fault] = []
    while True:
        data = _repaired(file.marked.data, file.repairs)
        try:
            file.content = adapter(file.name).validate_python(data)
            break
        except ValidationError as error:
            faults = faults or faults_of(file, error)
            found = [_mended(file, data, item) for item in error.errors(include_url=False)]
        if ((), CUT) in found:
            lost.add(file.name, file.marked.data)
            return faults
        file.repairs.update(found)
    # A method's nodes are named after it, a part's values are cells of its row.
    of = [file.marked.data.get(key, "") for key in ("method", "variant", "part")]
    for loc, value in file.repairs.items():
        if value is CUT:
            lost.add(*of, *loc, _at(file.marked.data, loc))
    return faults


def _mended(file: PackFile, data: Any, item: Any) -> tuple[Loc, Any]:
    """A place in the file and what to put there for one finding of the validator."""
    at = file.written(existing(data, item["loc"]))
    kind = item["type"]
    wanted = (*at, item["loc"][-1]) if kind == "missing" else at
    if len(at) == 1 and nearest_name(str(at[0]), [VARIANT, VARIANT_OF]):
        return (), CUT  # it would pass for the method that it is a variant of
    stand_in = STAND_INS.get(wanted[-1], CUT) if wanted else CUT
    if stand_in is CUT or kind == "extra_forbidden" or wanted in file.repairs:
        return at, CUT
    return wanted, stand_in


def _repaired(value: Any, repairs: Mapping[Loc, Any], at: Loc = ()) -> Any:
    """``value`` as it is with the repairs."""
    if isinstance(value, dict):
        kept = {key: _repaired(inside, repairs, (*at, key)) for key, inside in value.items()}
        kept |= {loc[-1]: new for loc, new in repairs.items() if loc[:-1] == at}
        return {key: inside for key, inside in kept.items() if inside is not CUT}
    if isinstance(value, list):
        inside = [
            repairs.get((*at, i), _repaired(entry, repairs, (*at, i)))
            for i, entry in enumerate(value)
        ]
        return [entry for entry in inside if entry is not CUT]
    return value


def _at(data: Any, loc: Loc) -> Any:
    for part in loc:
        data = data[part]
    return data
