"""Materials on hand as the window shows them, and what it does to them. Knows no Qt.

Each function is work for the casebook's thread (`CaseKeeping.ask`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor.casebook.journal.keeper import now_ms, user_name
from advisor.papers.burn.rule_sets import shipped_rules
from advisor.papers.materials import on_hand
from advisor.papers.materials.lot import (
    NONE_STATED,
    Lot,
    ReadLots,
    Withdrawn,
    lots_in_yaml,
    read_lots,
)
from advisor.papers.materials.on_hand import KeptLot, Use
from advisor.papers.materials.warnings import Warned, warning, warnings
from advisor.papers.yaml_record import plain_text
from advisor.rulegraph.model.layers import LAYERS
from advisor.session.form_fields import FormField, Kind, shown_value

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

#: Kinds of certificate that the form has one of each.
_KINDS = ("conformity", "burn_test")


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


def lot_fields() -> tuple[FormField, ...]:
    """The form of one lot: what stands on the label, one certificate of each kind, files."""
    layers = tuple((layer, layer.replace("_", " ")) for layer in LAYERS)
    tests = tuple((name, test.title) for name, test in shipped_rules().tests.items())
    return (
        FormField("lot", "Name of the lot", hint="what the shop calls it"),
        FormField("layer", "Becomes", Kind.CHOICE, layers),
        FormField("material", "Material"),
        FormField("maker", "Maker"),
        FormField("reference", "Part number of the maker"),
        FormField("batch", "Batch"),
        FormField("colour", "Colour"),
        FormField("amount", "Amount", hint="12 m"),
        FormField("received", "Received", hint="2026-11-30"),
        FormField("made", "Made or cured", hint="2026-11-30"),
        FormField("shelf_life", "Shelf life from then", hint="18 months"),
        FormField("use_by", "Or use by", Kind.LINE, ((NONE_STATED, NONE_STATED),), "2026-11-30"),
        FormField("conformity.number", "Certificate of conformity", hint="its number"),
        FormField("conformity.batch", "Batch that it names"),
        FormField("burn_test.number", "Burn certificate", hint="its number"),
        FormField("burn_test.issued_by", "Laboratory"),
        FormField("burn_test.date", "Date of the test", hint="2026-11-30"),
        FormField("burn_test.batch", "Batch tested"),
        FormField("burn_test.says", "Standard and paragraph", hint="word for word"),
        FormField("burn_test.test", "Which test", Kind.CHOICE, tests),
        FormField("burn_test.thickness", "Thickness tested", hint="1.2 mm"),
        FormField("burn_test.finish", "Finish tested"),
        FormField("burn_record", "Burn-test record", Kind.FILE),
        FormField("scans", "Scan to add", Kind.FILE, hint=".pdf, .png or .jpg"),
        FormField("note", "Note", Kind.LINES),
    )


def lot_values(lot: Lot | None) -> dict[str, str]:
    """What a lot says in the fields of its form; files are only added there."""
    form = lot.form() if lot is not None else {}
    for kind in _KINDS:
        form[kind] = lot_paper(form, kind)
    return {
        field.path: "" if field.kind is Kind.FILE else shown_value(form, field.path)
        for field in lot_fields()
    }


def read_form(lot: Lot | None, values: Mapping[str, object]) -> ReadLots:
    """The lot that a form describes, with what ``lot`` says besides. Raises BadInput.

    The names of files are those picked; they are read here, so that what is wrong with them
    is told at once.
    """
    form = lot.form() if lot is not None else {}
    first = [lot_paper(form, kind) for kind in _KINDS]
    others = [one for one in form.get("certificates", []) if one not in first]
    papers = {kind: dict(paper) for kind, paper in zip(_KINDS, first, strict=True)}
    for name in ("scans", "burn_record"):
        form.pop(name, None)
    for path, value in values.items():
        kind, dot, name = path.partition(".")
        place = papers[kind] if dot else form
        key = name if dot else path
        if value in (None, ""):
            place.pop(key, None)
        else:
            place[key] = [value] if key == "scans" else value
    told = [
        {"kind": kind, **paper} for kind, paper in papers.items() if set(paper) - {"kind"}
    ]  # fmt: skip
    form["certificates"] = [*told, *others]
    read = lots_in_yaml(plain_text({"format": "1", "lots": [form]}), "lot")
    on_hand.files_named(read, Path.cwd())
    return read


def lot_paper(form: Mapping[str, Any], kind: str) -> Mapping[str, Any]:
    """The first certificate of a kind; empty for none."""
    papers: Sequence[Mapping[str, Any]] = form.get("certificates", [])
    return next((paper for paper in papers if paper["kind"] == kind), {})


def keep_lot(book: Casebook, read: ReadLots) -> str:
    """Keep one lot that a form described; what became of it. Raises BadInput."""
    return book.write(
        lambda connection: on_hand.change(
            connection, read, Path.cwd(), book.files, now_ms(), user_name()
        ).value
    )


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
