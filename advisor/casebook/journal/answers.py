"""A case as rows of answers: what a change writes, and a case put together from such rows.

A row says all that is needed to read it without the rules: a quantity carries its ends in
canonical units and the words in which it was given. Rows are only ever added.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from advisor.facts.case import Case, EarlierRepair, Span, Value

#: Fields of a case besides its facts; no fact of the rules has a name with a colon in it.
FIELDS = ("name", "title", "note", "photos", "earlier_repairs")
FIELD = "case:"
OPEN = "null"


@dataclass(frozen=True)
class AnswerRow:
    """One answer given by one person in one window."""

    case: str
    """Key of the case, the same in every journal and casebook."""
    writer: str
    """One window working on one case; new each time that a case is opened."""
    serial: int
    """Counts the rows of a writer from 1; (writer, serial) is found once anywhere."""
    base: int
    """Number of the revision on top of which the writer works; 0 for none."""
    at: int
    """Milliseconds since 1970, UTC, by this machine's clock; shown, and decides nothing."""
    author: str
    fact: str
    """Name of the fact, or ``case:`` with one of ``FIELDS``."""
    value: str
    """JSON; ``null`` where the question was left open again."""


def new_key() -> str:
    """A name that no other case or writer has, of 32 hexadecimal digits."""
    return os.urandom(16).hex()


def form(value: Any) -> Any:
    """An answer or field as plain data that `answer_of` or `field_of` reads back the same."""
    match value:
        case Span(low=low, high=high, written=written):
            return {"low": float(low), "high": float(high), "written": written}
        case EarlierRepair():
            return asdict(value)
        case tuple():
            return [form(each) for each in value]
    return value


def answer_of(data: Any) -> Value:
    """The answer that `form` gave. Raises ValueError for what no answer is."""
    match data:
        case {"low": int() | float() as low, "high": int() | float() as high, **rest}:
            return Span(float(low), float(high), str(rest.get("written", "")))
        case list() if data and all(isinstance(key, str) for key in data):
            return tuple(data)
        case bool() | str():
            return data
    raise ValueError(f"{data!r} is no answer")


def field_of(name: str, data: Any) -> Any:
    """The value of a field of `Case` that `form` gave. Raises ValueError."""
    try:
        if name == "earlier_repairs":
            return None if data is None else tuple(EarlierRepair(**each) for each in data)
        if name == "photos":
            return tuple(str(each) for each in data)
    except TypeError:
        raise ValueError(f"{data!r} is no {name}") from None
    if not isinstance(data, str):
        raise ValueError(f"{data!r} is no {name}")
    return data


def case_form(case: Case) -> dict[str, Any]:
    """A whole case as plain data."""
    fields: dict[str, Any] = {name: form(getattr(case, name)) for name in FIELDS}
    return {**fields, "facts": {name: form(value) for name, value in case.facts.items()}}


def case_of(data: Mapping[str, Any]) -> Case:
    """The case that `case_form` gave. Raises ValueError or KeyError for anything else."""
    fields = {name: field_of(name, data[name]) for name in FIELDS}
    return Case(**fields, facts={name: answer_of(each) for name, each in data["facts"].items()})


def changes(before: Case, after: Case) -> dict[str, str]:
    """What was answered, changed or left open again, as names and JSON.

    An answer written another way ("4.5 in" for "114.3 mm") is a change.
    """
    old, new = _flat(before), _flat(after)
    return {
        name: new.get(name, OPEN)
        for name in (*new, *(name for name in old if name not in new))
        if old.get(name, OPEN) != new.get(name, OPEN)
    }


def changed(case: Case, rows: Iterable[AnswerRow]) -> Case:
    """``case`` with the answers of ``rows`` in their order. Raises ValueError."""
    facts = dict(case.facts)
    fields: dict[str, Any] = {}
    for row in rows:
        data = json.loads(row.value)
        if row.fact.startswith(FIELD):
            name = row.fact.removeprefix(FIELD)
            if name not in FIELDS:
                raise ValueError(f"a case has no {name}")
            fields[name] = field_of(name, data)
        elif data is None:
            facts.pop(row.fact, None)
        else:
            facts[row.fact] = answer_of(data)
    return replace(case, facts=facts, read={}, **fields)


def _flat(case: Case) -> dict[str, str]:
    flat = {f"{FIELD}{name}": _json(getattr(case, name)) for name in FIELDS}
    return {**flat, **{name: _json(value) for name, value in case.facts.items()}}


def _json(value: Any) -> str:
    return json.dumps(form(value), ensure_ascii=False, separators=(",", ":"))
