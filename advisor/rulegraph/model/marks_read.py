"""Answers that follow from another answer: a mark says what the plastic is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

from advisor.facts.case import Case, Value
from advisor.facts.declaration import FactDecl
from advisor.rulegraph.model.asked import FactRule

if TYPE_CHECKING:
    from advisor.rulegraph.model.plastics import PlasticRules, Reading


class ReadsMarks(Protocol):
    """What of a rule pack the reading of marks rests on."""

    @property
    def facts(self) -> Mapping[str, FactDecl]:
        """Every declared fact."""
        ...

    @property
    def fact_rules(self) -> Mapping[str, FactRule]:
        """Among other things, which fact is read from the text of which other one."""
        ...

    @property
    def plastics(self) -> PlasticRules | None:
        """What marks are read as; None where the rules say nothing about plastics."""
        ...


@dataclass(frozen=True)
class Remark:
    """Something to say about a written answer. ``doubt``: it contradicts another one."""

    fact: str
    text: str
    doubt: bool = False


def reading_of(pack: ReadsMarks, fact: str, text: str) -> Reading | None:
    """What the text of ``fact`` says; None where the rules read nothing from that fact."""
    rule = pack.fact_rules.get(fact)
    if rule is None or rule.reads is None or pack.plastics is None:
        return None
    from advisor.rulegraph.model.plastics import read_plastic

    target = pack.facts[rule.reads]
    return read_plastic(fact, target, text, pack.plastics, rule.unread)


def readings_of(pack: ReadsMarks, case: Case) -> Iterator[Reading]:
    """What the written answers of a case say about other facts."""
    if not any(isinstance(value, str) for value in case.facts.values()):
        return
    for name, rule in pack.fact_rules.items():
        text = case.facts.get(name)
        if rule.reads is not None and isinstance(text, str):
            reading = reading_of(pack, name, text)
            if reading is not None:
                yield reading


def as_read(pack: ReadsMarks, case: Case) -> Case:
    """The case with what its written answers say about facts that nobody answered.

    An answer that was given stands; of several possible ones those remain that the mark
    allows. Reading twice changes nothing.
    """
    entered = {name: value for name, value in case.facts.items() if name not in case.read}
    found: dict[str, Value] = {}
    read: dict[str, str] = {}
    for reading in readings_of(pack, replace(case, facts=entered)):
        given = entered.get(reading.target)
        if not reading.options or (reading.problem and given is not None):
            continue
        options = reading.options
        if isinstance(given, tuple):
            from advisor.rulegraph.model.plastics import agree

            options = agree(pack.facts[reading.target], options, given)
            if not options or len(options) >= len(given):
                continue
        found[reading.target] = options
        read[reading.target] = reading.fact
    if not read and not case.read:
        return case
    return replace(case, facts={**entered, **found}, read=read)


def remarks_on(pack: ReadsMarks, case: Case) -> tuple[Remark, ...]:
    """What could not be read, and what contradicts an answer."""
    from advisor.rulegraph.model.plastics import agree

    entered = {name: value for name, value in case.facts.items() if name not in case.read}
    found = []
    for reading in readings_of(pack, replace(case, facts=entered)):
        given = entered.get(reading.target)
        decl = pack.facts[reading.target]
        title = decl.title.lower()
        if reading.problem:
            said = f" says {reading.understood}" if reading.understood else " could not be read"
            stays = f"“{title}” stays open" if given is None else f"the answer to “{title}” is used"
            if given is None and reading.titles:
                stays = f"taken as: {reading.titles.lower()}"
            text = f"The mark {reading.mark}{said}: {reading.problem}; {stays}."
            found.append(Remark(reading.fact, text))
        elif isinstance(given, tuple) and not agree(decl, reading.options, given):
            answer = " or ".join(decl.option(key).title for key in given)
            text = (
                f"The mark {reading.mark} says {reading.understood}, the answer to “{title}” is "
                f"“{answer}”: one of them is wrong. Is it the mark of this part? The "
                "answer is used until that is decided."
            )
            found.append(Remark(reading.fact, text, doubt=True))
    return tuple(found)


def notes_on(pack: ReadsMarks, case: Case) -> tuple[str, ...]:
    """What was taken from the written answers, for the working."""
    found = []
    for reading in readings_of(pack, case):
        if case.read.get(reading.target) == reading.fact and not reading.problem:
            title = pack.facts[reading.target].title
            said = f"{reading.mark} ({reading.understood})"
            found.append(f"{title} read from the mark {said}: {reading.titles}.")
    return tuple(found)
