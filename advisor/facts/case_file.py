"""Case files, format 1: read with every fault at once. `case_writer` writes them."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from advisor.facts.answer import MAX_TEXT, check_name, check_text, check_value
from advisor.facts.case import PART, Case, EarlierRepair, Value
from advisor.facts.case_writer import FORMAT, REPAIR_KEYS, case_text, write_case
from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.faults import AnswerError, BadInput, Fault, nearest_name, one_of
from advisor.facts.marked_yaml import (
    Marked,
    Where,
    dotted,
    kind_of,
    read_beginning_marked,
    read_marked,
)
from advisor.facts.text_file import MAX_BYTES, read_beginning

__all__ = [
    "FORMAT", "MAX_TEXT", "AnswerError", "case_of", "case_text", "check_name", "check_text",
    "check_value", "read_case", "read_partly", "write_case",
]  # fmt: skip

NEWER = "made by a newer program"
#: So many faults of a file are reported.
MAX_FAULTS = 100
_KEYS = ("format", "case", "title", "facts", "earlier_repairs", "photos", "note")

T = TypeVar("T")


def read_case(path: Path, facts: Mapping[str, FactDecl], *, methods: Collection[str] = ()) -> Case:
    """Read one case.

    ``facts`` declares what may be answered, by name. With ``methods`` given, an earlier
    repair must name one of them. Raises BadInput with all faults of the file.
    """
    faults: list[Fault] = []
    marked = read_marked(path, faults=faults)
    faults[:] = [replace(fault, field=fault.field.removeprefix("facts.")) for fault in faults]
    at_fault = {(fault.line, fault.column) for fault in faults}
    found: list[Fault] = []
    case = _Reader(marked, facts, methods, found).read()
    # What is no text or has a tag is reported once, not as an unknown name too.
    faults += (fault for fault in found if (fault.line, fault.column) not in at_fault)
    if faults:
        raise BadInput(_first(faults, str(path)))
    return case


def case_of(
    entries: Mapping[str, object], facts: Mapping[str, FactDecl], *, methods: Collection[str] = ()
) -> Case:
    """A case from what a case file would hold, ``format`` left out; `read_case` for a file.

    Raises BadInput with all faults; the case's name stands in the place of the file's.
    """
    name = entries.get("case")
    called = name if isinstance(name, str) and name else "case"
    marked = Marked(called, {"format": FORMAT, **entries}, {}, {}, {}, "")
    faults: list[Fault] = []
    case = _Reader(marked, facts, methods, faults).read()
    if faults:
        raise BadInput(replace(fault, line=0, column=0) for fault in faults)
    return case


def read_partly(
    path: Path,
    facts: Mapping[str, FactDecl],
    *,
    methods: Collection[str] = (),
    end: str = "",
) -> tuple[Case | None, list[Fault]]:
    """What can be read of a case that may be cut short or spoiled, and all that cannot.

    An answer at fault is left open. ``end`` is the line that a whole file ends with. The
    case is None where nothing can be read or a newer program made it; a case that lost its
    name is named after the file. Raises nothing.
    """
    faults: list[Fault] = []
    try:
        text, cut = read_beginning(path, MAX_BYTES)
    except BadInput as error:
        return None, list(error.faults)
    marked = read_beginning_marked(text, str(path), faults)
    if marked is None:
        return None, _first(faults, str(path))
    case = _Reader(marked, facts, methods, faults).read()
    if any(fault.problem == NEWER for fault in faults):
        return None, _first(faults, str(path))
    if cut is not None:
        faults.append(cut)
    elif end and text.rstrip("\n").rpartition("\n")[2] != end:
        problem = "the end is missing: answers may be missing too"
        faults.append(Fault(str(path), text.count("\n") + 1, 0, "", problem, "", ""))
    repairs = case.earlier_repairs
    if repairs:  # what is left of one at fault could not be written
        repairs = tuple(repair for repair in repairs if repair.method) or None
    photos = tuple(photo for photo in case.photos if photo)
    name = case.name or path.stem
    case = replace(case, name=name, earlier_repairs=repairs, photos=photos)
    if case == Case(case.name):
        return None, _first(faults, str(path))
    return case, _first(faults, str(path))


def _first(faults: list[Fault], file: str) -> list[Fault]:
    """All faults, or the first of a flood with a line that says so."""
    listed = sorted(faults, key=lambda fault: (fault.line, fault.column))
    if len(listed) <= MAX_FAULTS:
        return listed
    last = listed[MAX_FAULTS - 1]
    more = Fault(file, last.line, last.column, "", "more is wrong from here on", "", "")
    return [*listed[:MAX_FAULTS], more]


class _Reader:
    """Turns marked data into a case and collects what is wrong."""

    def __init__(
        self,
        marked: Marked,
        facts: Mapping[str, FactDecl],
        methods: Collection[str],
        faults: list[Fault],
    ) -> None:
        self.marked = marked
        self.data = marked.data
        self.facts = facts
        self.methods = methods
        self.faults = faults

    def read(self) -> Case:
        self._format()
        if self.faults and self.faults[0].problem == NEWER:
            return Case(NEWER)  # what else it holds is not for this program to judge
        self._unknown_keys((), self.data, _KEYS)
        name = self._name()
        return Case(
            name=name,
            title=self._text(("title",), self.data),
            facts=self._facts(),
            earlier_repairs=self._earlier_repairs(),
            photos=self._photos(),
            note=self._text(("note",), self.data),
        )

    def _format(self) -> None:
        number = self.data.get("format")
        accepted = f"format: {FORMAT}"
        if number is None:
            self._add(("format",), "the file does not say which format it has", accepted=accepted)
        elif isinstance(number, bool) or not isinstance(number, int) or number < 1:
            found = self.marked.written(("format",))
            words = "" if found else kind_of(number)
            problem = "not a format number"
            self._add(("format",), problem, found=found, accepted=accepted, found_is=words)
        elif number > FORMAT:
            self._add(("format",), NEWER, found=str(number), accepted=accepted)

    def _name(self) -> str:
        # A name such as 2041 is a number to YAML; it is taken as it was written.
        raw: object = self.marked.written(("case",)) or self.data.get("case")
        return self._checked(("case",), check_name, raw) or ""

    def _text(self, path: Where, within: Mapping[str, Any]) -> str:
        raw = within.get(str(path[-1]))
        if raw is None or raw == "":
            return ""
        raw = self.marked.written(path) or raw
        return self._checked(path, check_text, raw) or ""

    def _facts(self) -> dict[str, Value]:
        given = self.data.get("facts")
        if given is None:
            return {}
        if not isinstance(given, dict):
            self._wrong(("facts",), "not a mapping", "fact names, each with its answer")
            return {}
        part_kind: tuple[str, ...] | None = None
        with contextlib.suppress(AnswerError):
            if PART in given and PART in self.facts:
                answer = check_value(self.facts[PART], given[PART])
                part_kind = answer if isinstance(answer, tuple) else None
        answers: dict[str, Value] = {}
        for name, raw in given.items():
            if len(self.faults) > MAX_FAULTS:
                break
            value = self._fact(name, raw, part_kind)
            if value is not None:
                answers[name] = value
        return answers

    def _fact(self, name: str, raw: object, part_kind: tuple[str, ...] | None) -> Value | None:
        path: Where = ("facts", name)
        decl = self.facts.get(name)
        if decl is None:
            nearest = nearest_name(name, self.facts)
            accepted = "a fact that the rules declare"
            self._add(path, "no such fact", accepted=accepted, nearest=nearest, at_key=True)
            return None
        if decl.kind in (Kind.TEXT, Kind.QUANTITY) and raw is not None:
            raw = self.marked.written(path) or raw
        return self._checked(path, partial(check_value, decl, part_kind=part_kind), raw)

    def _earlier_repairs(self) -> tuple[EarlierRepair, ...] | None:
        given = self.data.get("earlier_repairs")
        if given is None:
            return None
        if not isinstance(given, list):
            accepted = "a list of repairs, or [] where nothing was tried"
            self._wrong(("earlier_repairs",), "not a list", accepted)
            return None
        repairs = [self._repair(("earlier_repairs", i), entry) for i, entry in enumerate(given)]
        return tuple(repair for repair in repairs if repair is not None)

    def _repair(self, path: Where, entry: object) -> EarlierRepair | None:
        if not isinstance(entry, dict):
            accepted = f"a mapping with {', '.join(REPAIR_KEYS)}"
            self._wrong(path, "not a repair", accepted)
            return None
        self._unknown_keys(path, entry, REPAIR_KEYS)
        method = self._text((*path, "method"), entry)
        if entry.get("method") in (None, ""):
            self._add((*path, "method"), "the method is missing", accepted=self._accepted_methods())
        elif method and self.methods and method not in self.methods:
            nearest = nearest_name(method, self.methods)
            accepted = self._accepted_methods()
            problem = "no such method"
            where = (*path, "method")
            self._add(where, problem, found=method, accepted=accepted, nearest=nearest)
        what, result, lasted = (self._text((*path, key), entry) for key in REPAIR_KEYS[1:])
        return EarlierRepair(method, what, result, lasted)

    def _accepted_methods(self) -> str:
        # All of them: no other list of methods is at hand where a case is written.
        names = ", ".join(sorted(self.methods))
        return f"one of {names}" if names else "the word of a method"

    def _photos(self) -> tuple[str, ...]:
        given = self.data.get("photos")
        if given is None:
            return ()
        if not isinstance(given, list):
            self._wrong(("photos",), "not a list", "a list of file names")
            return ()
        names = []
        for i, entry in enumerate(given):
            path: Where = ("photos", i)
            raw = self.marked.written(path) or entry
            names.append(self._checked(path, check_text, raw) or "")
        return tuple(names)

    def _unknown_keys(
        self, path: Where, given: Mapping[str, object], known: Collection[str]
    ) -> None:
        for key in given:
            if len(self.faults) > MAX_FAULTS:
                return
            if key not in known:
                self._add(
                    (*path, key), "no such entry",
                    accepted=one_of(known), nearest=nearest_name(key, known), at_key=True,
                )  # fmt: skip

    def _checked(self, path: Where, check: Callable[[Any], T], raw: object) -> T | None:
        try:
            return check(raw)
        except AnswerError as error:
            self.faults.append(error.at(self.marked.file, *self.marked.mark(path), _name(path)))
            return None

    def _wrong(self, path: Where, problem: str, accepted: str) -> None:
        found = self.marked.written(path)
        value: Any = self.data
        for part in path:
            value = value[part]
        words = "" if found else kind_of(value)
        self._add(path, problem, found=found, accepted=accepted, found_is=words)

    def _add(self, path: Where, problem: str, **parts: Any) -> None:
        self.faults.append(self.marked.fault(path, problem, name=_name(path), **parts))


def _name(path: Where) -> str:
    """What a path is called in a message: a fact by its own name."""
    return str(path[1]) if len(path) > 1 and path[0] == "facts" else dotted(path)
