"""The page of a quote that the customer reads and signs."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.job.effort import finished
from advisor.job.model import HoleChoice, JobSheet, Price, VehicleJob, Visit, WorkKind
from advisor.report.blocks import (
    Block,
    Box,
    Column,
    Item,
    Items,
    Pairs,
    Row,
    Section,
    Table,
    Text,
    Tone,
)
from advisor.wording.counts import of_hundred
from advisor.wording.durations import duration_text, wait_text
from advisor.wording.sentences import listed, lowered, sentence

LINE = "." * 46
#: Words of a step's cautions that tell of something in the air.
FUMES = ("fresh air", "entilat", "fumes", "isocyanate", "vapour")
#: A wait shorter than this is over before anybody could be told [min].
WORTH_TELLING = 30.0


def front_sections(job: VehicleJob, live: Sequence[JobSheet]) -> list[Section]:
    """What, why, price range, what else, what is not covered, cautions, place to sign."""
    sections = [
        Section("", (Box(f"No work on {s.title or s.case}", s.withheld, Tone.BAD),))
        for s in job.sheets
        if s.withheld
    ]
    sections += [_work(sheet, len(live) > 1) for sheet in live]
    if job.price is None:
        return sections
    sections.append(_price(job, job.price))
    if len(live) == 1 and live[0].choices:
        sections.append(_choices(live[0], job.price.currency))
    sections.append(_terms(job, live, job.price))
    sections.append(_sign(job.price))
    return sections


def _work(sheet: JobSheet, several: bool) -> Section:
    rows = [("The damage", f"{sheet.damage}.")] if sheet.damage else []
    rows += [
        ("What we do" if i == 0 else "Then", _done(sheet, key, title))
        for i, (key, title) in enumerate(zip(sheet.methods, sheet.titles, strict=True))
    ]
    if sheet.why:
        rows.append(("Why", sentence(sheet.why)))
    share = of_hundred(sheet.hold_probability)
    rows.append(("Will it hold", f"In {share} computed cases like yours."))
    return Section((sheet.title or sheet.case) if several else "", (Pairs(tuple(rows)),))


def _done(sheet: JobSheet, key: str, title: str) -> str:
    """A method with the work it is made of; setting up is understood."""
    parts = [
        lowered(item.title)
        for item in sheet.items
        if item.method == key and item.kind is not WorkKind.SET_UP
    ]
    parts = [part for part in parts if part != lowered(title)]
    return f"{title}: {'; '.join(parts)}." if parts else f"{title}."


def _price(job: VehicleJob, price: Price) -> Section:
    def money(value: float) -> str:
        return f"{value:.2f}"

    rows = [Row((line.title, money(line.amount))) for line in price.lines]
    rows.append(Row(("Quote before tax", money(price.quote)), strong=bool(price.tax)))
    if price.tax > 0.0:
        rows.append(Row((price.tax_label or "Tax", money(price.tax))))
        rows.append(Row(("Quote in all", money(price.total.high)), strong=True))
    head = (Column("What makes it up", 0.75), Column(price.currency, 0.25, right=True))
    blocks: list[Block] = [Box("Price", _range_said(price)), Table(head, tuple(rows))]
    said = [job.apart] if job.apart else []
    if job.saved >= 0.5:
        said.append(f"Sharing a visit makes this {price.currency} {job.saved:.0f} less than apart.")
    if job.example_prices:
        said.append("These prices are the program's examples, not this shop's.")
    if said:
        blocks.append(Text(" ".join(said), Tone.SMALL))
    return Section("", tuple(blocks))


def _range_said(price: Price) -> str:
    top = f"{price.currency} {price.total.high:.2f}"
    tax = f" with {price.tax_label or 'tax'}" if price.tax > 0.0 else ""
    if price.minimum_applies:
        return f"{top}{tax}. This is our least charge for a call-out; the work fits into it."
    low = f"{price.currency} {price.total.low:.0f}"
    if round(price.total.low) == round(price.total.typical):
        return f"{top}{tax} at most, unless we call you first; {low} is expected."
    return (
        f"{top}{tax} at most, unless we call you first. Likely between {low} and "
        f"{price.currency} {price.total.high:.0f}; {price.currency} {price.total.typical:.0f} is "
        "expected."
    )


def _choices(sheet: JobSheet, currency: str) -> Section:
    head = (
        Column("What else could be done", 0.46),
        Column(f"{currency} before tax", 0.18, right=True),
        Column("Years it lasts", 0.18, right=True),
        Column(f"{currency} a year", 0.18, right=True),
    )
    rows = []
    for choice in sheet.choices:
        # A plan of several methods would be named after one of them.
        title = "This quote" if choice.key == "repair" else choice.title
        if choice.key == "nothing":
            title = f"{title}. {choice.note}"
        yearly = "-" if choice.per_year is None else f"{choice.per_year:.0f}"
        years = f"{choice.years.low:g} to {choice.years.high:g}"
        rows.append(Row((title, f"{choice.price:.0f}", years, yearly)))
    said = (
        f"{currency} a year: the price, and the risk that it comes back, spread over the years it "
        "lasts; for leaving it, the later price spread over the time until then and after. "
    )
    return Section(
        "", (Table(head, tuple(rows)), Text(said + sheet.advice_on_choice, Tone.SMALL))
    )


def _terms(job: VehicleJob, live: Sequence[JobSheet], price: Price) -> Section:
    rows = []
    if job.deposit is not None:
        factor = 1.0 + (price.tax / price.quote if price.quote > 0.0 else 0.0)
        text = f"{price.currency} {job.deposit.amount * factor:.0f} before we order. "
        rows.append(("Deposit", text + job.deposit.because))
    rows.append(("Time", _time(job, price)))
    sewn = [(sheet, sheet.holes) for sheet in live if sheet.holes is not None]
    for sheet, holes in sewn:
        name = f"{sheet.title or sheet.case}: " if len(sewn) > 1 else ""
        rows.append(("Stitches", name + _stitches(holes, price)))
    covered = dict.fromkeys(text for sheet in live for text in sheet.not_covered)
    blocks: list[Block] = [Pairs(tuple(rows))]
    if covered:
        blocks.append(Text("Not covered", strong=True))
        blocks.append(Items(tuple(Item(text) for text in covered)))
    blocks.append(Text("Caution", strong=True))
    blocks.append(Items(tuple(Item(sentence(text)) for text in _cautions(job, live))))
    return Section("", tuple(blocks))


def _time(job: VehicleJob, price: Price) -> str:
    """Hands-on time at the certainty of the quote, and how long it is away."""
    hands = sum(sheet.minutes.at(price.certainty) for v in job.visits for sheet in v.sheets)
    text = f"About {duration_text(hands)} of work"
    away = max((finished(visit.timeline) for visit in job.visits), default=0.0)
    if len(job.visits) == 1 and away > hands + WORTH_TELLING:
        text += f", {duration_text(away)} until it is done because something has to cure"
    return f"{text}."


def _stitches(holes: HoleChoice, price: Price) -> str:
    """What it would mean to sew the other way."""
    more = abs(holes.price[0] - holes.price[1])
    money = f"{price.currency} {more:.0f}" if more >= 0.5 else ""
    minutes = f"{abs(holes.minutes[0] - holes.minutes[1]):.0f} min"
    left = round(100 * holes.strength_left.typical)
    if holes.proposed == "every":
        saved = f"{minutes} and {money} before tax" if money else f"{minutes} at the same price"
        return (
            f"Through every hole. Every other hole would carry about {left} % as much, and save "
            f"{saved}."
        )
    cost = f"and cost {money} more before tax" if money else "at the same price"
    return (
        f"Through every other hole, which carries about {left} % as much as through every hole. "
        f"Every hole would take {minutes} more {cost}."
    )


def _cautions(job: VehicleJob, live: Sequence[JobSheet]) -> list[str]:
    """What the customer must know; what is told at the steps is for the bench."""
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


def visit_title(visit: Visit) -> str:
    """The parts of a visit in a line."""
    return listed(tuple(sheet.title or sheet.case for sheet in visit.sheets))


def _sign(price: Price) -> Section:
    said = f"I agree to this work at {price.currency} {price.total.high:.2f} at most."
    rows = (("Agreed", said), ("Name", LINE), ("Signature, date", LINE))
    return Section("", (Pairs(rows),), keep=True)
