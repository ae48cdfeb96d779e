"""YAML read as plain data, with the line and column of every value.

The text is taken event by event and built without recursion. Nothing is expanded and
no object is constructed, so a hostile file costs no more than its size.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from advisor.facts.faults import BadInput, Fault
from advisor.facts.text_file import MAX_BYTES, read_text
from advisor.facts.yaml_problems import yaml_fault

#: Place of a value: the keys and list positions that lead to it from the top.
Where = tuple[str | int, ...]
Mark = tuple[int, int]

MAX_DEPTH = 40
MAX_VALUES = 200_000
_MAX_FAULTS = 100
#: What YAML makes of "!!".
_LONG_TAG = "tag:yaml.org,2002:"
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_INT = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,17})")
_FLOAT = re.compile(r"[-+]?(?:[0-9]+\.[0-9]*|\.[0-9]+|[0-9]+(?=[eE]))(?:[eE][-+]?[0-9]{1,4})?")
_WORDS: Mapping[str, bool | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL"), None),
    **dict.fromkeys(("true", "True", "TRUE", "yes", "Yes", "YES"), True),
    **dict.fromkeys(("false", "False", "FALSE", "no", "No", "NO"), False),
}


@dataclass(frozen=True)
class Marked:
    """The contents of one file and where each part of it stands."""

    file: str
    data: dict[str, Any]
    marks: Mapping[Where, Mark]
    key_marks: Mapping[Where, Mark]
    texts: Mapping[Where, str]
    text: str
    """The whole file as it was read, without a byte order mark."""

    def mark(self, path: Where) -> Mark:
        """Line and column, from 1, of the value at ``path`` or of its nearest parent."""
        return self._nearest(self.marks, path)

    def key_mark(self, path: Where) -> Mark:
        """Line and column of the key that names ``path``; of the value where it has none."""
        return self.key_marks.get(path) or self.mark(path)

    def written(self, path: Where) -> str:
        """The scalar at ``path`` as it was written ("1.50"); ``""`` where there is none."""
        return self.texts.get(path, "")

    def fault(
        self,
        path: Where,
        problem: str,
        *,
        found: str = "",
        accepted: str = "",
        nearest: str = "",
        found_is: str = "",
        at_key: bool = False,
        name: str | None = None,
    ) -> Fault:
        """A fault at ``path``; ``name`` replaces the dotted path as the field's name."""
        line, column = self.key_mark(path) if at_key else self.mark(path)
        field_name = dotted(path) if name is None else name
        return Fault(
            self.file, line, column, field_name, problem, found, accepted, nearest, found_is
        )

    @staticmethod
    def _nearest(table: Mapping[Where, Mark], path: Where) -> Mark:
        while path and path not in table:
            path = path[:-1]
        return table.get(path, (1, 1))


def dotted(path: Where) -> str:
    """``earlier_repairs[0].method`` for ``("earlier_repairs", 0, "method")``."""
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else (f".{part}" if text else part)
    return text


