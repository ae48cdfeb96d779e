"""Materials on hand as the window shows them, and what it does to them. Knows no Qt.

Each function is work for the casebook's thread (`CaseKeeping.ask`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.casebook.journal.keeper import now_ms, user_name
from advisor.papers.materials import on_hand
from advisor.papers.materials.lot import Lot, Withdrawn, read_lots
from advisor.papers.materials.on_hand import KeptLot, Use
from advisor.papers.materials.warnings import Warned, warning, warnings

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook


@dataclass(frozen=True)
class LotLine:
    """One row of the list."""

    kept: KeptLot
    warned: Warned | None
    jobs: tuple[Use, ...] = ()
    """The jobs that used it, the last first."""

    @property
    def cells(self) -> tuple[str, ...]:
        """What the row shows, under `HEADINGS`."""
        lot = self.kept.lot
        last = lot.last_day
        use_by = last.isoformat() if last else "none stated" if lot.life_known else "not known"
        return (
            lot.lot, lot.layer.replace("_", " "), lot.material, lot.batch or "", use_by,
            self.warned.text if self.warned else "",
        )


HEADINGS = ("Lot", "Becomes", "Material", "Batch", "Use by", "To be heeded")


def lines_of(book: Casebook) -> list[LotLine]:
    """All lots, those to be heeded first."""
    kept, jobs = book.read(on_hand.all_lots), book.read(on_hand.uses_by_lot)
    heeded = {one.lot.lot: one for one in warnings((k.lot for k in kept), date.today())}
    places = {name: place for place, name in enumerate(heeded)}
    kept.sort(key=lambda one: (places.get(one.lot.lot, len(places)), one.lot.lot))
    return [
        LotLine(one, heeded.get(one.lot.lot), tuple(jobs.get(one.lot.lot, ()))) for one in kept
    ]


def heeded(book: Casebook) -> int:
    """How many lots are to be heeded."""
    return len(warnings((one.lot for one in book.read(on_hand.all_lots)), date.today()))


def take_in_file(book: Casebook, path: Path) -> str:
    """Take in a file of lots; what became of them, in one line. Raises BadInput."""
    read = read_lots(path)
    became = book.write(
        lambda connection: on_hand.take_in(
            connection, read, path.parent, book.files, now_ms(), user_name()
        )
    )
    counts: dict[str, int] = {}
    for _, how in became:
        counts[how.value] = counts.get(how.value, 0) + 1
    return ", ".join(f"{count} {how}" for how, count in counts.items())


def note_use(book: Casebook, lot: str, key: str, job: str, amount: str) -> str:
    """Note that a lot was used in a case; what is to be heeded about it. Raises BadInput."""
    kept = book.write(
        lambda connection: on_hand.use(connection, lot, key, job, now_ms(), user_name(), amount)
    )
    warned = warning(kept.lot, date.today())
    return warned.text if warned else ""


def withdraw(book: Casebook, lot: str, why: str) -> list[Use]:
    """Note that a lot may not be used any more; the jobs that used it. Raises BadInput."""
    noted = Withdrawn(on=date.today(), why=why)
    return book.write(
        lambda connection: on_hand.withdraw(connection, lot, noted, now_ms(), user_name())
    )


def reinstate(book: Casebook, lot: str) -> None:
    """Lift a withdrawal. Raises BadInput."""
    book.write(lambda connection: on_hand.reinstate(connection, lot, now_ms(), user_name()))


def told_of(lot: Lot) -> tuple[tuple[str, str], ...]:
    """Titles with what the lot's papers say, as far as they say anything."""
    papers = [
        " ".join(filter(None, (
            paper.kind.replace("_", " "), paper.number, paper.issued_by,
            f"batch {paper.batch}" if paper.batch else "", paper.says, paper.test,
            paper.thickness.written if paper.thickness else "",
            f"finish {paper.finish}" if paper.finish else "",
        )))
        for paper in lot.certificates
    ]  # fmt: skip
    rows = (
        ("Material", lot.material), ("Maker", lot.maker), ("Part number", lot.reference),
        ("Batch", lot.batch), ("Colour", lot.colour), ("Amount", lot.amount),
        ("Received", lot.received and lot.received.isoformat()),
        ("Made", lot.made and lot.made.isoformat()), ("Papers", "\n".join(papers) or "none"),
        ("Burn-test record", lot.burn_record), ("Scans", ", ".join(lot.scans)), ("Note", lot.note),
    )
    return tuple((title, said) for title, said in rows if said)
