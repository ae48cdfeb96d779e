"""What a hand-over record lacks, and whether it may go to the station.

The verdict is on the papers, never on the work: the station inspects and signs.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Literal

from advisor.papers.burn.judge import Judged
from advisor.papers.burn.judge import Verdict as BurnVerdict
from advisor.papers.handover.record import NONE, Certificate, HandoverRecord, MaterialUsed
from advisor.papers.handover.requirements import Requirements, Wanted, requirements
from advisor.papers.materials.lot import Lot
from advisor.papers.materials.warnings import Heed, warning
from advisor.rulegraph.schema.base import Strict

Known = Literal["looked_up", "from_memory", "common_practice", "own_reading"]


class PackVerdict(StrEnum):
    """What comes of the papers; the first of these that has a finding is the verdict."""

    REFER = "REFER"
    INVALID = "INVALID"
    INCOMPLETE = "INCOMPLETE"
    REVIEW = "REVIEW"
    READY = "READY"


@dataclass(frozen=True)
class Lacking:
    """Something the papers lack, or that somebody else decides."""

    kind: PackVerdict
    number: int
    """Section of the papers, from 1."""
    field: str
    """Where in the record it is to be put right."""
    text: str
    who: str
    """Who can supply or decide it."""
    source: str
    status: Known


@dataclass(frozen=True)
class JudgedPack:
    """The verdict on a record with all that led to it."""

    record: HandoverRecord
    aircraft: bool
    verdict: PackVerdict
    lacking: tuple[Lacking, ...]

    @property
    def from_memory(self) -> bool:
        """True where something said here was not looked up."""
        return any(one.status in ("from_memory", "own_reading") for one in self.lacking)

    @property
    def may_be_written(self) -> bool:
        """Whether there may be papers at all: a referred or damaged record gives none."""
        return self.verdict not in (PackVerdict.REFER, PackVerdict.INVALID)


#: Words of the one who signs, which are never the shop's. The title of a manual may hold them.
_RELEASING = re.compile(
    r"return(?:ed|s)?\s+to\s+service|released?\s+to\s+service|airworth\w*", re.IGNORECASE
)
_BARE_PARAGRAPH = re.compile(r"(?:14\s*cfr\s*|far\s*)?(?:part\s*)?25\.853\s*\(a\)", re.IGNORECASE)


def judge_pack(
    record: HandoverRecord,
    vehicle: str | None,
    *,
    stops: Sequence[str] = (),
    open_hazards: Sequence[str] = (),
    burned: Mapping[str, Judged] | None = None,
    digests: Mapping[str, str | None] | None = None,
    lots: Mapping[str, Lot] | None = None,
) -> JudgedPack:
    """The verdict on the papers of a case.

    ``vehicle`` is the answer for the kind of vehicle. ``stops`` are hazards that refer the
    job, ``open_hazards`` questions not answered. ``burned`` holds the burn records that
    certificates name, by that name; ``digests`` the SHA-256 of each attached file as it lies
    there now, None where there is none; left out, files are not looked at. ``lots`` are the
    shop's own by name.
    """
    rules = requirements()
    aircraft = vehicle in rules.aircraft
    found = [
        *_stopped(record, stops, open_hazards),
        *_fields(record, aircraft, rules),
        *_operator(record, aircraft, rules),
        *_materials(record, aircraft, rules),
        *_lots(record, lots or {}),
        *_files(record, aircraft, rules, digests),
    ]
    if aircraft:
        found += [*_which_part(record), *_evidence(record, rules, burned or {})]
    elif record.part.before_first_sale:
        found.append(Lacking(
            PackVerdict.REVIEW, 3, "part.before_first_sale",
            "Covered anew before the first retail sale: whoever does it becomes an alterer, with "
            "duties of certification. Ask the dealer and the authority before it is handed over",
            "the dealer", "alterer", "looked_up",
        ))  # fmt: skip
    order = list(PackVerdict)
    found.sort(key=lambda one: (order.index(one.kind), one.number))
    verdict = found[0].kind if found else PackVerdict.READY
    return JudgedPack(record, aircraft, verdict, tuple(found))


def _stopped(
    record: HandoverRecord, stops: Sequence[str], open_hazards: Sequence[str]
) -> Iterator[Lacking]:
    """What refers the job or the papers, whatever else they say."""
    for stop in stops:
        text = f"A hazard refers this job: {stop}"
        yield Lacking(
            PackVerdict.REFER, 1, "case", text, "the station", "practice", "common_practice"
        )
    for title in open_hazards:
        text = f"Hazard question not answered: {title}"
        yield Lacking(
            PackVerdict.INCOMPLETE, 1, "case", text, "the technician", "practice",
            "common_practice",
        )  # fmt: skip
    reserved = {"return_to_service": "the entry of return to service",
                "station_inspection": "the station's inspection"}  # fmt: skip
    for name, what in reserved.items():
        if getattr(record, name) is not None:
            text = f"Something stands in {what}. It is the station's alone and stays blank"
            yield Lacking(
                PackVerdict.REFER, 9, name, text, "the station", "part_43_7", "from_memory"
            )
    own = {name: getattr(record, name) for name in ("work", "inspection", "open", "advisory")}
    for where, said in (pair for name, inside in own.items() for pair in _texts(inside, name)):
        if words := _RELEASING.search(said):
            text = f"“{words.group()}” is the station's to say; take the words out"
            yield Lacking(
                PackVerdict.REFER, 9, where, text, "the technician", "part_43_7", "from_memory"
            )


def _texts(value: object, where: str = "") -> Iterator[tuple[str, str]]:
    """Every text inside, with its place."""
    if isinstance(value, Strict):
        for name in type(value).model_fields:
            yield from _texts(getattr(value, name), f"{where}.{name}".lstrip("."))
    elif isinstance(value, tuple):
        for at, one in enumerate(value):
            yield from _texts(one, f"{where}[{at}]")
    elif isinstance(value, str):
        yield where, value


def _fields(record: HandoverRecord, aircraft: bool, rules: Requirements) -> Iterator[Lacking]:
    """Fields of the record that say nothing."""
    for path, wanted in rules.fields.items():
        group, name = path.split(".")
        if _asked(wanted, aircraft) and getattr(getattr(record, group), name) is None:
            more = " (write “none” where there was nothing)" if group == "open" else ""
            one = _blank(wanted, wanted.number, path, f"{wanted.title}: not given{more}")
            # Where no station signs, no rule of aviation asks for it.
            yield one if aircraft else replace(one, source="practice", status="common_practice")


def _asked(wanted: Wanted, aircraft: bool) -> bool:
    return aircraft or wanted.asked == "all"


def _blank(wanted: Wanted, number: int, field: str, text: str) -> Lacking:
    return Lacking(
        PackVerdict.INCOMPLETE, number, field, text, wanted.who, wanted.source, wanted.status
    )


def _operator(record: HandoverRecord, aircraft: bool, rules: Requirements) -> Iterator[Lacking]:
    """The clause of access, and the programme for aircraft flown for hire."""
    if not aircraft:
        return
    if not record.station.access_clause:
        text = (
            "The contract has no clause that lets the authority inspect the shop"
            if record.station.access_clause is False
            else "Clause that lets the authority inspect the shop: not given"
        )
        yield Lacking(
            PackVerdict.INCOMPLETE, 1, "station.access_clause", text, "the station",
            "part_145_223", "looked_up",
        )  # fmt: skip
    rule = record.operator.rule
    if rule in rules.hired_rules and record.operator.drug_alcohol_proof is None:
        text = (
            f"Operator under {rule.replace('part_', 'part ').replace('_', '.')} and no proof of "
            "a drug and alcohol programme"
        )
        yield Lacking(
            PackVerdict.REFER, 2, "operator.drug_alcohol_proof", text, "the station",
            "part_120", "looked_up",
        )  # fmt: skip


def _which_part(record: HandoverRecord) -> Iterator[Lacking]:
    part = record.part
    if part.registration is None and (part.part_number is None or part.serial_number is None):
        text = "Registration of the aircraft, or part and serial number: not given"
        yield Lacking(
            PackVerdict.INCOMPLETE, 3, "part.registration", text, "the station", "practice",
            "common_practice",
        )  # fmt: skip


def _materials(record: HandoverRecord, aircraft: bool, rules: Requirements) -> Iterator[Lacking]:
    """Every material with its maker, number, batch and certificate."""
    if not record.materials:
        text = "No material is listed"
        yield Lacking(
            PackVerdict.INCOMPLETE, 6, "materials", text, "the technician", "practice",
            "common_practice",
        )  # fmt: skip
    if nothing_added(record):
        return
    for at, material in enumerate(record.materials):
        called = material.what or f"material {at + 1}"
        for name, wanted in rules.materials.items():
            if _asked(wanted, aircraft) and getattr(material, name) is None:
                text = f"{called}, {wanted.title}: not given"
                yield _blank(wanted, 6, f"materials[{at}].{name}", text)
        named = material.conformity_batch
        if material.batch and named and not same_batch(material.batch, named):
            text = (
                f"{called}: the certificate of conformity is for batch {named}, used was "
                f"{material.batch}"
            )
            yield Lacking(
                PackVerdict.INCOMPLETE, 6, f"materials[{at}].conformity_batch", text,
                "the supplier", "practice", "common_practice",
            )  # fmt: skip


def nothing_added(record: HandoverRecord) -> bool:
    """Whether the record says that no material went into the part."""
    return [(one.what or "").casefold() for one in record.materials] == [NONE]


def _lots(record: HandoverRecord, lots: Mapping[str, Lot]) -> Iterator[Lacking]:
    """Lots of the shop that should not have been used."""
    for at, material in enumerate(record.materials):
        lot = lots.get(material.lot or "")
        day = record.work.completed
        heed = warning(lot, day, soon=0) if lot and day else None
        if heed is not None and heed.kind in (Heed.WITHDRAWN, Heed.EXPIRED):
            text = f"{material.what or material.lot}, lot {material.lot}: {heed.text}"
            yield Lacking(
                PackVerdict.REVIEW, 6, f"materials[{at}].lot", text, "the station", "practice",
                "common_practice",
            )  # fmt: skip


def same_batch(one: str, other: str) -> bool:
    """Whether two papers name one batch; capitals and spaces do not count."""
    return "".join(one.split()).casefold() == "".join(other.split()).casefold()


def _evidence(
    record: HandoverRecord, rules: Requirements, burned: Mapping[str, Judged]
) -> Iterator[Lacking]:
    """Burn certificates against the materials that they are for."""
    if record.part.rule_set == "not_listed":
        text = "No rule is known here for this aircraft. The station says which evidence counts"
        yield Lacking(
            PackVerdict.REVIEW, 7, "part.rule_set", text, "the station", "practice",
            "common_practice",
        )  # fmt: skip
    covered: dict[str, list[Certificate]] = {}
    for at, certificate in enumerate(record.certificates):
        if certificate.station_accepts:
            yield from _letter(at, certificate, rules)
        elif certificate.maker_statement:
            yield from _statement(record, at, certificate, rules)
        else:
            yield from _certificate(record, at, certificate, rules, burned)
        if not certificate.covers:
            text = f"{_called(certificate, at)}, which materials it covers: not given"
            yield _incomplete(at, "covers", text, "the shop")
        for what in certificate.covers:
            covered.setdefault(what.casefold(), []).append(certificate)
    used = {m.what.casefold() for m in record.materials if m.what}
    for at, certificate in enumerate(record.certificates):
        for what in certificate.covers:
            if what.casefold() not in used:
                text = f"{_called(certificate, at)} covers “{what}”, which is no material here"
                yield _incomplete(at, "covers", text, "the shop")
    for at, material in enumerate(record.materials):
        if material.what is not None:
            papers = covered.get(material.what.casefold(), [])
            yield from _of_material(at, material, papers, bool(record.certificates), rules)


def _of_material(
    at: int, material: MaterialUsed, papers: Sequence[Certificate], any_papers: bool,
    rules: Requirements,
) -> Iterator[Lacking]:  # fmt: skip
    what, where = material.what or "", f"materials[{at}]"
    if material.layer in rules.finishes and not papers and any_papers:
        text = (
            f"{what} goes on a part whose burn certificate was made without it: the finish is not "
            "covered. The station says whether a test of the build-up is needed"
        )
        yield Lacking(
            PackVerdict.REVIEW, 7, "certificates", text, "the station", "app_f", "own_reading"
        )
    elif material.layer in (*rules.needs_certificate, *rules.finishes) and not papers:
        text = f"{what}: no burn certificate, alone or in a build-up"
        yield Lacking(
            PackVerdict.INCOMPLETE, 7, "certificates", text, "the laboratory", "practice",
            "common_practice",
        )  # fmt: skip
    alone = [one for one in papers if len(one.covers) == 1 and one.batch]
    wanted = material.batch
    if alone and wanted and not any(same_batch(one.batch or "", wanted) for one in alone):
        named = ", ".join(one.batch or "" for one in alone)
        text = f"{what}: the burn certificate is for batch {named}, used was {wanted}"
        yield Lacking(
            PackVerdict.INCOMPLETE, 7, f"{where}.batch", text, "the supplier", "practice",
            "common_practice",
        )  # fmt: skip


def _called(certificate: Certificate, at: int) -> str:
    return f"Burn certificate {certificate.number or at + 1}"


def _incomplete(at: int, field: str, text: str, who: str) -> Lacking:
    where = f"certificates[{at}].{field}"
    return Lacking(PackVerdict.INCOMPLETE, 7, where, text, who, "practice", "common_practice")


def _letter(at: int, letter: Certificate, rules: Requirements) -> Iterator[Lacking]:
    """The station's own letter: it stands for no test, and the station knows why."""
    for name in ("number", "date"):
        if getattr(letter, name) is None:
            text = f"{_called(letter, at)}, {rules.certificates[name].title}: not given"
            yield _incomplete(at, name, text, "the station")
    what = ", ".join(letter.covers)
    text = f"{what}: no burn certificate, accepted by the station's letter {letter.number or ''}"
    yield Lacking(
        PackVerdict.REVIEW, 7, f"certificates[{at}].station_accepts", text.strip(),
        "the station", "practice", "common_practice",
    )  # fmt: skip


