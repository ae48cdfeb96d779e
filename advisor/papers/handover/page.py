"""The hand-over papers as blocks: what is missing first, then the ten sections."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from advisor.papers.burn.rule_sets import shipped_rules
from advisor.papers.handover.judge import JudgedPack, Lacking, PackVerdict
from advisor.papers.handover.record import Certificate, HandoverRecord, MaterialUsed
from advisor.papers.handover.requirements import requirements
from advisor.report.blocks import (
    Block,
    Box,
    Column,
    Document,
    Item,
    Items,
    Pairs,
    Photo,
    Photos,
    Row,
    Section,
    Table,
    Text,
    Tone,
)
from advisor.report.status_words import SOURCE_STATUS

NO_RELEASE = (
    "These papers tell what the shop did. They are no maintenance release: nothing is returned to "
    "service by them. The station inspects for itself and signs its own record; its data, its "
    "manual and the local codes come first."
)
NO_STATION = (
    "These papers tell what the shop did. They approve nothing; the operator's and the vehicle "
    "maker's rules and the local codes come first."
)
FOOTER = "No return to service is given."
MISSING = "not given"
SAID = {
    PackVerdict.READY: "All required fields are filled in. The station decides on them.",
    PackVerdict.REVIEW: "All required fields are filled in; the station must decide what is below.",
    PackVerdict.INCOMPLETE: "Do not hand over yet; what is missing stands below.",
    PackVerdict.INVALID: "Do not hand over: the record and its files do not agree.",
    PackVerdict.REFER: "Do not hand over: this is not the shop's to do.",
}
SAID_ELSEWHERE = {
    PackVerdict.READY: "All fields are filled in.",
    PackVerdict.REVIEW: "All fields are filled in; somebody else must decide what is below.",
}
_STAMPS = {
    PackVerdict.INCOMPLETE: "Not complete", PackVerdict.INVALID: "Not usable",
    PackVerdict.REFER: "Stopped", PackVerdict.REVIEW: "For review",
}  # fmt: skip
MEMORY = "Marked “from memory”: nobody here read the rule itself. Read it before relying on it."
OPERATORS = {
    "part_91": "part 91 (private or club)", "part_121": "part 121 (airline)",
    "part_135": "part 135 (charter)", "part_91_147": "91.147 (sightseeing for hire)",
}  # fmt: skip
_LINE = "_" * 34


def said_of(judged: JudgedPack) -> str:
    """The verdict in one sentence."""
    elsewhere = {} if judged.aircraft else SAID_ELSEWHERE
    return elsewhere.get(judged.verdict, SAID[judged.verdict])


def build_pack_page(
    judged: JudgedPack, title: str, files: Sequence[tuple[str, str]],
    pictures: Sequence[tuple[bytes, bytes]] = (),
) -> Document:  # fmt: skip
    """The papers of a case. ``files`` are the names in the pack with their digests.

    ``pictures`` are JPEGs before and after, empty where one has no other.
    Dates are those of the record, so that the same record gives the same papers.
    """
    record = judged.record
    meta = [("Case", record.case)]
    for label, value in (
        ("Station", record.station.name), ("Work order", record.station.work_order),
        ("Prepared by", record.prepared_by), ("Prepared on", _day(record.prepared_on)),
    ):  # fmt: skip
        if value:
            meta.append((label, value))
    stamp = _STAMPS.get(judged.verdict, "")
    return Document(
        language="en",
        heading="Hand-over papers for the station" if judged.aircraft else "Papers of the job",
        subtitle=title or record.case,
        meta=tuple(meta),
        stamp=stamp,
        stamp_text=said_of(judged) if stamp else "",
        front=tuple(_front(judged)),
        working_apart=False,
        working_heading="The record",
        working_intro="As the shop wrote it. Rules were read in reprints, not in force and whole.",
        working=tuple(_sections(judged, files, pictures)),
        footer=FOOTER if judged.aircraft else "Nothing is approved by this.",
        footer_detail=f"Case {record.case}.",
        author="trim-advisor",
    )


def _front(judged: JudgedPack) -> Iterable[Section]:
    statement = NO_RELEASE if judged.aircraft else NO_STATION
    blocks: list[Block] = [Text(statement)]
    if judged.verdict is PackVerdict.READY:
        blocks.insert(0, Box("State of the papers", said_of(judged), Tone.GOOD))
    if not judged.aircraft:
        blocks.append(Text(requirements().elsewhere, Tone.SMALL))
    yield Section("", tuple(blocks))
    headings = {
        PackVerdict.REFER: "Why it is stopped", PackVerdict.INVALID: "What does not agree",
        PackVerdict.INCOMPLETE: "What is missing, and who can supply it",
        PackVerdict.REVIEW: "What the station must decide" if judged.aircraft else "For review",
    }  # fmt: skip
    for kind, heading in headings.items():
        items = [one for one in judged.lacking if one.kind is kind]
        if items:
            yield Section(heading, (Items(tuple(_by_who(items))),))
    if judged.from_memory:
        yield Section("", (Text(MEMORY, Tone.SMALL),))


def _by_who(lacking: Sequence[Lacking]) -> Iterable[Item]:
    """Under each who can supply something, what that is."""
    for who in dict.fromkeys(one.who for one in lacking):
        yield Item(f"From {who}", strong=True)
        for one in lacking:
            if one.who == who:
                yield Item(f"{one.text}. {source_words(one)}.", level=1)


def source_words(one: Lacking) -> str:
    """Where it is asked, and how well that is known."""
    if one.status == "common_practice":
        return f"Section {one.number}, {SOURCE_STATUS[one.status]}"
    status = SOURCE_STATUS.get(one.status, "own reading of it")
    return f"Section {one.number}, {requirements().sources[one.source]} ({status})"


def _day(day: date | None) -> str:
    return "" if day is None else day.isoformat()


def _or_missing(value: object) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bool):
        return "yes" if value else "no"
    return MISSING if value is None else str(value)


def _sections(
    judged: JudgedPack, files: Sequence[tuple[str, str]], pictures: Sequence[tuple[bytes, bytes]]
) -> Iterable[Section]:
    """The sections, numbered as the findings name them."""
    record, aircraft = judged.record, judged.aircraft
    for number, title in requirements().sections.items():
        if number == "6":
            body: tuple[Block, ...] = tuple(_materials(record.materials))
        elif number == "7":
            body = tuple(_certificates(record)) if aircraft else ()
        else:
            rows = tuple(_rows(record, int(number), aircraft))
            body = (Pairs(rows),) if rows else ()
        if body:
            yield Section(f"{number}. {title}", body, keep=number not in ("6", "7"))
    if pictures:
        rows_of = tuple(
            (Photo("Before", before) if before else None, Photo("After", after) if after else None)
            for before, after in pictures
        )
        yield Section("Before and after", (Photos(rows_of),), keep=len(rows_of) == 1)
    # Nobody is asked to sign what lacks something.
    if judged.verdict in (PackVerdict.READY, PackVerdict.REVIEW):
        if aircraft:
            yield _station()
        yield Section("Attestation of the shop", (
            Text("The work was done and is recorded above as it was. This is no release."),
            Pairs((("Name", record.work.performer or _LINE), ("Signature, date", _LINE))),
        ), keep=True)  # fmt: skip
    advisory = record.advisory
    given = [
        (label, value) for label, value in (
            ("Spare specimens kept", advisory.spare_specimens),
            ("Tool calibration", advisory.tool_calibration),
            ("Cleaning agents", advisory.cleaning_agents),
        ) if value
    ]  # fmt: skip
    if given:
        yield Section("Further", (Pairs(tuple(given)),), keep=True)
    columns = (Column("File", 2.0), Column("SHA-256", 3.0))
    shown = tuple(Row((name, digest)) for name, digest in files)
    listed: Block = Table(columns, shown) if shown else Text("No files go along.")
    yield Section("Files that go along", (
        listed,
        Text("hashes.txt lists every file of the pack, this one too.", Tone.SMALL),
    ))  # fmt: skip


def _station() -> Section:
    """What only the station writes, and by hand."""
    rows = tuple(
        (label, _LINE) for label in
        ("Findings", "Inspected by", "Certificate, kind and number", "Signature, date")
    )  # fmt: skip
    note = "Left blank by the shop. Whoever signs here signs under the station's own procedures."
    return Section("The station's inspection", (Pairs(rows), Text(note, Tone.SMALL)), keep=True)


def _rows(record: HandoverRecord, number: int, aircraft: bool) -> Iterable[tuple[str, str]]:
    wanted = requirements()
    for path, field in wanted.fields.items():
        if field.number == number and (aircraft or field.asked == "all"):
            group, name = path.split(".")
            value = getattr(getattr(record, group), name)
            shown = OPERATORS.get(str(value), "") if path == "operator.rule" else ""
            yield field.title, shown or _or_missing(value)
    if not aircraft:
        return
    if number == 1:
        yield "Authority may inspect the shop", _or_missing(record.station.access_clause)
    elif number == 2 and record.operator.rule in wanted.hired_rules:
        proof = _or_missing(record.operator.drug_alcohol_proof)
        yield "Drug and alcohol programme", proof
    elif number == 3:
        part = record.part
        which = (("Aircraft registration", part.registration),
                 ("Part number", part.part_number), ("Serial number", part.serial_number))
        given = [(label, value) for label, value in which if value]
        yield from given or [("Registration, or part and serial number", MISSING)]


def _materials(materials: Sequence[MaterialUsed]) -> Iterable[Block]:
    if not materials:
        yield Text("No material is listed.")
        return
    columns = (
        Column("Material", 1.8), Column("Maker, part number", 1.9), Column("Batch", 1.1),
        Column("Conformity", 1.3), Column("Shelf life", 1.2), Column("Amount", 1.0),
    )  # fmt: skip
    rows = []
    for one in materials:
        layer = f" ({one.layer.replace('_', ' ')})" if one.layer else ""
        lot = f"; lot {one.lot}" if one.lot else ""
        maker = ", ".join(filter(None, (one.maker, one.reference))) or MISSING
        rows.append(Row((
            f"{_or_missing(one.what)}{layer}{lot}", maker, _or_missing(one.batch),
            _or_missing(one.conformity), _or_missing(one.shelf_life), _or_missing(one.amount),
        )))  # fmt: skip
    yield Table(columns, tuple(rows))


def _certificates(record: HandoverRecord) -> Iterable[Block]:
    yield Pairs((("Rule, as the station gave it", _rule(record.part.rule_set) or MISSING),))
    if not record.certificates:
        yield Text("No burn certificate is listed.")
        return
    columns = (
        Column("Certificate", 1.6), Column("Covers", 1.7), Column("Test and paragraph", 1.9),
        Column("Batch", 1.0), Column("Thickness, finish", 1.6),
    )  # fmt: skip
    yield Table(columns, tuple(Row(_certificate(one)) for one in record.certificates))


def _rule(name: str | None) -> str | None:
    """A rule set by its title."""
    known = shipped_rules().sets.get(name or "")
    return known.title if known else name


def _certificate(one: Certificate) -> tuple[str, ...]:
    first = ", ".join(filter(None, (one.number, one.issued_by, _day(one.date)))) or MISSING
    covers = ", ".join(one.covers) or MISSING
    if one.station_accepts:
        return first, covers, "no test; accepted by the station's letter", one.batch or "", ""
    if one.maker_statement:
        standard = _or_missing(one.national_standard)
        return first, covers, f"maker's statement to {standard}", one.batch or "", ""
    test = shipped_rules().tests.get(one.test or "")
    named = (test.title if test else None, one.says, _rule(one.rule_set))
    tested = ", ".join(filter(None, named)) or MISSING
    as_tested = ", ".join(
        (one.thickness or f"thickness {MISSING}", f"finish: {one.finish or MISSING}")
    )
    return first, covers, tested, _or_missing(one.batch), as_tested


def counted(judged: JudgedPack) -> Mapping[PackVerdict, int]:
    """How many findings there are of each kind."""
    return {kind: sum(one.kind is kind for one in judged.lacking) for kind in PackVerdict}
