"""The self-check: each item met or a gap, with what was found and what would close it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import TypeAdapter, ValidationError

from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import read_marked
from advisor.papers.binder.jobs import RegulatedJob
from advisor.papers.binder.shop_record import Answer, ShopRecord, Training
from advisor.papers.handover.judge import PackVerdict
from advisor.papers.handover.requirements import requirements
from advisor.papers.materials.lot import Lot
from advisor.papers.materials.warnings import Heed, warning
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Name, Strict

FILE = Path(__file__).with_name("self_check.yaml")
#: What somebody looked at counts for so long; a year is practice.
A_YEAR = timedelta(days=366)


class Item(Strict):
    """One thing that is looked at."""

    title: str
    closes: str
    """What would close it where it is a gap."""
    found: str
    """``hand``, or what of the things kept answers it."""
    source: Name
    status: Literal["looked_up", "from_memory", "common_practice"]


class SelfCheck(Strict):
    """Areas with their items; an item's name begins with that of its area."""

    areas: Mapping[str, str]
    sources: Mapping[str, str]
    items: Mapping[Name, Item]


@lru_cache(maxsize=1)
def self_check() -> SelfCheck:
    """The list that ships with the program."""
    marked = read_marked(FILE)
    form = TypeAdapter(SelfCheck)
    try:
        return form.validate_python(marked.data)
    except ValidationError as error:
        raise BadInput(faults_of(PackFile(FILE.name, FILE, marked), error, form)) from None


class State(StrEnum):
    """What was found; gaps come first."""

    GAP = "gap"
    MET = "met"
    NOT_APPLICABLE = "not applicable"


class Shows(StrEnum):
    """What an evidence is, and so where it opens."""

    FILE = "file"
    CASE = "case"
    LOT = "lot"
    TRAININGS = "trainings"
    TOOLS = "tools"
    AGREEMENTS = "agreements"
    DEVIATIONS = "deviations"
    PEOPLE = "people"
    ANSWER = "answer"


@dataclass(frozen=True)
class Evidence:
    """Where one can see for oneself: a file, a job, a lot, or a list of the shop's own record."""

    shows: Shows
    name: str = ""
    """Path of a file, name of a case or lot, item that is answered by hand."""


@dataclass(frozen=True)
class CheckedItem:
    """One item as it stands on a day."""

    name: str
    area: str
    item: Item
    state: State
    found: str
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True)
class Practised:
    """Rounds of practice in the period, under the name that a learner chose."""

    alias: str
    rounds: int
    last: date


@dataclass(frozen=True)
class AuditState:
    """All that is kept about the shop, for a period that ends with ``until``."""

    shop: ShopRecord
    people: tuple[str, ...]
    jobs: tuple[RegulatedJob, ...]
    lots: Mapping[str, Lot]
    since: date
    until: date
    practised: tuple[Practised, ...] = ()


Found = tuple[State, str, tuple[Evidence, ...]]


def check(state: AuditState) -> tuple[CheckedItem, ...]:
    """Every item, in the order of the list."""
    found = []
    for name, item in self_check().items.items():
        area = name.split(".")[0]
        if item.found == "hand":
            told = _by_hand(state, name)
        elif item.found in OF_JOBS and not state.jobs:
            told = State.NOT_APPLICABLE, "No regulated job in this period.", ()
        else:
            told = FINDERS[item.found](state)
        found.append(CheckedItem(name, area, item, *told))
    return tuple(found)


def gaps(items: Iterable[CheckedItem]) -> list[CheckedItem]:
    """Those that are not met."""
    return [one for one in items if one.state is State.GAP]


def _by_hand(state: AuditState, name: str) -> Found:
    answer: Answer | None = state.shop.answers.get(name)
    shown: tuple[Evidence, ...] = (Evidence(Shows.ANSWER, name),)
    if answer is None:
        return State.GAP, "Nobody has looked yet.", shown
    if answer.evidence:
        shown = (Evidence(Shows.FILE, answer.evidence), *shown)
    when = f"{answer.on.isoformat()}" if answer.on else "on a day not given"
    who = f" by {answer.by}" if answer.by else ""
    note = f": {answer.note}" if answer.note else "."
    if answer.state == "not_applicable":
        return State.NOT_APPLICABLE, f"Not applicable, said {when}{who}{note}", shown
    if answer.on is None or answer.on < state.until - A_YEAR:
        return State.GAP, f"Last looked at {when}{who}: more than a year ago{note}", shown
    met = answer.state == "met"
    return State.MET if met else State.GAP, f"Looked at {when}{who}{note}", shown


def _listed(
    wrong: Sequence[tuple[str, Evidence]], right: str, evidence: tuple[Evidence, ...] = ()
) -> Found:
    """A gap that names what is wrong, or met where nothing is."""
    if not wrong:
        return State.MET, right, evidence
    told = "; ".join(text for text, _ in wrong)
    return State.GAP, f"{told}.", tuple(dict.fromkeys(shown for _, shown in wrong))


