"""What the window shows one after the other: a pure function of the case.

Answers live in the case; nothing here remembers any. An *entry* is one screen:
a question, a small editor, the page of all hazard questions, or one of the closing pages.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from advisor.facts.case import DAMAGE, PART, Case
from advisor.facts.declaration import FactDecl, Stage
from advisor.session.advice_service import Pack
from advisor.wording.sentences import lowered

if TYPE_CHECKING:
    from advisor.advice.result import Advice, Question


class Tab(StrEnum):
    """The stages in the bar at the top."""

    PART = "part"
    DAMAGE = "damage"
    HAZARDS = "hazards"
    DETAILS = "details"
    VERDICT = "verdict"
    JOB = "job"
    RECORD = "record"


TAB_TITLES: dict[Tab, str] = {
    Tab.PART: "Part",
    Tab.DAMAGE: "Damage",
    Tab.HAZARDS: "Hazards",
    Tab.DETAILS: "Details",
    Tab.VERDICT: "Verdict",
    Tab.JOB: "Job",
    Tab.RECORD: "Hand over",
}

EARLIER_REPAIRS = "earlier_repairs"
PHOTOS = "photos"
HAZARD_PAGE = "page.hazards"
QUESTION_LIST = "page.questions"
METHOD_PAGE = "page.method"
JOB_SHEET = "page.job"
RECORD_PAGE = "page.record"
PAGES = (HAZARD_PAGE, QUESTION_LIST, METHOD_PAGE, JOB_SHEET, RECORD_PAGE)


@dataclass(frozen=True)
class Entry:
    """One screen of the window."""

    key: str
    tab: Tab
    title: str
    fact: FactDecl | None = None


def tab_of(fact: FactDecl) -> Tab:
    """The stage a fact is asked in; a gate question always belongs to the hazards.

    Part and damage ask only for what must be known before anything can be calculated.
    """
    if fact.gate:
        return Tab.HAZARDS
    first = {Stage.PART: Tab.PART, Stage.DAMAGE: Tab.DAMAGE}
    return Tab.DETAILS if fact.may_stay_open else first.get(fact.stage, Tab.DETAILS)


def entries(pack: Pack, case: Case) -> tuple[Entry, ...]:
    """Every screen of this case, in order.

    The page of all gate questions stands before the first of them, and
    stays while any is asked: an answer must not take it from under the finger.
    """
    asked: dict[Tab, list[Entry]] = {tab: [] for tab in Tab}
    facts = sorted(pack.asked(case), key=lambda fact: (not fact.gate, fact.may_stay_open))
    if any(fact.gate for fact in facts):
        asked[Tab.HAZARDS].append(Entry(HAZARD_PAGE, Tab.HAZARDS, "All hazard questions"))
    for fact in facts:
        asked[tab_of(fact)].append(Entry(fact.name, tab_of(fact), fact.title, fact))
    asked[Tab.DETAILS].append(Entry(EARLIER_REPAIRS, Tab.DETAILS, "Earlier repairs"))
    asked[Tab.DETAILS].append(Entry(PHOTOS, Tab.DETAILS, "Photos"))
    asked[Tab.DETAILS].append(Entry(QUESTION_LIST, Tab.DETAILS, "All questions"))
    asked[Tab.VERDICT].append(Entry(METHOD_PAGE, Tab.VERDICT, "The verdict"))
    asked[Tab.JOB].append(Entry(JOB_SHEET, Tab.JOB, "The work"))
    asked[Tab.RECORD].append(Entry(RECORD_PAGE, Tab.RECORD, "Hand over"))
    return tuple(entry for tab in Tab for entry in asked[tab])


def left_out(pack: Pack, fact: FactDecl, case: Case) -> str:
    """Which options are not offered and why, in words; empty where all are."""
    missing = len(fact.options) - len(pack.offered(fact.name, case))
    if not missing:
        return ""
    other = pack.facts[DAMAGE if fact.name == PART else PART]
    given = case.facts.get(other.name, ())
    assert isinstance(given, tuple)
    told = " or ".join(other.option(key).title for key in given)
    return f"Left out: {missing} that do not go with “{told}”."


def answered(entry: Entry, case: Case) -> bool:
    """Whether the case holds an answer for this screen."""
    if entry.fact is not None:
        return entry.key in case.facts
    if entry.key == EARLIER_REPAIRS:
        return case.earlier_repairs is not None
    return bool(case.photos) if entry.key == PHOTOS else False


def position(order: tuple[Entry, ...], key: str) -> int:
    """Index of ``key``; 0 where an answer has taken that screen away."""
    return next((i for i, entry in enumerate(order) if entry.key == key), 0)


def gates(order: tuple[Entry, ...]) -> tuple[str, ...]:
    """The hazard questions asked outright, in order."""
    return tuple(entry.key for entry in order if entry.fact is not None and entry.fact.gate)


def open_gates(order: tuple[Entry, ...], case: Case) -> tuple[str, ...]:
    """The hazard questions that nobody has answered."""
    return tuple(key for key in gates(order) if key not in case.facts)


def first_of(order: tuple[Entry, ...], tab: Tab, case: Case, left: Collection[str]) -> str:
    """Where a stage opens: its first question not yet answered or left open, else its first.

    Details opens at its list where all of it is answered or left open. Two open hazard
    questions or more open the page of all of them, and so do two that are
    answered; a single one is asked on its card. A stage with nothing to ask opens the one
    after it.
    """
    hazards = tab is Tab.HAZARDS
    if hazards and len(open_gates(order, case)) > 1:
        return HAZARD_PAGE
    inside = [entry for entry in order if entry.tab == tab and entry.key != HAZARD_PAGE]
    for entry in inside:
        if entry.fact is None or answered(entry, case):
            continue
        if entry.fact.gate or entry.key not in left:
            return entry.key
    if hazards and len(gates(order)) > 1:
        return HAZARD_PAGE
    if tab is Tab.DETAILS:
        return QUESTION_LIST
    stages = list(Tab)
    after = [entry for entry in order if stages.index(entry.tab) > stages.index(tab)]
    return (inside or after)[0].key


def done_in(order: tuple[Entry, ...], tab: Tab, case: Case) -> tuple[int, int]:
    """Questions answered and asked in a stage."""
    facts = [entry for entry in order if entry.tab == tab and entry.fact is not None]
    return sum(answered(entry, case) for entry in facts), len(facts)


def matters(advice: Advice) -> tuple[Question, ...]:
    """What is still worth asking, best first; open gate questions lead."""
    worth = [question for question in advice.ask if question.worth_asking or question.gate]
    return tuple(sorted(worth, key=lambda question: not question.gate))


def next_open(
    advice: Advice, left: Collection[str] = (), known: Collection[str] | None = None
) -> str | None:
    """The question to ask before any other, or None where nothing is worth asking.

    What the technician left open as not known is not asked again, but for a hazard:
    no plan comes before its answer. ``known`` are the questions that there is a screen for:
    an answer of a part since changed may be doubted without being asked any more.
    """
    worth = (q for q in matters(advice) if q.gate or q.fact not in left)
    return next((q.fact for q in worth if known is None or q.fact in known), None)


def offered(
    advice: Advice, known: Collection[str], left: Collection[str]
) -> tuple[Question, ...]:
    """Questions to offer, the most valuable first; those left open come last."""
    asked = [question for question in matters(advice) if question.fact in known]
    return tuple(sorted(asked, key=lambda q: not q.gate and q.fact in left))


def place_of(entry: Entry) -> str:
    """Where a screen stands: its stage and its name."""
    return f"{TAB_TITLES[entry.tab]}: {lowered(entry.title)}"


def settled_text(advice: Advice, left: Collection[str] = ()) -> str:
    """One line on how settled the choice is; empty while something is worth asking."""
    from advisor.advice.result import GateState, Verdict

    if advice.verdict is Verdict.REFER:
        return "Referred: a hazard decides, not the loads."
    hazards = {gate.fact for gate in advice.gates if gate.state is GateState.OPEN}
    if len(hazards) > 1:
        return f"{len(hazards)} hazard questions are open. They come before any plan."
    if hazards:
        return "A hazard question is open. It comes before any plan."
    if next_open(advice, left) is not None:
        return ""
    if advice.not_covered is not None:
        return "This cannot be calculated: a person has to look at it."
    if matters(advice):
        return "No further question is worth asking, except what was left open."
    if advice.verdict is Verdict.DECLINE:
        return "Advised against; no further question is worth asking."
    if advice.plan is None:
        return "No further question is worth asking."
    return "Decided: no further question is worth asking."
