"""The hand-over papers of the case in the window: kept at once, judged anew. Knows no Qt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.facts.case import VEHICLE
from advisor.facts.case_writer import case_text
from advisor.facts.faults import BadInput
from advisor.facts.whole_file import private_folder, write_whole
from advisor.papers.binder.shop_record import read_shop
from advisor.papers.burn.rule_sets import shipped_rules
from advisor.papers.handover.from_lots import with_lot
from advisor.papers.handover.judge import Lacking
from advisor.papers.handover.pack import Prepared, prepare
from advisor.papers.handover.page import OPERATORS
from advisor.papers.handover.record import AttachedFile, HandoverRecord, Shown
from advisor.papers.handover.record_file import (
    digest_of_file,
    find_record,
    handover_in,
    kept_file,
    read_handover,
)
from advisor.papers.handover.requirements import requirements
from advisor.papers.handover.stops import stops_of
from advisor.papers.materials.lot import Lot
from advisor.papers.materials.on_hand import all_lots, lots_of_job
from advisor.papers.yaml_record import plain, plain_text, with_values, without, write_record
from advisor.rulegraph.model.layers import LAYERS
from advisor.session.case_session import Session
from advisor.session.form_fields import FormField, Kind, shown_value

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

YES = Kind.YES_NO
MATERIALS, CERTIFICATES = "materials", "certificates"
_DAY = "such as 2026-11-30"
_NOTHING = (("none", "none"),)
FILE_KINDS: dict[Shown, str] = {
    "photo_before": "Photo before", "photo_after": "Photo after",
    "burn_certificate": "Burn certificate", "conformity": "Certificate of conformity",
    "method_data": "Data worked to", "contract": "Contract",
    "drug_alcohol": "Drug and alcohol programme", "training": "Training record",
    "calibration": "Calibration", "other": "Other",
}  # fmt: skip


@dataclass(frozen=True)
class KeptOfJob:
    """What the casebook holds of a job for its papers."""

    lots: Mapping[str, Lot] = field(default_factory=dict)
    """All of the shop's, by name."""
    used: tuple[tuple[str, str], ...] = ()
    """Lots noted as used in this job, with the amount."""
    photos: tuple[tuple[str, Shown, bytes], ...] = ()
    """Digest, whether before or after, and the picture."""


def kept_of_job(book: Casebook, key: str) -> KeptOfJob:
    """What the casebook holds of the job with this key; a photo that is damaged is left out."""
    from advisor.casebook.photos.attached import AFTER, attached
    from advisor.casebook.photos.files import FileMissing

    lots = {kept.lot.lot: kept.lot for kept in book.read(all_lots)}
    used = tuple(
        (use.lot, use.amount) for use, _ in book.read(partial(lots_of_job, key=key))
    )
    photos: list[tuple[str, Shown, bytes]] = []
    for photo in book.read(partial(attached, key=key)):
        what: Shown = "photo_after" if photo.moment == AFTER else "photo_before"
        with suppress(FileMissing):
            data = book.read(partial(book.files.read, digest=photo.digest))
            photos.append((photo.digest, what, data))
    return KeptOfJob(lots, used, tuple(photos))


@dataclass(frozen=True)
class PaperSection:
    """One section of the papers: what it asks, and what it lacks."""

    number: int
    title: str
    fields: tuple[FormField, ...]
    lacking: tuple[Lacking, ...]


