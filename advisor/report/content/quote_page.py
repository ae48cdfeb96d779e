"""The page of a quote that the customer reads and signs."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.job.model import JobSheet, Price, Standing, VehicleJob, WorkKind
from advisor.report.blocks import (
    Block,
    Box,
    Item,
    Items,
    Pairs,
    Section,
    Text,
    Tone,
)
from advisor.report.content.job_sections import (
    WORTH_TELLING,
    choices_blocks,
    price_blocks,
    price_said,
    terms_blocks,
)
from advisor.wording.counts import HoldBasis, hold_words, of_hundred
from advisor.wording.durations import wait_text
from advisor.wording.sentences import lowered, sentence

LINE = "." * 46
#: Words of a step's cautions that name something in the air.
FUMES = ("fresh air", "entilat", "fumes", "isocyanate", "vapour")


def front_sections(job: VehicleJob, live: Sequence[JobSheet]) -> list[Section]:
    """What, why, price range, what else, what is not covered, cautions, place to sign."""
    sections = [intake_section(job)] if len(job.sheets) > 1 else []
    sections += [
        Section("", (Box(f"No work on {s.title or s.case}", s.withheld, Tone.BAD), *_hazards(s)))
        for s in job.sheets
        if s.withheld
    ]
    sections += [
        Section("", (Box("A hazard question is switched off", one.sentence, Tone.WARN),))
        for one in job.sheets[0].own_rules.switched_off
    ]
    sections += [_work(sheet, len(live) > 1) for sheet in live]
    if job.price is None:
        return sections
    price = Box("Price", price_said(job.price))
    sections += [Section("", (box,)) for box in ask_first(live)]
    sections.append(Section("", (price, *price_blocks(job, job.price))))
    if len(live) == 1 and live[0].choices:
        sections.append(Section("", tuple(choices_blocks(live[0], job.price))))
    cautions = Items(tuple(Item(sentence(text)) for text in _cautions(job, live)))
    terms = terms_blocks(job, live, job.price)
    sections.append(Section("", (*terms, Text("Caution", strong=True), cautions)))
    sections.append(_sign(job.price))
    return sections


INTAKE = {
    Standing.CLEAR_FIRST: "Clear first",
    Standing.DO_NOW: "Do now",
    Standing.ORDER: "Order, then do",
    Standing.REFER: "Send on or decline",
}


def intake_section(job: VehicleJob) -> Section:
    """All parts of the job in one list: what is done now, cleared first, ordered, sent on."""
    titles = dict(INTAKE)
    if any(sheet.open_hazards for sheet in job.sheets):
        titles[Standing.DO_NOW] = "Do, all cleared"
    rows = [
        (titles[standing], f"{'; '.join(_standing(sheet) for sheet in sheets)}.")
        for standing, sheets in job.intake.items()
        if sheets
    ]
    return Section("What to do with each", (Pairs(tuple(rows)),))


def _standing(sheet: JobSheet) -> str:
    name = sheet.title or sheet.case
    if sheet.standing is Standing.ORDER:
        asked = [material.what for material in sheet.materials if material.special_order]
    else:
        asked = [one.title for one in sheet.open_hazards]
    said = ", ".join(lowered(one) for one in dict.fromkeys(asked))
    return f"{name} ({said})" if said else name


def ask_first(live: Sequence[JobSheet]) -> list[Box]:
    """What to ask before the price is a quote, a box for each part that leaves it open."""
    found = []
    for sheet in live:
        if sheet.open_sizes:
            name = f", {sheet.title or sheet.case}" if len(live) > 1 else ""
            asked = " ".join(f"{one.ask} Taken: {one.taken}." for one in sheet.open_sizes)
            said = f"{asked} Another answer is another price: ask before this is signed."
            found.append(Box(f"The price takes for granted{name}", said, Tone.WARN))
    return found


def _hazards(sheet: JobSheet) -> tuple[Block, ...]:
    """Each open hazard with how it is cleared."""
    if not sheet.open_hazards:
        return ()
    return (Items(tuple(Item(one.ask, (one.how,)) for one in sheet.open_hazards)),)


def _work(sheet: JobSheet, several: bool) -> Section:
    rows = [("The damage", f"{sheet.damage}.")] if sheet.damage else []
    rows += [
        ("What we do" if i == 0 else "Then", _done(sheet, key, title))
        for i, (key, title) in enumerate(zip(sheet.methods, sheet.titles, strict=True))
    ]
    if sheet.why:
        rows.append(("Why", sentence(sheet.why)))
    rows.append(("Will it hold", _will_hold(sheet)))
    return Section((sheet.title or sheet.case) if several else "", (Pairs(tuple(rows)),))


def _will_hold(sheet: JobSheet) -> str:
    if sheet.hold_basis is HoldBasis.EXPERIENCE:
        return sentence(hold_words(sheet.hold_probability, sheet.hold_basis))
    return f"In {of_hundred(sheet.hold_probability)} simulated cases like yours."


def _done(sheet: JobSheet, key: str, title: str) -> str:
    """A method with the work it is made of; setting up and its extent are understood."""
    parts = [
        lowered(item.title)
        for item in sheet.items
        if item.method == key and item.kind is not WorkKind.SET_UP and not item.extent
    ]
    parts = [part for part in parts if part != lowered(title)]
    return f"{title}: {'; '.join(parts)}." if parts else f"{title}."


def _cautions(job: VehicleJob, live: Sequence[JobSheet]) -> list[str]:
    """What the customer must know; what is said at the steps is for the workshop."""
    at_steps = [text for sheet in live for step in sheet.steps for text in step.cautions]
    found = list(
        dict.fromkeys(text for sheet in live for text in sheet.cautions if text not in at_steps)
    )
    found += [_wait_said(wait.title, wait.minutes.typical) for sheet in live
              for wait in sheet.waits
              if wait.before == "use" and wait.minutes.typical >= WORTH_TELLING]  # fmt: skip
    if any(word in text for text in at_steps for word in FUMES):
        found.append(
            "Solvent, glue, foam or hot plastic gives off fumes: stay out of a closed cabin until "
            "it is aired and cured"
        )
    found.append("Keep children and animals away while we work: blades, needles, hot tools, glue")
    return list(dict.fromkeys(found))


def _wait_said(title: str, minutes: float) -> str:
    return f"Wait {wait_text(minutes)} after the work: {lowered(title)}"


def _sign(price: Price) -> Section:
    said = f"I agree to this work at {price.currency} {price.total.high:.2f} at most."
    rows = (("Agreed", said), ("Name", LINE), ("Signature, date", LINE))
    return Section("", (Pairs(rows),), keep=True)
