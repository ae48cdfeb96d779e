"""The regulated jobs of a period: cases that a station signs for, each with its papers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime

from sqlalchemy import Connection, select

from advisor.casebook.database.tables import cases
from advisor.papers.handover.from_lots import filled
from advisor.papers.handover.judge import JudgedPack, judge_pack
from advisor.papers.handover.record import HandoverRecord
from advisor.papers.handover.record_file import (
    burned_of,
    digests_of,
    find_record,
    kept_file,
    read_handover,
)
from advisor.papers.handover.requirements import requirements
from advisor.papers.materials.lot import Lot


@dataclass(frozen=True)
class RegulatedJob:
    """One job with what became of its papers."""

    case: str
    key: str
    """Of the casebook; empty where the case is not in it."""
    called: str
    begun: date
    outcome: str
    judged: JudgedPack
    referred: bool = False
    """The advice refers it, and nothing was done."""

    @property
    def record(self) -> HandoverRecord:
        """What its papers say."""
        return self.judged.record

    @property
    def in_hand(self) -> bool:
        """Whether it was not completed yet."""
        return self.record.work.completed is None and not self.referred


@dataclass(frozen=True)
class _Row:
    key: str
    name: str
    called: str
    vehicle_kind: str
    verdict: str | None
    outcome: str | None
    begun: int


def regulated_rows(connection: Connection) -> list[_Row]:
    """Cases of the casebook with a vehicle that a station signs for, in the order begun."""
    columns = (
        cases.c.key, cases.c.name, cases.c.called, cases.c.vehicle_kind, cases.c.verdict,
        cases.c.outcome, cases.c.begun,
    )  # fmt: skip
    asked = (
        select(*columns)
        .where(cases.c.vehicle_kind.in_(requirements().aircraft), cases.c.binned.is_(None))
        .order_by(cases.c.id)
    )
    return [_Row(*row) for row in connection.execute(asked)]


def jobs_of(
    rows: Iterable[_Row], since: date, until: date, lots: Mapping[str, Lot]
) -> list[RegulatedJob]:
    """The jobs begun or completed in a period, both days in it, and those in hand.

    A record that is kept for a case that is not in the casebook is one too.
    Raises BadInput for a record that cannot be read.
    """
    found, seen = [], set()
    for row in rows:
        seen.add(row.name)
        begun = datetime.fromtimestamp(row.begun / 1000, UTC).date()
        path = find_record(row.name)
        record = read_handover(path, row.name) if path else HandoverRecord(case=row.name)
        stops = ("see the verdict of the case",) if row.verdict == "refer" else ()
        found.append(_job(record, row.key, row.called, row.vehicle_kind, begun,
                          row.outcome or "", lots, stops))  # fmt: skip
    folder = kept_file("-").parent
    for path in sorted(folder.glob("*.yaml")) if folder.is_dir() else ():
        record = read_handover(path)
        day = record.work.started or record.work.completed or record.prepared_on
        if record.case not in seen and record.station.name and day is not None:
            kind = requirements().aircraft[0]
            found.append(_job(record, "", record.case, kind, day, "", lots))
    return [
        job for job in found
        if job.begun <= until
        and (since <= max(job.begun, job.record.work.completed or job.begun) or job.in_hand)
    ]  # fmt: skip


def _job(
    record: HandoverRecord, key: str, called: str, vehicle: str, begun: date, outcome: str,
    lots: Mapping[str, Lot], stops: tuple[str, ...] = (),
) -> RegulatedJob:  # fmt: skip
    record = filled(record, lots)
    path = find_record(record.case)
    folder = path.parent if path else kept_file(record.case).parent
    judged = judge_pack(
        record, vehicle, stops=stops, burned=burned_of(record, folder),
        digests=digests_of(record, folder), lots=lots,
    )  # fmt: skip
    referred = bool(stops) and record.work.done is None
    return RegulatedJob(record.case, key, called, begun, outcome, judged, referred)