def _packs(state: AuditState) -> Found:
    done = [job for job in state.jobs if not job.in_hand and not job.referred]
    wrong = [
        (f"{job.case}: {job.judged.verdict.value}, {_count(len(job.judged.lacking), 'thing')}",
         Evidence(Shows.CASE, job.case))
        for job in done if job.judged.verdict not in (PackVerdict.READY, PackVerdict.REVIEW)
    ]  # fmt: skip
    shown = tuple(Evidence(Shows.CASE, job.case) for job in done)
    return _listed(wrong, f"{_count(len(done), 'completed job')}, papers complete.", shown)


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _deviations(state: AuditState) -> Found:
    shown = Evidence(Shows.DEVIATIONS)
    wrong = [(one.what, shown) for one in state.shop.deviations if one.closed is None]
    return _listed(wrong, f"{_count(len(state.shop.deviations), 'deviation')} kept, none open.",
                   (shown,))  # fmt: skip


def _people(state: AuditState) -> Found:
    shown = (Evidence(Shows.PEOPLE),)
    if not state.people:
        return State.GAP, "Nobody is named.", shown
    return State.MET, ", ".join(state.people) + ".", shown


def _trained(state: AuditState) -> Found:
    shown = Evidence(Shows.TRAININGS)
    if not state.people:
        return State.GAP, "Nobody is named, so nobody is trained on paper.", (shown,)
    known = {one.person.casefold() for one in state.shop.trainings}
    wrong = [(f"none for {name}", shown) for name in state.people if name.casefold() not in known]
    return _listed(wrong, f"{_count(len(state.shop.trainings), 'training')} kept.", (shown,))


def _valid(training: Training, day: date) -> bool:
    begun = training.on is not None and training.on <= day
    return begun and (training.until is None or day <= training.until)


def _training_current(state: AuditState) -> Found:
    shown = Evidence(Shows.TRAININGS)
    newest = {
        (one.person, one.what): one
        for one in sorted(state.shop.trainings, key=lambda one: one.on or date.min)
    }
    wrong = []
    for one in newest.values():
        if one.on is None:
            wrong.append((f"{one.person}, {one.what}: day not given", shown))
        elif not _valid(one, state.until):
            until = one.until.isoformat() if one.until else one.on.isoformat()
            wrong.append((f"{one.person}, {one.what}: until {until}", shown))
    if not newest:
        return State.GAP, "No training is kept.", (shown,)
    return _listed(wrong, "None has run out.", (shown,))


def _performers(state: AuditState) -> Found:
    wrong = []
    for job in state.jobs:
        who, day = job.record.work.performer, job.record.work.completed
        if who is None or day is None:
            continue
        known = (t for t in state.shop.trainings if t.person.casefold() == who.casefold())
        if not any(_valid(training, day) for training in known):
            text = f"{job.case}: {who} on {day.isoformat()}"
            wrong.append((text, Evidence(Shows.TRAININGS)))
    return _listed(wrong, "Everyone had one.", (Evidence(Shows.TRAININGS),))


def _programme(state: AuditState) -> Found:
    hired = [
        job for job in state.jobs if job.record.operator.rule in requirements().hired_rules
    ]  # fmt: skip
    if not hired:
        return State.NOT_APPLICABLE, "No aircraft flown for hire in this period.", ()
    wrong = [
        (f"{job.case}: no proof", Evidence(Shows.CASE, job.case))
        for job in hired if job.record.operator.drug_alcohol_proof is None
    ]  # fmt: skip
    shown = tuple(Evidence(Shows.CASE, job.case) for job in hired)
    return _listed(wrong, f"Proof in {_count(len(hired), 'job')}.", shown)


def _lots_named(state: AuditState) -> Found:
    wrong = []
    for job in state.jobs:
        loose = [m.what or "?" for m in job.record.materials if m.lot not in state.lots]
        if loose:
            wrong.append((f"{job.case}: {', '.join(loose)}", Evidence(Shows.CASE, job.case)))
    return _listed(wrong, "All of them do.")


def _lot_papers(state: AuditState) -> Found:
    wrong = [
        (name, Evidence(Shows.LOT, name)) for name, lot in state.lots.items()
        if lot.withdrawn is None and not any(c.kind == "conformity" for c in lot.certificates)
    ]  # fmt: skip
    shown = tuple(Evidence(Shows.LOT, name) for name in state.lots)
    if not state.lots:
        return State.GAP, "No lot of material is kept.", (Evidence(Shows.LOT),)
    return _listed(wrong, f"{_count(len(state.lots), 'lot')} kept, each with one.", shown)