class HandoverPapers:
    """The record of one case; what is changed is on disk before a call returns."""

    def __init__(
        self, session: Session, people: Sequence[str] = (), shop: str = "",
        kept: KeptOfJob | None = None, who: str = "",
    ) -> None:  # fmt: skip
        """``who`` of the people is proposed for the work.

        Raises BadInput where a record is kept that cannot be read.
        """
        self._session = session
        self.people, self.shop = tuple(people), shop
        self.who = who or (people[0] if len(people) == 1 else "")
        self.kept = kept or KeptOfJob()
        self.lots = self.kept.lots
        case = session.case.name
        found = find_record(case, session.path)
        self.folder = found.parent if found else kept_file(case).parent
        self.record = read_handover(found, case) if found else HandoverRecord(case=case)

    # -- what it lacks -------------------------------------------------------------------

    def prepared(self) -> Prepared:
        """The papers as they stand, judged with their files. Raises BadInput."""
        session = self._session
        case = session.case
        stops, hazards = stops_of(session.advice) if session.begun else ((), ())
        return prepare(
            self.record, self.folder, case.choice(VEHICLE), case.title,
            case_text(replace(case, photos=()), session.pack.facts), stops, hazards, self.lots,
        )  # fmt: skip

    def sections(self, prepared: Prepared) -> tuple[PaperSection, ...]:
        """The sections that are asked of this vehicle, each with what it lacks."""
        aircraft = prepared.judged.aircraft
        found = []
        for number, title in requirements().sections.items():
            lacking = tuple(
                one for one in prepared.judged.lacking
                if one.number == int(number) and not one.field.startswith(("case", "files"))
            )  # fmt: skip
            fields = self.fields(int(number), aircraft)
            if aircraft or fields or lacking or number == "6":
                found.append(PaperSection(int(number), title, fields, lacking))
        return tuple(found)

    @staticmethod
    def of_files(prepared: Prepared) -> list[Lacking]:
        """What photos and files lack."""
        return [one for one in prepared.judged.lacking if one.field.startswith("files")]

    # -- forms ---------------------------------------------------------------------------

    def fields(self, number: int, aircraft: bool) -> tuple[FormField, ...]:
        """The plain fields of a section; lists have forms of their own."""
        people = tuple((name, name) for name in self.people)
        more: dict[str, tuple[Kind, tuple[tuple[str, str], ...], str]] = {
            "operator.rule": (Kind.CHOICE, tuple(OPERATORS.items()), ""),
            "part.rule_set": (Kind.CHOICE, _rule_sets(), "as the station gave it, never guessed"),
            "work.done": (Kind.LINES, (), ""),
            "work.performer": (Kind.LINE, people, ""),
            "work.training": (Kind.LINE, _training_numbers(), ""),
            "work.started": (Kind.LINE, (), _DAY),
            "work.completed": (Kind.LINE, (), _DAY),
            "inspection.findings": (Kind.LINES, (), ""),
            "method.supplied_by": (Kind.LINE, (("the station", "the station"),), ""),
        }  # fmt: skip
        found = []
        for path, wanted in requirements().fields.items():
            if wanted.number == number and (aircraft or wanted.asked == "all"):
                usual = _NOTHING if path.startswith("open.") else ()
                kind, options, hint = more.get(path, (Kind.LINE, usual, ""))
                found.append(FormField(path, wanted.title, kind, options, hint))
        further = {
            1: (FormField("station.access_clause", "Contract lets the authority inspect", YES),),
            2: (FormField(
                "operator.drug_alcohol_proof", "Proof of a drug and alcohol programme",
                hint="where it flies for hire",
            ),),
            3: (
                FormField("part.registration", "Aircraft registration", hint="or the next two"),
                FormField("part.part_number", "Part number"),
                FormField("part.serial_number", "Serial number"),
            ),
        }.get(number, ()) if aircraft else ()  # fmt: skip
        if number == 3 and not aircraft:
            found.append(FormField("part.before_first_sale", "Not sold at retail yet", YES))
        if number == 8:
            found.append(FormField("prepared_by", "Papers prepared by", Kind.LINE, people))
            found.append(FormField("prepared_on", "Papers prepared on", hint=_DAY))
        return (*found, *further)

    def material_fields(self) -> tuple[FormField, ...]:
        """The form of one material."""
        layers = tuple((layer, layer.replace("_", " ")) for layer in LAYERS)
        return (
            FormField("what", "Material", hint="none, where nothing was added"),
            FormField("layer", "Becomes", Kind.CHOICE, layers),
            FormField("maker", "Maker"),
            FormField("reference", "Part number of the maker"),
            FormField("batch", "Batch or lot"),
            FormField("conformity", "Certificate of conformity", hint="its number"),
            FormField("conformity_batch", "Batch that it names"),
            FormField("shelf_life", "Shelf life or date of cure", Kind.LINE, _NOTHING),
            FormField("amount", "Amount"),
        )

    def certificate_fields(self) -> tuple[FormField, ...]:
        """The form of one burn certificate."""
        used = ", ".join(one.what for one in self.record.materials if one.what)
        tests = tuple((name, test.title) for name, test in shipped_rules().tests.items())
        return (
            FormField("number", "Number"),
            FormField("covers", "Covers", Kind.SEVERAL, hint=f"of: {used}" if used else ""),
            FormField("issued_by", "Laboratory"),
            FormField("date", "Date", hint=_DAY),
            FormField("rule_set", "Rule tested to", Kind.CHOICE, _rule_sets()),
            FormField("test", "Test", Kind.CHOICE, tests),
            FormField("says", "Standard and paragraph", hint="word for word"),
            FormField("thickness", "Thickness tested"),
            FormField("finish", "Finish tested", Kind.LINE, _NOTHING),
            FormField("batch", "Batch tested"),
            FormField("record", "Burn-test record", Kind.FILE, hint="where there is one"),
            FormField("maker_statement", "A maker's statement instead", YES),
            FormField("national_standard", "National standard that it cites"),
            FormField("station_accepts", "A letter of the station instead", YES),
        )

    @staticmethod
    def further_fields() -> tuple[FormField, ...]:
        """What nothing waits for."""
        return (
            FormField("advisory.spare_specimens", "Spare specimens kept"),
            FormField("advisory.tool_calibration", "Tool calibration"),
            FormField("advisory.cleaning_agents", "Cleaning agents"),
        )

    def values(self, fields: Sequence[FormField], at: tuple[str, int] | None = None) -> dict[
        str, str
    ]:  # fmt: skip
        """What the record says in these fields."""
        data = plain(self.record)
        if at is not None:
            listed = data.get(at[0], [])
            data = listed[at[1]] if at[1] < len(listed) else {}
        return {field.path: shown_value(data, field.path) for field in fields}

    def proposals(self) -> dict[str, str]:
        """What may be put into empty fields, for the person to look at and save."""
        found = {"prepared_on": date.today().isoformat()}
        if self.who:
            found |= {"work.performer": self.who, "prepared_by": self.who}
        advice = self._session.advice if self._session.begun else None
        if advice is not None and advice.plan is not None:
            found["work.done"] = ". ".join(advice.plan.titles) + "."
        last = self._last_station()
        if last is not None:
            data = plain(last)
            for path in ("station.name", "station.contract", "station.access_clause"):
                found[path] = shown_value(data, path)
        return found

    def _last_station(self) -> HandoverRecord | None:
        """The record written last of another case that names a station."""
        folder = kept_file(self.record.case).parent
        others = folder.glob("*.yaml") if folder.is_dir() else ()
        for path in sorted(others, key=lambda one: one.stat().st_mtime, reverse=True)[:5]:
            try:
                found = read_handover(path)
            except BadInput:
                continue  # it is told of when its own case is opened
            if found.case != self.record.case and found.station.name:
                return found
        return None

    # -- changing ------------------------------------------------------------------------

    def put(self, values: Mapping[str, object], at: tuple[str, int] | None = None) -> None:
        """Set fields, of the record or of one entry of a list. Raises BadInput."""
        self._keep(handover_in(plain_text(with_values(self.record, at or (), values)), "record"))

    def take_away(self, listed: str, index: int) -> None:
        """Drop one entry of a list."""
        self._keep(handover_in(plain_text(without(self.record, listed, index)), "record"))

    def add_lot(self, lot: Lot, amount: str) -> None:
        """A lot on hand was used."""
        self._keep(with_lot(self.record, lot, amount))

    def add_files(self, paths: Sequence[str], what: Shown) -> None:
        """Files that go along, with their digests as of now. Raises BadInput."""
        known = {file.path for file in self.record.files}
        added = [
            AttachedFile(path=path, what=what, sha256=digest_of_file(Path(path)))
            for path in (str(Path(one).absolute()) for one in paths) if path not in known
        ]  # fmt: skip
        self._keep(self.record.model_copy(update={"files": (*self.record.files, *added)}))

    def lots_of_job(self) -> list[tuple[Lot, str]]:
        """Lots that are noted for this job and not among its materials yet, with the amount."""
        named = {one.lot for one in self.record.materials}
        return [
            (self.lots[lot], amount) for lot, amount in self.kept.used
            if lot in self.lots and lot not in named
        ]  # fmt: skip

    def kept_photos(self) -> list[tuple[str, Shown, bytes]]:
        """Photos of the casebook that are not among the papers yet."""
        known = {file.sha256 for file in self.record.files}
        return [photo for photo in self.kept.photos if photo[0] not in known]

    def take_kept_photos(self) -> None:
        """Put the casebook's photos among the papers. Raises BadInput, OSError."""
        folder = kept_file(self.record.case).parent / "photos"
        added = []
        for digest, what, data in self.kept_photos():
            path = folder / f"{digest}.jpg"
            private_folder(folder)
            write_whole(path, data, private=True)
            added.append(AttachedFile(path=str(path.absolute()), what=what, sha256=digest))
        self._keep(self.record.model_copy(update={"files": (*self.record.files, *added)}))

    def photos_of_case(self) -> list[str]:
        """Photos of the case that are not among the papers yet."""
        known = {file.path for file in self.record.files}
        return [
            path for path in self._session.case.photos
            if str(Path(path).absolute()) not in known and Path(path).is_file()
        ]  # fmt: skip

    def _keep(self, record: HandoverRecord) -> None:
        target = kept_file(record.case)
        if self.folder != target.parent:
            files = tuple(
                file.model_copy(update={"path": str((self.folder / file.path).absolute())})
                for file in record.files
            )
            certificates = tuple(
                one.model_copy(update={"record": str((self.folder / one.record).absolute())})
                if one.record else one for one in record.certificates
            )  # fmt: skip
            record = record.model_copy(update={"files": files, "certificates": certificates})
        write_record(record, target)
        self.record, self.folder = record, target.parent


def _training_numbers() -> tuple[tuple[str, str], ...]:
    """Numbers of the training records that the shop has entered for the audit."""
    with suppress(BadInput):  # told of where they are entered
        numbers = [one.number for one in read_shop().trainings if one.number]
        return tuple((number, number) for number in dict.fromkeys(numbers))
    return ()


def _rule_sets() -> tuple[tuple[str, str], ...]:
    known = shipped_rules().sets
    wanted = (*requirements().aircraft_rule_sets, "fmvss_302", "not_listed")
    return tuple((name, known[name].title) for name in wanted if name in known)
