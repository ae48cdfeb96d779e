"""A lot of material with its papers, and files of them in YAML or CSV (docs/materials.md)."""

from __future__ import annotations

import calendar
import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

from pydantic import (
    BeforeValidator,
    Field,
    PlainSerializer,
    PlainValidator,
    StringConstraints,
    TypeAdapter,
    ValidationError,
    WithJsonSchema,
    model_validator,
)

from advisor.facts.faults import AnswerError, BadInput, Fault, nearest_name, one_of
from advisor.facts.marked_yaml import Marked, Where, marked_text
from advisor.facts.text_file import MAX_BYTES, read_text
from advisor.papers.burn.exact_amount import Amount, read_amount
from advisor.papers.burn.rule_sets import shipped_rules
from advisor.papers.yaml_record import as_written
from advisor.rulegraph.model.layers import Layer
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Strict

#: What the maker says where a material does not go off.
NONE_STATED = "none stated"
#: Lots in one file.
MOST_LOTS = 5_000

CertificateKind = Literal["conformity", "burn_test", "other"]

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LASTS = re.compile(r"(?P<count>[1-9][0-9]{0,3}) (?P<unit>day|week|month|year)s?")


def day(given: object) -> date:
    """A day written as 2026-11-12. Raises AnswerError."""
    if isinstance(given, date):
        return given
    found = given if isinstance(given, str) else ""
    try:
        if not _DAY.fullmatch(found):
            raise ValueError
        return date.fromisoformat(found)
    except ValueError:
        raise AnswerError("not a day", found, "a day such as 2026-11-12") from None


def _use_by(given: object) -> date | str:
    if isinstance(given, str) and given.casefold() == NONE_STATED:
        return NONE_STATED
    try:
        return day(given)
    except AnswerError as error:
        raise AnswerError(
            error.problem, error.found, f"{error.accepted}, or: {NONE_STATED}"
        ) from None


def _lasts(given: object) -> str:
    text = " ".join(given.split()) if isinstance(given, str) else ""
    if not _LASTS.fullmatch(text):
        raise AnswerError("not a shelf life", text, "such as 90 days, 18 months or 2 years")
    return text


def _test(given: object) -> str:
    known = shipped_rules().tests
    if not isinstance(given, str) or given not in known:
        word = given if isinstance(given, str) else ""
        raise AnswerError("no such test", word, one_of(known), nearest_name(word, known))
    return given


def _whole_day(value: date | str) -> str:
    return value if isinstance(value, str) else value.isoformat()


_TEXT = WithJsonSchema({"type": "string"})
_WRITTEN = PlainSerializer(lambda amount: amount.written, return_type=str)
Words = Annotated[str, StringConstraints(min_length=1, max_length=300, strip_whitespace=True)]
LotName = Annotated[str, StringConstraints(min_length=1, max_length=80, strip_whitespace=True)]
Day = Annotated[date, PlainValidator(day), PlainSerializer(_whole_day), _TEXT]
Length = Annotated[
    Amount, PlainValidator(lambda given: read_amount(given, "length")), _WRITTEN, _TEXT
]
FileName = Annotated[str, StringConstraints(min_length=1, max_length=255)]


class Certificate(Strict):
    """A paper of the lot, as it is written on it. None: not said there, or not known."""

    kind: CertificateKind
    number: Words
    issued_by: Words | None = None
    """Maker or laboratory."""
    date: Day | None = None
    batch: Words | None = None
    says: Words | None = None
    """Standard and paragraph word for word, such as "25.853(a)"."""
    test: Annotated[str, PlainValidator(_test), _TEXT] | None = None
    """Which test it certifies, by the names of docs/burn-record.md; known, not guessed."""
    thickness: Length | None = None
    finish: Words | None = None
    """Dye, topcoat or filler that was on what was tested, or "none"."""
    build_up: Words | None = None


class Withdrawn(Strict):
    """The lot may not be used any more."""

    on: Day
    why: Words
    by: Words | None = None
    """Maker, station or shop."""