def kind_of(value: object) -> str:
    """What a plain value is, in words: "a list", "text", "nothing"."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes or no"
    for types, words in (((int, float), "a number"), (str, "text"), (list, "a list")):
        if isinstance(value, types):
            return words
    return "a mapping"


def scalar(text: str) -> str | int | float | bool | None:
    """What an unquoted scalar means. Dates, hexadecimal, nan and the like stay text."""
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in "+-.0123456789":
        return text
    if _INT.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        value = float(text)
        return value if math.isfinite(value) else text
    return text


def read_marked(path: Path, *, limit: int = MAX_BYTES, faults: list[Fault] | None = None) -> Marked:
    """Read a YAML mapping of at most ``limit`` bytes.

    Accepts mappings with text keys, lists, text, numbers, yes/no/true/false and null, at
    most 40 levels deep; no anchors, aliases, tags or second document.

    Raises BadInput. Keys given twice or that are not text, and tags, are collected: into
    ``faults`` where the caller passes a list (to report them with its own), else raised
    together.
    """
    return marked_text(read_text(path, limit), str(path), faults=faults)


def marked_text(text: str, file: str, *, faults: list[Fault] | None = None) -> Marked:
    """As `read_marked`, for text that was read from ``file``."""
    builder = _Builder(file, text)
    marked = builder.build()
    if builder.faults and faults is None:
        raise BadInput(builder.faults)
    if faults is not None:
        faults.extend(builder.faults)
    return marked


def read_beginning_marked(text: str, file: str, faults: list[Fault]) -> Marked | None:
    """What the mapping in ``text`` holds up to where it stops being one, or None.

    Everything that is wrong goes into ``faults``.
    """
    builder = _Builder(file, text)
    try:
        return builder.build()
    except BadInput as error:
        faults.extend(fault for fault in error.faults if fault not in builder.faults)
        return builder.so_far()
    finally:
        faults.extend(builder.faults)


@dataclass
class _Frame:
    """A mapping or list that is being filled."""

    into: dict[str, Any] | list[Any]
    path: Where
    key: str | None = None
    again: bool = False


@dataclass
class _Builder:
    file: str
    text: str
    faults: list[Fault] = field(default_factory=list)
    marks: dict[Where, Mark] = field(default_factory=dict)
    key_marks: dict[Where, Mark] = field(default_factory=dict)
    texts: dict[Where, str] = field(default_factory=dict)
    stack: list[_Frame] = field(default_factory=list)
    root: Any = None
    documents: int = 0

    def build(self) -> Marked:
        try:
            for event in self._events():
                self._take(event)
        except yaml.YAMLError as error:
            fault = yaml_fault(self.file, self.text, error)
            raise BadInput([*self.faults, fault]) from None
        if self.root is None:
            raise self._stop((0, 0), "the file is empty", accepted="a mapping of names to values")
        if not isinstance(self.root, dict):
            words = kind_of(self.root)
            raise self._stop(
                self.marks[()], "not a mapping at the top level",
                found_is=words, accepted="names, each with a colon and a value",
            )  # fmt: skip
        marked = self.so_far()
        assert marked is not None  # it is a mapping, as was just checked
        return marked

    def so_far(self) -> Marked | None:
        """What was built by now; None where it is no mapping."""
        if not isinstance(self.root, dict):
            return None
        return Marked(self.file, self.root, self.marks, self.key_marks, self.texts, self.text)

    def _events(self) -> Iterator[Event]:
        loader = _LOADER(self.text)
        try:
            while loader.check_event():
                yield loader.get_event()
        finally:
            loader.dispose()

    def _take(self, event: Event) -> None:
        if isinstance(event, ScalarEvent):
            self._check(event)
            self._scalar(event)
        elif isinstance(event, (MappingStartEvent, SequenceStartEvent)):
            self._check(event)
            self._open(event)
        elif isinstance(event, (MappingEndEvent, SequenceEndEvent)):
            self.stack.pop()
        elif isinstance(event, AliasEvent):
            raise self._stop(_mark(event), "anchors and aliases are not accepted")
        elif isinstance(event, DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                raise self._stop(_mark(event), "a second document begins here", accepted="one")

    def _check(self, event: ScalarEvent | MappingStartEvent | SequenceStartEvent) -> None:
        if event.anchor is not None:
            raise self._stop(_mark(event), "anchors and aliases are not accepted")
        if event.tag is not None:
            line, column = _mark(event)
            problem, tag = "tags are not accepted", event.tag.replace(_LONG_TAG, "!!", 1)
            self._note(Fault(self.file, line, column, "", problem, tag, "plain values"))
        if len(self.marks) >= MAX_VALUES:
            raise self._stop(
                _mark(event), "too many values", accepted=f"at most {MAX_VALUES:,} values in a file"
            )

    def _scalar(self, event: ScalarEvent) -> None:
        plain = event.implicit[0] and event.tag is None
        value = scalar(event.value) if plain else event.value
        frame = self.stack[-1] if self.stack else None
        if frame is not None and isinstance(frame.into, dict) and frame.key is None:
            self._key(frame, event, value)
            return
        path = self._put(value, _mark(event))
        self.texts.setdefault(path, event.value)

    def _key(self, frame: _Frame, event: ScalarEvent, value: object) -> None:
        name = event.value
        path = (*frame.path, name)
        line, column = _mark(event)
        if not isinstance(value, str):
            self._note(
                Fault(
                    self.file, line, column, dotted(frame.path), "a name that is not text",
                    name, "text; put quotation marks around it", found_is=kind_of(value),
                )
            )  # fmt: skip
        frame.key = name
        frame.again = name in frame.into
        if frame.again:
            first = self.key_marks[path]
            problem = f"given twice, first in line {first[0]}, column {first[1]}"
            fault = Fault(self.file, line, column, dotted(path), problem, "", "each name once")
            self._note(fault)
        self.key_marks.setdefault(path, (line, column))

    def _open(self, event: MappingStartEvent | SequenceStartEvent) -> None:
        mark = _mark(event)
        if len(self.stack) >= MAX_DEPTH:
            raise self._stop(mark, "nested too deep", accepted=f"at most {MAX_DEPTH} levels")
        frame = self.stack[-1] if self.stack else None
        if frame is not None and isinstance(frame.into, dict) and frame.key is None:
            words = "a mapping" if isinstance(event, MappingStartEvent) else "a list"
            raise self._stop(
                mark, "a name that is not text", found_is=words, accepted="text as the name"
            )
        into: dict[str, Any] | list[Any] = {} if isinstance(event, MappingStartEvent) else []
        self.stack.append(_Frame(into, self._put(into, mark)))

    def _put(self, value: Any, mark: Mark) -> Where:
        """Store a value in the open mapping or list; its path."""
        if not self.stack:
            self.root = value
            path: Where = ()
        else:
            frame = self.stack[-1]
            if isinstance(frame.into, list):
                path = (*frame.path, len(frame.into))
                frame.into.append(value)
            else:
                assert frame.key is not None
                path = (*frame.path, frame.key)
                if not frame.again:
                    frame.into[frame.key] = value
                frame.key = None
        self.marks.setdefault(path, mark)
        return path

    def _note(self, fault: Fault) -> None:
        self.faults.append(fault)
        if len(self.faults) >= _MAX_FAULTS:
            raise BadInput(self.faults)

    def _stop(self, mark: Mark, problem: str, found_is: str = "", accepted: str = "") -> BadInput:
        fault = Fault(self.file, *mark, "", problem, "", accepted, found_is=found_is)
        return BadInput([*self.faults, fault])


def _mark(event: Event) -> Mark:
    mark = event.start_mark
    assert mark is not None  # both parsers mark every event
    return mark.line + 1, mark.column + 1
