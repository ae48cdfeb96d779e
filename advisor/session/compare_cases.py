"""Two versions of one case, answer by answer: where they differ, and the two merged.

Knows nothing of files or windows: a version may come from a file, an autosave or a store.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any

from advisor.facts.case import Case, EarlierRepair
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import System
from advisor.session.answer_text import answer_text

#: What a case holds besides its facts, in the order shown, with how it is titled.
FIELDS: Mapping[str, str] = {
    "name": "Name of the case",
    "title": "Title",
    "earlier_repairs": "Earlier repairs",
    "photos": "Photos",
    "note": "Note",
}


@dataclass(frozen=True)
class Difference:
    """One answer in which two versions differ; None stands for an open question."""

    key: str
    """Name of the fact, or one of ``FIELDS``."""
    title: str
    hazard: bool
    mine: Any
    theirs: Any
    only: str = ""
    """"mine" or "theirs" where only that version changed it since both were the same."""
    decl: FactDecl | None = None

    def text(self, value: Any, system: System) -> str:
        """``mine`` or ``theirs`` as a person reads it."""
        if self.decl is not None:
            return answer_text(self.decl, value, system)
        return _field_text(value)


def differences(
    mine: Case, theirs: Case, facts: Mapping[str, FactDecl], base: Case | None = None
) -> tuple[Difference, ...]:
    """Every answer in which two versions differ: hazards first, then as the rules ask.

    ``base`` is the version both began from, if known: it tells who changed what. A length
    written in another unit is no difference.
    """
    found = [
        Difference(
            name,
            decl.title if decl is not None else name,
            decl is not None and decl.gate,
            _part(mine, name),
            _part(theirs, name),
            _changed_by(name, mine, theirs, base),
            decl,
        )
        for name, decl in _all_facts(mine, theirs, facts).items()
        if _part(mine, name) != _part(theirs, name)
    ]
    found.sort(key=lambda difference: not difference.hazard)
    for key, title in FIELDS.items():
        one, other = _part(mine, key), _part(theirs, key)
        if one != other:
            only = _changed_by(key, mine, theirs, base)
            found.append(Difference(key, title, False, one, other, only))
    return tuple(found)


def merged(mine: Case, theirs: Case, from_theirs: Collection[str]) -> Case:
    """``mine`` with the answers named in ``from_theirs`` as they are in ``theirs``.

    Names are those of ``Difference.key``; an answer that is open in ``theirs`` is then open.
    """
    case = mine
    for key in from_theirs:
        if key in FIELDS:
            case = replace(case, **{key: getattr(theirs, key)})
        elif key in theirs.facts:
            case = case.with_fact(key, theirs.facts[key])
        else:
            case = case.without(key)
    return case


def _all_facts(
    mine: Case, theirs: Case, facts: Mapping[str, FactDecl]
) -> dict[str, FactDecl | None]:
    """The declared facts, then what the rules no longer know."""
    unknown = sorted({*mine.facts, *theirs.facts} - set(facts))
    return {**facts, **dict.fromkeys(unknown)}


def _part(case: Case, key: str) -> Any:
    return getattr(case, key) if key in FIELDS else case.facts.get(key)


def _changed_by(key: str, mine: Case, theirs: Case, base: Case | None) -> str:
    if base is None:
        return ""
    if _part(mine, key) == _part(base, key):
        return "theirs"
    return "mine" if _part(theirs, key) == _part(base, key) else ""


def _field_text(value: object) -> str:
    if value is None:
        return "not asked"
    if value == "" or value == ():
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "; ".join(_repair(v) if isinstance(v, EarlierRepair) else str(v) for v in value)
    return str(value)


def _repair(repair: EarlierRepair) -> str:
    parts = (repair.method.replace("_", " "), repair.what, repair.result, repair.lasted)
    return ", ".join(part for part in parts if part)
