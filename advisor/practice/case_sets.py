"""A set of cases for a class, as one file: hidden facts, what is shown, what is expected.

Everybody in a class practises on the same cases. When a set is opened both twins are worked out
again: where the rules now say otherwise, the case is set aside and that is said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

from pydantic import TypeAdapter, ValidationError

from advisor.facts.answer import check_value
from advisor.facts.case import PART, Case, Value
from advisor.facts.case_file import case_of
from advisor.facts.case_writer import case_text, value_text
from advisor.facts.faults import AnswerError, BadInput, Fault, one_of
from advisor.facts.marked_yaml import Marked, read_marked
from advisor.facts.whole_file import write_whole
from advisor.practice.cases import CaseSource, PracticeCase, Twin, choices_of
from advisor.practice.topics import all_topics
from advisor.practice.truth import truth_of
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Strict

FORMAT = 1
#: Simulated cases that check what a set expects.
CHECKING_WORLDS = 4096
#: More cases are no class set.
MOST_CASES = 500
MAX_BYTES = 8 * 1024 * 1024


class TwinEntry(Strict):
    """The twin as it stands in the file."""

    fact: str
    value: Any
    right: str
    margin: float = 0.0


class CaseEntry(Strict):
    """One case as it stands in the file."""

    right: str
    margin: float = 0.0
    difficulty: float | None = None
    source: Literal["demo", "casebook", "generated"] = "generated"
    shown: tuple[str, ...]
    twin: TwinEntry | None = None
    case: dict[str, Any]


class SetFile(Strict):
    """The whole file."""

    format: Literal[1]
    set: str = ""
    rules: str = ""
    seed: int | None = None
    cases: tuple[CaseEntry, ...]


@dataclass(frozen=True)
class CaseSet:
    """Cases to practise on, and those that were set aside."""

    name: str
    cases: tuple[PracticeCase, ...]
    seed: int | None = None
    set_aside: tuple[tuple[str, str], ...] = ()
    """Name of a case and why it is not practised on: the rules say otherwise by now."""
    digest: str = ""
    """Of the rules that the set was made with."""


def set_text(found: CaseSet, pack: RulePack) -> str:
    """The file of a set."""
    lines = [
        "# Cases to practise the choice of a repair on. Whoever reads on knows the answers.",
        f"format: {FORMAT}",
        f"set: {value_text(found.name, None)}" if found.name else "",
        f'rules: "{pack.digest}"',
        "" if found.seed is None else f"seed: {found.seed}",
        "cases:",
    ]
    for case in found.cases:
        lines += _entry_lines(case, pack)
    return "\n".join(line for line in lines if line) + "\n"


def _entry_lines(case: PracticeCase, pack: RulePack) -> list[str]:
    lines = [f"  - right: {case.right}", f"    margin: {case.margin:.4g}"]
    if case.difficulty is not None:
        lines.append(f"    difficulty: {case.difficulty:.4g}")
    lines += [f"    source: {case.source}", f"    shown: [{', '.join(case.shown)}]"]
    if case.twin is not None:
        decl = pack.facts[case.twin.fact]
        lines += [
            "    twin:", f"      fact: {case.twin.fact}",
            f"      value: {value_text(case.twin.value, decl)}",
            f"      right: {case.twin.right}", f"      margin: {case.twin.margin:.4g}",
        ]  # fmt: skip
    lines.append("    case:")
    return lines + [f"      {line}" for line in case_text(case.hidden, pack.facts).splitlines()]


def write_set(path: Path, found: CaseSet, pack: RulePack) -> None:
    """Write a set, whole or not at all. Raises OSError."""
    write_whole(path, set_text(found, pack).encode())


def read_set(path: Path, pack: RulePack, *, check: bool = True) -> CaseSet:
    """The set in a file; BadInput with all faults, each with its line.

    ``check`` works every case and twin out again (some tenths of a second each) and sets aside
    those of which the rules by now say otherwise.
    """
    marked = read_marked(path, limit=MAX_BYTES)
    form = TypeAdapter(SetFile)
    try:
        model = form.validate_python(marked.data)
    except ValidationError as error:
        raise BadInput(faults_of(PackFile(path.name, path, marked), error, form)) from None
    faults: list[Fault] = []
    if not 1 <= len(model.cases) <= MOST_CASES:
        accepted = f"1 to {MOST_CASES} cases"
        faults.append(marked.fault(("cases",), "no set", found=f"{len(model.cases)} cases",
                                   accepted=accepted))  # fmt: skip
    cases = [
        case for i, entry in enumerate(model.cases)
        if (case := _Entry(i, entry, marked, pack, faults).read()) is not None
    ]  # fmt: skip
    names = [case.name for case in cases]
    for i, name in enumerate(names):
        if name in names[:i]:
            faults.append(marked.fault(("cases", i), "two cases have the same name", found=name,
                                       accepted="a name of its own for each"))  # fmt: skip
    if faults:
        raise BadInput(faults)
    kept, aside = _checked(cases, pack) if check else (cases, [])
    return CaseSet(model.set, tuple(kept), model.seed, tuple(aside), model.rules)


class _Entry:
    """One case of the file, checked against the rules."""

    def __init__(
        self, index: int, entry: CaseEntry, marked: Marked, pack: RulePack, faults: list[Fault]
    ) -> None:
        self.index, self.entry, self.marked = index, entry, marked
        self.pack, self.faults = pack, faults

    def read(self) -> PracticeCase | None:
        """The case; None where something of it is wrong, which is among the faults."""
        before = len(self.faults)
        entry, pack = self.entry, self.pack
        hidden = self._case()
        self._right(("right",), entry.right)
        for i, name in enumerate(entry.shown):
            if hidden is not None and (name not in hidden.facts or pack.facts[name].gate):
                accepted = "a fact of the case that is no hazard"
                self._wrong(("shown", i), "this cannot be shown", name, accepted)
        twin = self._twin(hidden) if hidden is not None else None
        if len(self.faults) > before or hidden is None:
            return None
        source = CaseSource(entry.source)
        ask = twin is not None and twin.fact not in entry.shown
        topics = all_topics().of(hidden, pack, entry.right, ask)
        return PracticeCase(
            hidden.name, hidden.title, hidden, entry.shown, source, entry.right, topics,
            entry.margin, entry.difficulty, twin, pack.digest,
        )  # fmt: skip

    def _case(self) -> Case | None:
        try:
            entries = {key: value for key, value in self.entry.case.items() if key != "format"}
            return case_of(entries, self.pack.facts, methods=self.pack.methods)
        except BadInput as bad:
            place = self.marked.fault(("cases", self.index, "case"), "")
            self.faults += [
                replace(one, file=place.file, line=place.line, column=place.column)
                for one in bad.faults
            ]
            return None

    def _twin(self, hidden: Case) -> Twin | None:
        entry = self.entry.twin
        if entry is None:
            return None
        self._right(("twin", "right"), entry.right)
        decl = self.pack.facts.get(entry.fact)
        if decl is None or entry.fact not in hidden.facts:
            accepted = "a fact that the case has"
            self._wrong(("twin", "fact"), "nothing to change", entry.fact, accepted)
            return None
        kinds = hidden.facts.get(PART)
        try:
            part = kinds if isinstance(kinds, tuple) else None
            value: Value = check_value(decl, entry.value, part)
        except AnswerError as error:
            self._wrong(("twin", "value"), error.problem, error.found, error.accepted)
            return None
        return Twin(entry.fact, value, entry.right, entry.margin)

    def _right(self, where: tuple[str, ...], word: str) -> None:
        choices = choices_of(self.pack)
        if word not in choices:
            self._wrong(where, "no choice", word, one_of(choices))

    def _wrong(
        self, where: Sequence[str | int], problem: str, found: str, accepted: str
    ) -> None:
        path = ("cases", self.index, *where)
        self.faults.append(self.marked.fault(path, problem, found=found, accepted=accepted))


def _checked(
    cases: Sequence[PracticeCase], pack: RulePack
) -> tuple[list[PracticeCase], list[tuple[str, str]]]:
    """Cases of which the rules still say what the set expects, and the others with why."""
    kept, aside = [], []
    titles: Mapping[str, str] = choices_of(pack)
    for case in cases:
        why = ""
        for one in (case, *([case.other()] if case.twin else [])):
            try:
                right = truth_of(one, pack, CHECKING_WORLDS).right
            except BadInput as bad:
                why = bad.faults[0].text
                break
            if right != one.right:
                why = f"{titles[one.right]} was right; the rules now say: {titles[right]}"
                break
        if why:
            aside.append((case.name, why))
        else:
            kept.append(case)
    return kept, aside