def _statement(
    record: HandoverRecord, at: int, statement: Certificate, rules: Requirements
) -> Iterator[Lacking]:
    """A maker's statement to a national standard: old light aircraft in private use only."""
    if record.part.rule_set != "car_3" or record.operator.rule != "part_91":
        text = (
            "A maker's statement stands for a burn certificate only where the station names "
            "CAR 3 as the rule and the aircraft flies under part 91"
        )
        yield Lacking(
            PackVerdict.INCOMPLETE, 7, f"certificates[{at}].maker_statement", text,
            "the laboratory", "car_3", "looked_up",
        )  # fmt: skip
    if statement.national_standard is None:
        text = f"{_called(statement, at)}, the national standard it cites: not given"
        yield _incomplete(at, "national_standard", text, "the supplier")
    for name in ("number", "date"):
        if getattr(statement, name) is None:
            text = f"{_called(statement, at)}, {rules.certificates[name].title}: not given"
            yield _incomplete(at, name, text, "the supplier")


def _certificate(
    record: HandoverRecord, at: int, certificate: Certificate, rules: Requirements,
    burned: Mapping[str, Judged],
) -> Iterator[Lacking]:  # fmt: skip
    """A certificate of a laboratory."""
    called = _called(certificate, at)
    for name, wanted in rules.certificates.items():
        if getattr(certificate, name) is None:
            text = f"{called}, {wanted.title}: not given"
            yield _blank(wanted, 7, f"certificates[{at}].{name}", text)
    rule_set = certificate.rule_set
    if rule_set is not None and rule_set not in (*rules.aircraft_rule_sets, "not_listed"):
        text = f"{called} is to {rule_set}, which is no evidence for an aircraft"
        yield _incomplete(at, "rule_set", text, "the laboratory")
    elif rule_set is None:
        yield _incomplete(at, "rule_set", f"{called}, the rule tested to: not given", "the shop")
    elif record.part.rule_set and rule_set != record.part.rule_set:
        text = (
            f"{called} is to {rule_set}; the station named {record.part.rule_set}. The station "
            "says whether it may stand in"
        )
        yield Lacking(
            PackVerdict.REVIEW, 7, f"certificates[{at}].rule_set", text, "the station",
            "practice", "common_practice",
        )  # fmt: skip
    paragraph = certificate.says
    if certificate.test is None and paragraph and _BARE_PARAGRAPH.fullmatch(paragraph.strip()):
        text = (
            f"{called} says only “{paragraph}”: in old papers that is the 60 s test, today all of "
            "Part I. The station or the laboratory says which test it was"
        )
        yield Lacking(
            PackVerdict.REVIEW, 7, f"certificates[{at}].test", text, "the station",
            "amendments", "from_memory",
        )  # fmt: skip
    elif certificate.test is None:
        yield _incomplete(at, "test", f"{called}, which test was done: not given", "the shop")
    if certificate.record is not None:
        yield from _readings(at, called, certificate, burned.get(certificate.record))


