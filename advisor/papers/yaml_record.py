"""Records kept as YAML: read with every fault, written as the same record reads back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Annotated, Any, TypeVar

import yaml
from pydantic import BeforeValidator, StringConstraints, TypeAdapter, ValidationError

from advisor.facts.faults import AnswerError, BadInput, Fault
from advisor.facts.marked_yaml import Marked, Where, marked_text
from advisor.facts.text_file import MAX_BYTES, read_text
from advisor.facts.whole_file import private_folder, write_whole
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Strict

R = TypeVar("R", bound=Strict)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
DAY_ACCEPTED = "year, month and day, such as 2026-11-30"


def _day(given: object) -> object:
    if given is None or isinstance(given, date):
        return given
    text = given.strip() if isinstance(given, str) else ""
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass  # a day that no calendar has
    raise AnswerError("not a date", text or str(given), DAY_ACCEPTED)


def _words(given: object) -> object:
    """Blank text is no answer."""
    return None if isinstance(given, str) and not given.strip() else given


Words = Annotated[
    Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=300)] | None,
    BeforeValidator(_words),
]
"""A line of text; None: not given."""
Lines = Annotated[
    Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=4000)] | None,
    BeforeValidator(_words),
]
Day = Annotated[date | None, BeforeValidator(_day)]


def blank_is(empty: Any) -> Any:
    """Where an entry stands with nothing behind it, it is as if it were left out."""
    return BeforeValidator(lambda given: empty if given is None else given)


def as_written(value: Any, marked: Marked, at: Where = ()) -> Any:
    """``value`` with every number as the text it was written as: "0417" is no number."""
    if isinstance(value, dict):
        return {key: as_written(inside, marked, (*at, key)) for key, inside in value.items()}
    if isinstance(value, list):
        return [as_written(inside, marked, (*at, i)) for i, inside in enumerate(value)]
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return marked.written(at) if number else value


def record_in(text: str, file: str, form: type[R]) -> R:
    """The record in the text of ``file``. Raises BadInput with all its faults."""
    faults: list[Fault] = []
    adapter = TypeAdapter(form)
    marked = marked_text(text, file, faults=faults)
    record = None
    try:
        record = adapter.validate_python(as_written(marked.data, marked))
    except ValidationError as error:
        faults += faults_of(PackFile(file, Path(file), marked), error, adapter)
    if faults or record is None:
        raise BadInput(faults)
    return record


def read_record(path: Path, form: type[R]) -> R:
    """The record in a file. Raises BadInput with all its faults."""
    return record_in(read_text(path, MAX_BYTES), str(path), form)


def record_text(record: Strict) -> str:
    """The record as YAML that reads back as the same; what is not given is left out."""
    return plain_text(plain(record))


def plain_text(data: Mapping[str, Any]) -> str:
    """Plain data as YAML."""
    return str(yaml.safe_dump(dict(data), sort_keys=False, allow_unicode=True, width=96))


def plain(record: Strict) -> dict[str, Any]:
    """The record as plain data; what is not given is left out."""
    found: dict[str, Any] = _given(record)
    return found


def with_values(record: Strict, at: Where, values: Mapping[str, Any]) -> dict[str, Any]:
    """The record as plain data with entries set inside ``at``, by dotted names.

    ``at`` names the entry of a list that is there, or that comes after its last. What is
    empty is taken away.
    """
    data = plain(record)
    inside: Any = data
    for place, key in enumerate(at):
        if isinstance(key, int):
            if key >= len(inside):
                inside.append({})
            inside = inside[key]
        else:
            listed = place + 1 < len(at) and isinstance(at[place + 1], int)
            inside = inside.setdefault(key, [] if listed else {})
    for name, value in values.items():
        *way, last = name.split(".")
        place = inside
        for key in way:
            place = place.setdefault(key, {})
        if value in (None, "", [], ()):
            place.pop(last, None)
        else:
            place[last] = value
    return data


def without(record: Strict, listed: str, index: int) -> dict[str, Any]:
    """The record as plain data without one entry of a list."""
    data = plain(record)
    del data[listed][index]
    return data


def write_record(record: Strict, path: Path) -> None:
    """Write it, whole or not at all, for this user alone. Raises BadInput."""
    try:
        private_folder(path.parent)
        write_whole(path, record_text(record).encode("utf-8"), private=True)
    except OSError as error:
        problem = f"cannot be written: {error.strerror or error}"
        raise BadInput(Fault(str(path), 0, 0, "", problem, "", "")) from None


def _given(value: Any) -> Any:
    if isinstance(value, Strict):
        found = {name: _given(getattr(value, name)) for name in type(value).model_fields}
        return {name: inside for name, inside in found.items() if inside not in (None, [], {})}
    if isinstance(value, dict):
        return {name: _given(inside) for name, inside in value.items()}
    if isinstance(value, (list, tuple)):
        return [_given(one) for one in value]
    return value.isoformat() if isinstance(value, date) else value
