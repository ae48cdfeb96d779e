"""The page that tells the verdict on a burn test, as blocks."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.papers.burn.judge import TITLES, AlsoAsked, Compared, Judged, Verdict, limit_words
from advisor.papers.burn.record import Conditioning
from advisor.papers.burn.rule_sets import Said, Sourced
from advisor.report.blocks import (
    Block,
    Box,
    Column,
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

SHORT_DIGEST = 12
NOT_AN_APPROVAL = (
    "Figures compared with limits. Not an approval: nothing is released or returned to service by "
    "this page."
)
MEMORY = (
    "Some limits or requirements used here are from memory and have not been checked (marked "
    "below). Read the rule itself before anyone relies on this."
)
SENTENCES = {
    Verdict.PASS: "Values within limits.",
    Verdict.FAIL: "Values not within limits.",
    Verdict.INCOMPLETE: "Data are missing; no verdict on the values.",
    Verdict.INVALID: "Not tested as the method requires; the values are not evidence.",
    Verdict.REVIEW: "Not decided here; see below who decides.",
    Verdict.NOT_REQUIRED: "This test is not required for this item.",
}
_TONES = {Verdict.PASS: Tone.GOOD, Verdict.FAIL: Tone.BAD, Verdict.INVALID: Tone.BAD}
_COLUMNS = (
    Column("Reading", 2.0), Column("Along", 0.7), Column("Compared", 2.5),
    Column("Worst", 1.9), Column("Limit", 1.7), Column("Result", 1.4),
)  # fmt: skip
_HEADINGS = {
    Verdict.NOT_REQUIRED: "Why it is not required",
    Verdict.INVALID: "Not as the method requires",
    Verdict.INCOMPLETE: "What is missing",
    Verdict.FAIL: "What is not within its limit",
    Verdict.REVIEW: "For review",
}


def sentence(judged: Judged) -> str:
    """The verdict in one sentence."""
    text = SENTENCES[judged.verdict]
    within = [one.within for one in judged.compared]
    over = False in within
    if judged.verdict is Verdict.REVIEW and within and all(within):
        text += " The values are within the limits they were compared with."
    if judged.verdict in (Verdict.INCOMPLETE, Verdict.INVALID) and over:
        text += " Some of the values given are not within limits."
    return text


def build_page(judged: Judged) -> Document:
    """Everything that is said of a record, in order."""
    record, title = judged.record, judged.record.title
    sections = [Section("Verdict", tuple(_verdict(judged)))]
    if judged.compared:
        rows = tuple(_row(one) for one in judged.compared)
        sections.append(Section("Each limit", (Table(_COLUMNS, rows),)))
    for kind, heading in _HEADINGS.items():
        found = [one for one in judged.findings if one.kind is kind]
        if found:
            items = tuple(Item(one.text, _notes(judged, one.source)) for one in found)
            sections.append(Section(heading, (Items(items),)))
    if judged.also_asked:
        also = tuple(Item(_also(one)) for one in judged.also_asked)
        sections.append(Section("Also required for this item", (Items(also),)))
    sections += _background(judged)
    return Document(
        language="en", heading="Burn test", subtitle=title or record.record,
        meta=(("Record", record.record),), stamp="", stamp_text="", front=tuple(sections),
        working_apart=False, working_heading="", working_intro="", working=(),
        footer=NOT_AN_APPROVAL, author="",
        footer_detail=f"Record {record.record}. Limits {judged.rules.digest[:SHORT_DIGEST]}.",
    )  # fmt: skip


def _verdict(judged: Judged) -> Iterable[Block]:
    record, rules = judged.record, judged.rule_set
    box = Box(judged.verdict.value, sentence(judged), _TONES.get(judged.verdict, Tone.WARN))
    yield box
    item = judged.item
    rows = (
        ("Rule set", rules.title if rules else "not given"),
        ("Item", " ".join(filter(None, (item.title, f"[{item.paragraph}]"))) if item else ""),
        ("Test", judged.test.title if judged.test else ""),
        ("Laboratory", record.laboratory or ""),
        ("Certificate", record.certificate or ""),
        ("Date of the test", record.date or ""),
        ("Tested", ", ".join(_tested(judged))),
        ("Conditioned", ", ".join(_air(record.conditioning))),
        ("Who decides", rules.defer_to if rules else "the station or the maker"),
    )
    yield Pairs(tuple((label, told) for label, told in rows if told))
    if judged.from_memory:
        yield Text(MEMORY, Tone.WARN)


def _tested(judged: Judged) -> Iterable[str]:
    material = judged.record.material
    for label, told in (
        ("", material.what), ("maker ", material.maker), ("part ", material.part_number),
        ("batch ", material.batch), ("colour ", material.colour), ("", material.build_up),
        ("finish ", material.finish),
    ):  # fmt: skip
        if told:
            yield f"{label}{told}"


def _air(given: Conditioning) -> Iterable[str]:
    for amount in (given.temperature, given.humidity, given.time):
        if amount is not None:
            yield amount.written
    if given.equilibrium:
        yield "to moisture equilibrium"


def _row(one: Compared) -> Row:
    words = {True: "within", False: "NOT WITHIN", None: "not judged"}
    worst = one.shown(one.worst)
    if one.limit.judged == "never":
        worst = ""
    elif one.worst_specimen is not None:
        worst += f" (no. {one.worst_specimen})"
    return Row(
        (TITLES[one.limit.quantity], "" if one.direction == "any" else one.direction,
         compared_words(one), worst, limit_words(one), words[one.within])
    )  # fmt: skip


def compared_words(one: Compared) -> str:
    """What is compared with the limit: the mean, or how many are within."""
    if one.within is None:
        return "a reading is blank" if one.worst is None else "no limit given"
    if one.limit.judged == "mean":
        units = f" (units read: {', '.join(one.read_in)})" if len(one.read_in) > 1 else ""
        return f"mean of {one.specimens}: {one.shown(one.mean)}{units}"
    if one.limit.judged == "never":
        return f"{one.specimens - (one.meeting or 0)} of {one.specimens}"
    wanted = one.limit.share or "each"
    return f"{one.meeting} of {one.specimens} within; required: {wanted}"


def _background(judged: Judged) -> Iterable[Section]:
    """Where limits and method come from, and what else the rule set says."""
    used: dict[str, str] = {}
    for one in judged.compared:
        told = f"{TITLES[one.limit.quantity]}, limit {limit_words(one)}"
        used[told] = source_words(judged, one.limit)
    test = judged.test
    if judged.compared and test is not None:
        used["conditioning"] = source_words(judged, test.conditioning)
        used["number of specimens"] = source_words(judged, test.specimens)
    if used:
        items = tuple(Item(told, (source,)) for told, source in used.items())
        yield Section("Where the limits come from", (Items(items),))
    said: list[Said] = [*(judged.item.notes if judged.item else ())]
    said += [*(test.notes if test else ()), *(judged.rule_set.notes if judged.rule_set else ())]
    if said:
        items = tuple(Item(one.text, _notes(judged, one)) for one in said)
        yield Section("Please note", (Items(items),))


def _also(one: AlsoAsked) -> str:
    least = one.from_passengers
    seats = "" if least is None else f", where there are {least} passengers or more"
    return f"{one.title} ({one.test}){seats}"


def _notes(judged: Judged, source: Sourced | None) -> tuple[str, ...]:
    return () if source is None else (source_words(judged, source),)


def source_words(judged: Judged, source: Sourced) -> str:
    """A source, its paragraph and how well it is known."""
    title, status = judged.rules.sources[source.source], SOURCE_STATUS[source.status]
    if source.source == "memory":
        return f"From memory of {source.where or 'the rule'}, not checked"
    where = f", {source.where}" if source.where else ""
    return f"{title}{where} ({status})"