class Lot(Strict):
    """One lot of one material on hand."""

    lot: LotName
    """What the shop calls it; no two lots are called the same."""
    layer: Layer
    material: Words
    maker: Words | None = None
    reference: Words | None = None
    """The maker's part number or reference."""
    batch: Words | None = None
    colour: Words | None = None
    amount: Words | None = None
    """How much there was of it, with the unit."""
    received: Day | None = None
    made: Day | None = None
    """Day of manufacture or cure."""
    shelf_life: Annotated[str, PlainValidator(_lasts), _TEXT] | None = None
    """Counted from ``made``."""
    use_by: (
        Annotated[date | str, PlainValidator(_use_by), PlainSerializer(_whole_day), _TEXT] | None
    ) = None
    certificates: Annotated[
        tuple[Certificate, ...], BeforeValidator(lambda given: () if given is None else given)
    ] = ()
    burn_record: FileName | None = None
    """File with its burn-test record (docs/burn-record.md)."""
    scans: Annotated[
        tuple[FileName, ...], BeforeValidator(lambda given: () if given is None else given)
    ] = ()
    withdrawn: Withdrawn | None = None
    note: Annotated[str, StringConstraints(max_length=2000)] | None = None

    @model_validator(mode="after")
    def one_date(self) -> Lot:
        if self.shelf_life and self.use_by:
            raise AnswerError(
                "the shelf life is given twice", "use_by with shelf_life", "one of the two"
            )
        if self.shelf_life and self.made is None:
            raise AnswerError(
                "a shelf life counts from a day", "shelf_life without made", "made as well"
            )
        return self

    @property
    def last_day(self) -> date | None:
        """The last day on which it may be used; None where none is known or stated."""
        if isinstance(self.use_by, date):
            return self.use_by
        if self.shelf_life and self.made:
            return lasting_until(self.made, self.shelf_life)
        return None

    @property
    def life_known(self) -> bool:
        """Whether its shelf life is known, or that the maker states none."""
        return self.last_day is not None or self.use_by == NONE_STATED

    def form(self) -> dict[str, Any]:
        """It as plain data, as in a file; what is not given is left out."""
        written: dict[str, Any] = self.model_dump(mode="json", exclude_none=True)
        return {name: value for name, value in written.items() if value != []}


def lasting_until(made: date, shelf_life: str) -> date:
    """The last day of a shelf life; a month ends with its last day."""
    parts = _LASTS.fullmatch(shelf_life)
    assert parts is not None
    count, unit = int(parts["count"]), parts["unit"]
    try:
        if unit in ("day", "week"):
            return made + timedelta(days=count * (7 if unit == "week" else 1))
        years, month = divmod(made.month - 1 + count * (12 if unit == "year" else 1), 12)
        year = made.year + years
        last = calendar.monthrange(year, month + 1)[1]
        return date(year, month + 1, min(made.day, last))
    except (ValueError, OverflowError):
        return date.max


class LotFile(Strict):
    """A file of lots."""

    format: Literal["1"]
    lots: Annotated[tuple[Lot, ...], Field(max_length=MOST_LOTS)]


_FORM: TypeAdapter[LotFile] = TypeAdapter(LotFile)


@dataclass(frozen=True)
class ReadLots:
    """Lots as they were read, with the place of each for messages about what they name."""

    lots: tuple[Lot, ...]
    marked: Marked

    def fault(self, index: int, field: Where, problem: str, found: str) -> Fault:
        """A fault at a field of the lot at ``index``."""
        return self.marked.fault(("lots", index, *field), problem, found=found)


def read_lots(path: Path) -> ReadLots:
    """The lots in a file, CSV where its name ends so, else YAML.

    Raises BadInput with all faults.
    """
    text = read_text(path, MAX_BYTES)
    file = str(path)
    return lots_in_csv(text, file) if path.suffix.lower() == ".csv" else lots_in_yaml(text, file)


def lots_in_yaml(text: str, file: str) -> ReadLots:
    """The lots in the text of a YAML file. Raises BadInput with all faults."""
    faults: list[Fault] = []
    return _checked(marked_text(text, file, faults=faults), faults)


def lots_in_csv(text: str, file: str) -> ReadLots:
    """The lots in the text of a CSV file. Raises BadInput with all faults."""
    faults: list[Fault] = []
    return _checked(_marked_csv(text, file, faults), faults)


def lot_of(form: Mapping[str, Any]) -> Lot:
    """A lot from what `Lot.form` gave."""
    return Lot.model_validate(form)


def _checked(marked: Marked, faults: list[Fault]) -> ReadLots:
    read = None
    try:
        read = _FORM.validate_python(as_written(marked.data, marked))
    except ValidationError as error:
        faults += faults_of(PackFile(marked.file, Path(marked.file), marked), error, _FORM)
    if read is not None:
        faults += _twice(read.lots, marked)
        if not read.lots and not faults:
            faults.append(marked.fault(("lots",), "no lots are listed"))
    if faults or read is None:
        raise BadInput(faults)
    return ReadLots(read.lots, marked)