def _lot_life(state: AuditState) -> Found:
    wrong = []
    for name, lot in state.lots.items():
        heed = warning(lot, state.until, soon=0)
        if heed is not None and heed.kind in (Heed.EXPIRED, Heed.NOT_KNOWN):
            wrong.append((f"{name}: {heed.text}", Evidence(Shows.LOT, name)))
    if not state.lots:
        return State.GAP, "No lot of material is kept.", (Evidence(Shows.LOT),)
    return _listed(wrong, f"{_count(len(state.lots), 'lot')} kept, none past it.")


def _withdrawn(state: AuditState) -> Found:
    wrong = []
    for job in state.jobs:
        for material in job.record.materials:
            lot = state.lots.get(material.lot or "")
            told = job.record.open.deviations or ""
            if lot is not None and lot.withdrawn is not None and lot.lot not in told:
                wrong.append((f"{job.case}: lot {lot.lot}", Evidence(Shows.CASE, job.case)))
    return _listed(wrong, "None is.")


def _tools(state: AuditState) -> Found:
    shown = (Evidence(Shows.TOOLS),)
    measuring = [tool for tool in state.shop.tools if tool.measures]
    if not measuring:
        return State.GAP, "None is listed.", shown
    return State.MET, f"{_count(len(measuring), 'tool')} listed.", shown


def _calibrated(state: AuditState) -> Found:
    wrong, shown = [], Evidence(Shows.TOOLS)
    for tool in state.shop.tools:
        called = f"{tool.name} {tool.number or ''}".strip()
        if not tool.measures:
            continue
        if tool.calibrated is None or tool.due is None:
            wrong.append((f"{called}: days not given", shown))
        elif tool.due < state.until:
            wrong.append((f"{called}: due {tool.due.isoformat()}", shown))
        elif tool.certificate is None:
            wrong.append((f"{called}: no certificate", shown))
    if not any(tool.measures for tool in state.shop.tools):
        return State.GAP, "None is listed.", (shown,)
    files = tuple(Evidence(Shows.FILE, t.evidence) for t in state.shop.tools if t.evidence)
    return _listed(wrong, "All of them are.", (*files, shown))


def _orders(state: AuditState) -> Found:
    wrong = []
    for job in (job for job in state.jobs if job.in_hand):
        record = job.record
        lacks = [
            word for word, value in (
                ("work order", record.station.work_order), ("data", record.method.reference),
                ("revision", record.method.revision),
            ) if value is None
        ]  # fmt: skip
        if lacks:
            text = f"{job.case}: no {', no '.join(lacks)}"
            wrong.append((text, Evidence(Shows.CASE, job.case)))
    in_hand = sum(job.in_hand for job in state.jobs)
    return _listed(wrong, f"{_count(in_hand, 'job')} in hand.")


def _agreements(state: AuditState) -> Found:
    shown = Evidence(Shows.AGREEMENTS)
    known = {one.station.casefold() for one in state.shop.agreements}
    named = {job.record.station.name for job in state.jobs if job.record.station.name}
    wrong = [
        (f"none with {name}", shown) for name in sorted(named) if name.casefold() not in known
    ]
    if not state.shop.agreements and not wrong:
        return State.GAP, "No agreement is entered.", (shown,)
    return _listed(wrong, f"{_count(len(known), 'agreement')} entered.", (shown,))


def _each_agreement(
    state: AuditState, fault: Callable[[date | None, bool | None], str], right: str
) -> Found:
    shown = Evidence(Shows.AGREEMENTS)
    if not state.shop.agreements:
        return State.GAP, "No agreement is entered.", (shown,)
    wrong = [
        (f"{one.station}: {text}", shown) for one in state.shop.agreements
        if (text := fault(one.audited, one.access_clause))
    ]  # fmt: skip
    files = tuple(Evidence(Shows.FILE, a.evidence) for a in state.shop.agreements if a.evidence)
    return _listed(wrong, right, (*files, shown))


def _clause(state: AuditState) -> Found:
    def fault(_: date | None, clause: bool | None) -> str:
        return "" if clause else "not known" if clause is None else "it does not"

    return _each_agreement(state, fault, "Each of them does.")


def _audits(state: AuditState) -> Found:
    def fault(audited: date | None, _: bool | None) -> str:
        if audited is None:
            return "no audit entered"
        return "" if audited >= state.until - A_YEAR else f"last on {audited.isoformat()}"

    return _each_agreement(state, fault, "Each has.")


#: Items that are about regulated jobs alone.
OF_JOBS = frozenset(("packs", "performers", "programme", "lots_named", "withdrawn", "orders"))
FINDERS: Mapping[str, Callable[[AuditState], Found]] = {
    "packs": _packs, "deviations": _deviations, "people": _people, "trained": _trained,
    "training_current": _training_current, "performers": _performers, "programme": _programme,
    "lots_named": _lots_named, "lot_papers": _lot_papers, "lot_life": _lot_life,
    "withdrawn": _withdrawn, "tools": _tools, "calibrated": _calibrated, "orders": _orders,
    "agreements": _agreements, "clause": _clause, "audits": _audits,
}  # fmt: skip
