"""The binder as blocks: gaps first, an index, what changed, the self-check and its evidence."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from advisor.papers.binder.jobs import RegulatedJob
from advisor.papers.binder.self_check import (
    AuditState,
    CheckedItem,
    Evidence,
    Shows,
    State,
    check,
    gaps,
    self_check,
)
from advisor.papers.binder.snapshot import Snapshot, changes, lots_to_heed, snapshot_of
from advisor.papers.handover.page import OPERATORS
from advisor.papers.handover.record_file import digest_of_file
from advisor.report.blocks import (
    Block,
    Box,
    Column,
    Contents,
    Document,
    Item,
    Items,
    Pairs,
    Row,
    Section,
    Table,
    Text,
    Tone,
)
from advisor.report.status_words import SOURCE_STATUS

NOT_AN_APPROVAL = (
    "A self-check by the shop, for the station's visit. It approves nothing and is no audit; the "
    "station's manual and the local codes come first."
)
_WHERE = {
    Shows.TRAININGS: ("trainings", "training records"), Shows.PEOPLE: ("trainings", "people"),
    Shows.TOOLS: ("tools", "tools"), Shows.AGREEMENTS: ("agreements", "agreements"),
    Shows.DEVIATIONS: ("deviations", "deviations"), Shows.LOT: ("lots", "lot"),
    Shows.FILE: ("files", "file"), Shows.ANSWER: ("", ""),
}  # fmt: skip


def build_binder(
    state: AuditState, shop: str = "", last: Snapshot | None = None
) -> tuple[Document, tuple[CheckedItem, ...]]:
    """The binder of a period, and the items that it is made of. Dated by its last day alone."""
    items = check(state)
    open_items = gaps(items)
    sections = list(_sections(state, items, last))
    listed = (s for s in sections if s.anchor and not s.anchor.startswith("job-"))
    index = tuple((section.title, section.anchor) for section in listed)
    count = len(open_items)
    said = "No gap was found." if not count else (
        "1 gap." if count == 1 else f"{count} gaps, in {len({o.area for o in open_items})} areas."
    )  # fmt: skip
    front = [
        Section("", (
            Box("Self-check", said, Tone.BAD if count else Tone.GOOD), Text(NOT_AN_APPROVAL),
        )),
        Section("Gaps, and what would close them", tuple(_gaps(open_items))),
        Section("Index", (Contents(index),), keep=True),
    ]  # fmt: skip
    return Document(
        language="en",
        heading="Audit binder",
        subtitle=shop or "Shop not named yet",
        meta=(("From", state.since.isoformat()), ("To", state.until.isoformat())),
        stamp="", stamp_text="",
        front=tuple(front),
        working_apart=True,
        working_heading="What is kept",
        working_intro="As the shop has entered it. Rules were read in reprints, not in force.",
        working=tuple(sections),
        footer="A self-check by the shop. It approves nothing.",
        footer_detail=f"From {state.since.isoformat()} to {state.until.isoformat()}.",
        author="trim-advisor",
    ), items  # fmt: skip


def _gaps(open_items: Sequence[CheckedItem]) -> Iterable[Block]:
    if not open_items:
        yield Text("None. What was looked at by hand is only as good as who looked.")
        return
    entries = []
    for key, title in self_check().areas.items():
        inside = [one for one in open_items if one.area == key]
        if inside:
            entries.append(Item(title, strong=True))
        for one in inside:
            text = f"{one.item.title}: {one.found}"
            notes = (f"To close it: {one.item.closes}",)
            entries.append(Item(text, notes, level=1, to=f"area-{key}"))
    yield Items(tuple(entries))


def _sections(
    state: AuditState, items: Sequence[CheckedItem], last: Snapshot | None
) -> Iterable[Section]:
    yield Section("What changed since last year", tuple(_changed(state, items, last)),
                  anchor="changed")  # fmt: skip
    for key, title in self_check().areas.items():
        entries = []
        for one in (one for one in items if one.area == key):
            shown = one.evidence[0] if one.evidence else None
            evidence = ", ".join(filter(None, map(evidence_words, one.evidence[:6])))
            notes = [one.found, f"Evidence: {evidence}" if evidence else "", asked_by(one)]
            entries.append(Item(
                f"{one.state.value.upper()}: {one.item.title}", tuple(filter(None, notes)),
                to=_anchor(shown),
            ))  # fmt: skip
        yield Section(f"Self-check: {title.lower()}", (Items(tuple(entries)),),
                      anchor=f"area-{key}")  # fmt: skip
    yield Section("Regulated jobs", tuple(_jobs(state.jobs)), anchor="jobs")
    for job in state.jobs:
        yield _job(job)
    yield Section("Lots of material", tuple(_lots(state)), anchor="lots")
    yield Section("People and training records", tuple(_trainings(state)), anchor="trainings")
    yield Section("Tools and calibration", tuple(_tools(state)), anchor="tools")
    yield Section("Agreements", tuple(_agreements(state)), anchor="agreements")
    yield Section("Deviations", tuple(_deviations(state)), anchor="deviations")
    yield Section("Files named as evidence", tuple(_files(items)), anchor="files")


def _anchor(shown: Evidence | None) -> str:
    if shown is None or shown.shows is Shows.ANSWER:
        return ""
    return _job_anchor(shown.name) if shown.shows is Shows.CASE else _WHERE[shown.shows][0]


def _job_anchor(case: str) -> str:
    """A case may be called anything; an anchor may not."""
    return f"job-{hashlib.sha256(case.encode()).hexdigest()[:12]}"


def asked_by(one: CheckedItem) -> str:
    """Who asks for an item, and how well that is known."""
    status = SOURCE_STATUS[one.item.status]
    if one.item.status == "common_practice":
        return f"Asked by: {status}"
    return f"Asked by: {self_check().sources[one.item.source]} ({status})"


def evidence_words(shown: Evidence) -> str:
    """What an evidence is called."""
    if shown.shows is Shows.CASE:
        return f"job {shown.name}"
    if shown.shows is Shows.FILE:
        return Path(shown.name).name
    return f"{_WHERE[shown.shows][1]} {shown.name}".strip() if _WHERE[shown.shows][1] else ""


def _changed(
    state: AuditState, items: Sequence[CheckedItem], last: Snapshot | None
) -> Iterable[Block]:
    if last is None:
        yield Text("No earlier binder is kept. This one is, and the next will tell.")
        return
    lines = changes(snapshot_of(state, items), last)
    yield Text(f"Against the binder of {last.since} to {last.until}.")
    yield Items(tuple(Item(line) for line in lines))


def _table(columns: tuple[Column, ...], rows: Iterable[tuple[str, ...]], none: str) -> Block:
    listed = tuple(Row(cells) for cells in rows)
    return Table(columns, listed) if listed else Text(none)


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""


def _jobs(jobs: Sequence[RegulatedJob]) -> Iterable[Block]:
    yield Text("Cases of aircraft, and cases with hand-over papers for a station.", Tone.SMALL)
    columns = (
        Column("Case", 1.0), Column("What", 2.4), Column("Station, order", 1.7),
        Column("Completed", 1.0), Column("Papers", 1.2),
    )  # fmt: skip
    yield _table(columns, (
        (job.case, job.called,
         ", ".join(filter(None, (job.record.station.name, job.record.station.work_order))),
         _day(job.record.work.completed) or ("referred" if job.referred else "in hand"),
         job.judged.verdict.value)
        for job in jobs
    ), "None in this period.")  # fmt: skip


def _job(job: RegulatedJob) -> Section:
    record = job.record
    lines = [
        ("Done", record.work.done), ("By", record.work.performer),
        ("Data", " ".join(filter(None, (record.method.reference, record.method.revision)))),
        ("Operator", OPERATORS.get(record.operator.rule or "", "")),
        ("Materials", ", ".join(
            f"{m.what or '?'}{f' (lot {m.lot})' if m.lot else ''}" for m in record.materials
        )),
        ("Deviations", record.open.deviations), ("What became of it", job.outcome),
    ]  # fmt: skip
    blocks: list[Block] = [
        Pairs(tuple((label, text) for label, text in lines if text)),
        Items(tuple(
            Item(f"{one.kind.value}: {one.text} (from {one.who})") for one in job.judged.lacking
        )),
    ]  # fmt: skip
    return Section(f"Job {job.case}: {job.called}", tuple(blocks), anchor=_job_anchor(job.case))


def _lots(state: AuditState) -> Iterable[Block]:
    heeded = lots_to_heed(state)
    columns = (
        Column("Lot", 1.0), Column("Material", 1.8), Column("Batch", 1.0),
        Column("Certificates", 1.8), Column("To heed", 1.8),
    )  # fmt: skip
    yield _table(columns, (
        (name, lot.material, lot.batch or "", ", ".join(c.number for c in lot.certificates),
         heeded.get(name, ""))
        for name, lot in state.lots.items()
    ), "None is kept.")  # fmt: skip


def _trainings(state: AuditState) -> Iterable[Block]:
    yield Text(f"Works here: {', '.join(state.people) or 'nobody is named'}.")
    columns = (
        Column("Person", 1.3), Column("Training", 2.2), Column("Number", 0.8), Column("On", 0.9),
        Column("Until", 0.9), Column("Given by", 1.2),
    )  # fmt: skip
    yield _table(columns, (
        (one.person, one.what, one.number or "", _day(one.on), _day(one.until), one.given_by or "")
        for one in state.shop.trainings
    ), "No training record is kept.")  # fmt: skip
    if not state.practised:
        yield Text("No practice is kept for this period.", Tone.SMALL)
        return
    yield Text("Practice with the program, under the names that learners chose. It trains the "
               "choice of a method and is no training record.", Tone.SMALL)  # fmt: skip
    practice = (Column("Learner", 2.0), Column("Rounds", 1.0), Column("Last", 1.2))
    yield _table(practice, (
        (one.alias, str(one.rounds), one.last.isoformat()) for one in state.practised
    ), "")  # fmt: skip


def _tools(state: AuditState) -> Iterable[Block]:
    columns = (
        Column("Tool", 1.8), Column("Number", 0.9), Column("Calibrated", 1.0), Column("Due", 1.0),
        Column("Certificate", 1.2),
    )  # fmt: skip
    yield _table(columns, (
        (one.name, one.number or "", _day(one.calibrated) if one.measures else "does not measure",
         _day(one.due), one.certificate or "")
        for one in state.shop.tools
    ), "None is listed.")  # fmt: skip


def _agreements(state: AuditState) -> Iterable[Block]:
    columns = (
        Column("Station", 1.8), Column("Contract", 1.2), Column("Signed", 1.0),
        Column("Authority may inspect", 1.3), Column("Audited", 1.0),
    )  # fmt: skip
    words = {True: "yes", False: "no", None: "not known"}
    yield _table(columns, (
        (one.station, one.contract or "", _day(one.signed), words[one.access_clause],
         _day(one.audited))
        for one in state.shop.agreements
    ), "None is entered.")  # fmt: skip


def _deviations(state: AuditState) -> Iterable[Block]:
    columns = (
        Column("On", 0.9), Column("What", 2.4), Column("Case", 0.9), Column("Closed", 0.9),
        Column("How", 2.0),
    )  # fmt: skip
    rows = [
        (_day(one.on), one.what, one.case or "", _day(one.closed) or "open", one.how or "")
        for one in state.shop.deviations
    ]
    for job in state.jobs:
        told = job.record.open.deviations
        if told and told.casefold() != "none":
            rows.append((_day(job.record.work.completed), told, job.case, "", "as in its papers"))
    yield _table(columns, rows, "None is kept.")


def _files(items: Sequence[CheckedItem]) -> Iterable[Block]:
    named = dict.fromkeys(
        shown.name for one in items for shown in one.evidence if shown.shows is Shows.FILE
    )
    columns = (Column("File", 2.0), Column("SHA-256", 3.0))
    rows = ((name, digest_of_file(Path(name)) or "not there") for name in named)
    yield _table(columns, rows, "None.")


def gap_lines(items: Iterable[CheckedItem]) -> list[str]:
    """The gaps in plain lines, for a terminal."""
    return [
        f"{self_check().areas[one.area]}: {one.item.title}: {one.found}" for one in items
        if one.state is State.GAP
    ]  # fmt: skip