def _twice(lots: Sequence[Lot], marked: Marked) -> Iterator[Fault]:
    seen: dict[str, int] = {}
    for index, lot in enumerate(lots):
        first = seen.setdefault(lot.lot, index)
        if first != index:
            line = marked.mark(("lots", first, "lot"))[0]
            yield marked.fault(
                ("lots", index, "lot"), "a lot of this name stands in the file before",
                found=lot.lot, accepted=f"another name than in line {line}",
            )  # fmt: skip


# -- CSV --------------------------------------------------------------------------------------

#: Columns beside the plain fields of a lot: one certificate of each kind.
_KINDS: tuple[str, ...] = get_args(CertificateKind)
_CERTIFICATE_FIELDS = tuple(name for name in Certificate.model_fields if name != "kind")
COLUMNS: tuple[str, ...] = (
    *(name for name in Lot.model_fields if name not in ("certificates", "withdrawn")),
    *(f"{kind}.{name}" for kind in _KINDS for name in _CERTIFICATE_FIELDS),
    *(f"withdrawn.{name}" for name in Withdrawn.model_fields),
)


def _marked_csv(text: str, file: str, faults: list[Fault]) -> Marked:
    """A CSV file as the data that a YAML file would have, each value marked with its line."""
    data: dict[str, Any] = {"format": "1", "lots": []}
    marks: dict[Where, tuple[int, int]] = {}
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    begins, header = 1, list[str]()
    try:
        for row in reader:
            line, begins = begins, reader.line_num + 1
            if not any(cell.strip() for cell in row):
                continue
            if not header:
                header = [cell.strip() for cell in row]
                faults += _unknown_columns(header, file, line)
                continue
            if len(row) > len(header):
                problem = f"{len(row)} values under {len(header)} columns"
                accepted = "a value with the separator in it stands in quotation marks"
                faults.append(Fault(file, line, 0, "", problem, "", accepted))
            index = len(data["lots"])
            marks[("lots", index)] = (line, 0)
            data["lots"].append(_of_row(dict(zip(header, row, strict=False)), index, line, marks))
    except csv.Error as error:
        faults.append(Fault(file, begins, 0, "", f"not valid CSV: {error}", "", ""))
    if not header:
        accepted = f"a first line with names of columns: {one_of(COLUMNS)}"
        faults.append(Fault(file, 1, 0, "", "there are no columns", "", accepted))
    return Marked(file, data, marks, {}, {}, text)


def _separator(text: str) -> str:
    """Comma or semicolon, whichever the first line has more of."""
    first = text.split("\n", 1)[0]
    return ";" if first.count(";") > first.count(",") else ","


def _unknown_columns(header: Sequence[str], file: str, line: int) -> Iterator[Fault]:
    for number, name in enumerate(header):
        if name and name not in COLUMNS:
            near = nearest_name(name, COLUMNS)
            yield Fault(file, line, 0, "", "no such column", name, one_of(COLUMNS), near)
        elif name and name in header[:number]:
            yield Fault(file, line, 0, "", "this column is there twice", name, "each once")
    for name in ("lot", "layer", "material"):
        if name not in header:
            yield Fault(file, line, 0, "", f"the column {name} is missing", "", "")


def _of_row(
    cells: Mapping[str, str], index: int, line: int,
    marks: dict[Where, tuple[int, int]],
) -> dict[str, Any]:  # fmt: skip
    lot: dict[str, Any] = {}
    for name, cell in cells.items():
        text = cell.strip()
        if not text or name not in COLUMNS:
            continue
        kind, dot, field = name.partition(".")
        if not dot:
            listed = [part.strip() for part in text.split("|") if part.strip()]
            lot[name] = listed if name == "scans" else text
            marks[("lots", index, name)] = (line, 0)
        elif kind == "withdrawn":
            lot.setdefault(kind, {})[field] = text
            marks[("lots", index, kind, field)] = (line, 0)
        else:
            papers = lot.setdefault("certificates", [])
            paper = next((one for one in papers if one["kind"] == kind), None)
            if paper is None:
                papers.append(paper := {"kind": kind})
            paper[field] = text
            marks[("lots", index, "certificates", papers.index(paper), field)] = (line, 0)
    return lot
