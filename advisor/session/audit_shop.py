"""The yearly audit as the window shows it: what the shop enters, the items, the binder. No Qt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor.papers.binder.jobs import jobs_of, regulated_rows
from advisor.papers.binder.page import build_binder
from advisor.papers.binder.self_check import AuditState, CheckedItem, Practised, check
from advisor.papers.binder.shop_record import ShopRecord, read_shop, shop_file, write_shop
from advisor.papers.binder.snapshot import keep, last_kept, snapshot_of
from advisor.papers.materials.lot import Lot
from advisor.papers.materials.on_hand import all_lots
from advisor.papers.yaml_record import plain, plain_text, record_in, with_values, without
from advisor.report.formats.any_form import write_document
from advisor.session.form_fields import FormField, Kind, shown_value

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

_DAY = "such as 2026-11-30"
_STATES = (("met", "It is so"), ("not_met", "It is not so"), ("not_applicable", "Not applicable"))
LISTS: Mapping[str, str] = {
    "trainings": "People and training records", "tools": "Tools and calibration",
    "agreements": "Agreements", "deviations": "Deviations",
}  # fmt: skip
ADD: Mapping[str, str] = {
    "trainings": "Add a training...", "tools": "Add a tool...",
    "agreements": "Add an agreement...", "deviations": "Add a deviation...",
}  # fmt: skip


@dataclass(frozen=True)
class FromCasebook:
    """What the casebook holds for the audit."""

    lots: Mapping[str, Lot] = field(default_factory=dict)
    rows: tuple[Any, ...] = ()


def practised(since: date, until: date) -> tuple[Practised, ...]:
    """Who practised in a period, both days in it. Raises BadInput for a spoiled file."""
    from advisor.practice.learners import Learners

    found = []
    for learner in Learners().all():
        days = [one.at.date() for one in learner.practised if since <= one.at.date() <= until]
        if days:
            found.append(Practised(learner.alias, len(days), max(days)))
    return tuple(found)


def asked_of(book: Casebook) -> FromCasebook:
    """Lots and regulated cases."""
    lots = {kept.lot.lot: kept.lot for kept in book.read(all_lots)}
    return FromCasebook(lots, tuple(book.read(regulated_rows)))


class AuditShop:
    """The shop's record; what is changed is on disk before a call returns."""

    def __init__(
        self, people: Sequence[str], shop: str, kept: FromCasebook, until: date | None = None,
        who: str = "",
    ) -> None:
        """Raises BadInput where the record that is kept cannot be read.

        ``who`` of ``people`` works with the window: forms propose that name.
        """
        self.people, self.shop, self._kept, self._who = tuple(people), shop, kept, who
        self.until = until or date.today()
        self.since = self.until - timedelta(days=365)
        self.record = read_shop()

    def state(self) -> AuditState:
        """All that is kept, for the period. Raises BadInput for papers that cannot be read."""
        jobs = jobs_of(self._kept.rows, self.since, self.until, self._kept.lots)
        return AuditState(
            self.record, self.people, tuple(jobs), self._kept.lots, self.since, self.until,
            practised(self.since, self.until),
        )  # fmt: skip

    def items(self) -> tuple[CheckedItem, ...]:
        """Every item as it stands. Raises BadInput."""
        return check(self.state())

    def write(self, path: Path) -> None:
        """Write the binder, and keep its short form for the next.

        Raises BadInput, OSError, or ValueError for another suffix than .pdf, .html or .txt.
        """
        state = self.state()
        document, items = build_binder(state, self.shop, last_kept(self.until))
        write_document(document, path)
        keep(snapshot_of(state, items))

    # -- forms ---------------------------------------------------------------------------

    def fields(self, listed: str) -> tuple[FormField, ...]:
        """The form of one entry of a list."""
        people = tuple((name, name) for name in self.people)
        file = FormField("evidence", "Evidence, a file", Kind.FILE)
        return {
            "trainings": (
                FormField("person", "Person", Kind.LINE, people), FormField("what", "Training"),
                FormField("number", "Number"), FormField("on", "On", hint=_DAY),
                FormField("until", "Counts until", hint="empty: it does not run out"),
                FormField("given_by", "Given by"), file,
            ),
            "tools": (
                FormField("name", "Tool"), FormField("number", "Number"),
                FormField("measures", "It measures", Kind.YES_NO),
                FormField("calibrated", "Calibrated on", hint=_DAY),
                FormField("due", "Due on", hint=_DAY), FormField("certificate", "Certificate"),
                file,
            ),
            "agreements": (
                FormField("station", "Repair station"), FormField("contract", "Contract"),
                FormField("signed", "Signed on", hint=_DAY),
                FormField("access_clause", "It lets the authority inspect", Kind.YES_NO),
                FormField("audited", "Last audit on site", hint=_DAY), file,
            ),
            "deviations": (
                FormField("on", "Found on", hint=_DAY), FormField("what", "What was not right"),
                FormField("case", "Case"), FormField("closed", "Closed on", hint=_DAY),
                FormField("how", "What was done", Kind.LINES),
            ),
        }[listed]  # fmt: skip

    def answer_fields(self) -> tuple[FormField, ...]:
        """The form of an item that is answered by hand."""
        people = tuple((name, name) for name in self.people)
        return (
            FormField("state", "What was found", Kind.CHOICE, _STATES),
            FormField("on", "Looked at on", hint=_DAY),
            FormField("by", "By", Kind.LINE, people),
            FormField("note", "Note", Kind.LINES),
            FormField("evidence", "Evidence, a file", Kind.FILE),
        )

    def values(self, fields: Sequence[FormField], at: tuple[str | int, ...]) -> dict[str, str]:
        """What the record says at one entry."""
        data: Any = plain(self.record)
        for key in at:
            if isinstance(key, int):
                data = data[key] if key < len(data) else {}
            else:
                data = data.get(key, [] if key in LISTS else {})
        return {field.path: shown_value(data, field.path) for field in fields}

    def proposals(self, listed: str) -> dict[str, str]:
        """What may be put into empty fields of a new entry."""
        today = self.until.isoformat()
        one = self.people[0] if len(self.people) == 1 else self._who
        return {
            "answers": {"on": today, "by": one}, "trainings": {"person": one},
            "tools": {"measures": "yes"}, "deviations": {"on": today},
        }.get(listed, {})  # fmt: skip

    def lines(self, listed: str) -> list[str]:
        """The entries of a list, a line each."""
        record = self.record
        if listed == "trainings":
            return [
                f"{one.person}: {one.what}, on {one.on or 'a day not given'}"
                + (f", until {one.until}" if one.until else "") for one in record.trainings
            ]  # fmt: skip
        if listed == "tools":
            return [
                f"{one.name} {one.number or ''}".strip()
                + (f", due {one.due or 'on a day not given'}" if one.measures else "")
                for one in record.tools
            ]
        if listed == "agreements":
            return [
                f"{one.station}, {one.contract or 'no contract number'}"
                for one in record.agreements
            ]
        return [
            f"{one.what}, {'closed' if one.closed else 'open'}" for one in record.deviations
        ]

    # -- changing ------------------------------------------------------------------------

    def put(self, values: Mapping[str, object], at: tuple[str | int, ...]) -> None:
        """Set the fields of one entry. Raises BadInput."""
        self._keep(with_values(self.record, at, values))

    def take_away(self, listed: str, index: int) -> None:
        """Drop one entry of a list. Raises BadInput."""
        self._keep(without(self.record, listed, index))

    def _keep(self, data: Mapping[str, Any]) -> None:
        record = record_in(plain_text(data), str(shop_file()), ShopRecord)
        write_shop(record)
        self.record = record
