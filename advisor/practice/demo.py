"""The demo cases as cases to practise on."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.paths import demo_folder
from advisor.practice.cases import CaseSource, PracticeCase, seen_at_a_glance
from advisor.practice.topics import all_topics
from advisor.practice.truth import truth_of
from advisor.rulegraph.model.pack import RulePack

#: Simulated cases that tell what is right and which topics a case belongs to.
SORTING_WORLDS = 1024


def demo_cases(pack: RulePack, folder: Path | None = None) -> tuple[PracticeCase, ...]:
    """Every demo case that can be calculated, by file name."""
    found: list[PracticeCase] = []
    for path in sorted((folder or demo_folder()).glob("*.yaml")):
        found += as_practice(read_case(path, pack.facts), pack, CaseSource.DEMO)
    return tuple(found)


def as_practice(case: Case, pack: RulePack, source: CaseSource) -> Iterator[PracticeCase]:
    """A case to practise on from a real one; nothing where it cannot be calculated.

    What it leaves open stays open: a question about it costs its minutes and tells nothing. One
    of which nobody answered a hazard is left out, as nothing is right in it but asking.
    """
    shown = seen_at_a_glance(case, pack)
    draft = PracticeCase(
        case.name, case.title, case, shown, source, right="", digest=pack.digest
    )  # fmt: skip
    try:
        truth = truth_of(draft, pack, SORTING_WORLDS)
    except BadInput:
        return
    if truth.advice.open_hazards:
        return
    ask = any(q.fact in case.facts for q in truth.questions)
    topics = all_topics().of(case, pack, truth.right, ask)
    yield PracticeCase(
        case.name, case.title, case, shown, source, truth.right, topics, digest=pack.digest
    )  # fmt: skip