def _readings(
    at: int, called: str, certificate: Certificate, judged: Judged | None
) -> Iterator[Lacking]:
    """The burn-test record that a certificate names."""
    if judged is None:
        text = f"{called}: its burn-test record {certificate.record} is not there"
        yield _incomplete(at, "record", text, "the shop")
        return
    verdict = judged.verdict
    if verdict is BurnVerdict.PASS:
        return
    kind = PackVerdict.REVIEW if verdict is BurnVerdict.REVIEW else PackVerdict.INCOMPLETE
    text = f"{called}: its burn-test record is {verdict.value}"
    yield Lacking(
        kind, 7, f"certificates[{at}].record", text, "the laboratory", "app_f", "looked_up"
    )


def _files(
    record: HandoverRecord, aircraft: bool, rules: Requirements,
    digests: Mapping[str, str | None] | None,
) -> Iterator[Lacking]:  # fmt: skip
    """Photos that must be there, and files that are no longer what they were."""
    kinds = {file.what for file in record.files}
    for kind, wanted in rules.photos.items():
        if kind not in kinds and _asked(wanted, aircraft):
            yield _blank(wanted, 5, "files", f"{wanted.title}: not there")
    for at, file in enumerate(record.files):
        if digests is None:
            continue
        now = digests.get(file.path)
        if now is None:
            text = f"The file {file.path} is not there"
            yield Lacking(
                PackVerdict.INCOMPLETE, 5, f"files[{at}].path", text, "the shop", "practice",
                "common_practice",
            )  # fmt: skip
        elif file.sha256 is not None and now != file.sha256:
            text = f"The file {file.path} is not the one that was taken up: its hash differs"
            yield Lacking(
                PackVerdict.INVALID, 5, f"files[{at}].sha256", text, "the shop", "part_43_12",
                "looked_up",
            )  # fmt: skip
