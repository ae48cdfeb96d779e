"""A job as blocks, for the window and the quote: what to do and buy, and what it costs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.drawing.bench.of_sheet import drawings_of
from advisor.drawing.cutting_layout import layouts, length_text, place_text, size_text
from advisor.drawing.timeline import timeline
from advisor.facts.quantity import System
from advisor.job.amount import COMPUTED, Amount
from advisor.job.cutting.hides import Hides
from advisor.job.cutting.layout import Placed
from advisor.job.cutting.yardage import Cutting
from advisor.job.effort import finished
from advisor.job.model import (
    CutPlan,
    HoleChoice,
    JobSheet,
    Material,
    Price,
    VehicleJob,
    Visit,
)
from advisor.job.model import Item as Minutes
from advisor.report.blocks import (
    BenchFigure,
    Block,
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
from advisor.report.content.job_sketches import layout_sketch, timeline_sketch
from advisor.report.content.work_steps import work_steps
from advisor.report.status_words import SOURCE_STATUS
from advisor.wording.amounts import one_amount, unit_shown
from advisor.wording.durations import duration_text, duration_with_range, wait_text
from advisor.wording.money import Tax, price_text, round_money
from advisor.wording.phrases import joined
from advisor.wording.sentences import listed, lowered, sentence

#: A wait shorter than this is not worth a line [min].
WORTH_TELLING = 30.0


def workshop_sections(job: VehicleJob, system: System) -> Iterator[Section]:
    """Every part's quantities, cutting, steps and times; then the timeline of each visit."""
    live = [sheet for sheet in job.sheets if not sheet.withheld]
    for sheet in live:
        head = f"{sheet.title or sheet.case}: " if len(live) > 1 else ""
        yield from part_sections(sheet, system, head)
    yield from timeline_sections(job)


def timeline_sections(job: VehicleJob) -> Iterator[Section]:
    """Each visit along the clock, and when the parts may be used."""
    for visit in job.visits:
        title = "Timeline" if len(job.visits) == 1 else f"Timeline: {visit_title(visit)}"
        blocks = tuple(_timeline(visit))
        if blocks:
            yield Section(title, blocks, keep=True)


def part_sections(sheet: JobSheet, system: System, head: str = "") -> Iterator[Section]:
    """One part's quantities, cutting, steps and times; ``head`` stands before the titles."""
    yield from amount_sections(sheet, system, head)
    yield from work_sections(sheet, system, head)
    yield from minute_sections(sheet, head)


def amount_sections(sheet: JobSheet, system: System, head: str = "") -> Iterator[Section]:
    """One part's quantities, cutting, and its stitches through every hole or every other."""
    for group in sheet.groups:
        blocks: list[Block] = []
        if group.amounts:
            blocks.append(_amounts(group.amounts, system))
        if group.tips:
            blocks.append(Items(tuple(Item(text) for text in group.tips)))
        yield Section(f"{head}{group.title}", tuple(blocks))
    if sheet.cut is not None:
        yield Section(f"{head}Cutting", tuple(cut_blocks(sheet.cut, system)))
    if sheet.holes is not None:
        both = tuple(_holes(sheet.holes, sheet.price))
        yield Section(f"{head}Every hole, or every other", both, keep=True)


def work_sections(sheet: JobSheet, system: System, head: str = "") -> Iterator[Section]:
    """What is laid out for one part, and what is done with it, step by step."""
    yield Section(f"{head}Tools and materials", tuple(_lists(sheet)), keep=True)
    yield Section(f"{head}Steps", tuple(_steps(sheet, system)))


def minute_sections(sheet: JobSheet, head: str = "") -> Iterator[Section]:
    """How long each piece of the work on one part takes, and what is to be noted of it."""
    yield Section(f"{head}Minutes", (_minutes(sheet),), keep=True)
    if sheet.notes:
        notes = tuple(Text(note, Tone.SMALL) for note in sheet.notes)
        yield Section("", notes)


def _amounts(amounts: Sequence[Amount], system: System) -> Table:
    rows = [Row((a.title, a.text(system), remark(a))) for a in amounts]
    head = (Column("Quantity", 0.34), Column("Amount", 0.27), Column("Remark", 0.39, under=True))
    return Table(head, tuple(rows))


def remark(amount: Amount) -> str:
    """The note, and what kind of figure it is where it was not calculated."""
    parts = [amount.note.strip()] if amount.note.strip() else []
    if amount.status != COMPUTED:
        parts.append(SOURCE_STATUS.get(amount.status, amount.status))
    return sentence(joined(". ", (sentence(part).rstrip(".") for part in parts)))


def cut_blocks(cut: CutPlan, system: System) -> Iterator[Block]:
    """What a new cover takes, and every piece drawn on its roll or hide."""
    if cut.note:
        yield Text(sentence(cut.note), Tone.WARN if cut.assumed else Tone.PLAIN)
    if cut.hides is not None:
        yield Pairs(_hides(cut.hides, system))
    elif cut.cuttings:
        yield _ways(cut.cuttings, system)
    for layout in layouts(cut, system):
        yield layout_sketch(layout, system)
        yield _pieces(layout.placed, system)


def _ways(cuttings: Sequence[Cutting], system: System) -> Table:
    rows = [_cutting_row(cutting, system) for cutting in cuttings]
    head = (
        Column("Way of cutting", 0.36),
        Column("Seams added", 0.21),
        Column("Needs", 0.13, right=True),
        Column("Buy", 0.2, right=True),
        Column("Waste", 0.1, right=True),
    )
    return Table(head, tuple(rows))


def _pieces(placed: Sequence[Placed], system: System) -> Table:
    """Size and place of every piece of a drawing, by its number."""
    unit = unit_shown("length", system)
    head = (
        Column("No.", 0.07),
        Column("Piece", 0.39),
        Column(f"Along x across, {unit}", 0.27, right=True),
        Column(f"Begins at, {unit}", 0.27, right=True),
    )
    rows = [
        Row((str(number), p.piece.title, size_text(p, system), place_text(p, system)))
        for number, p in enumerate(placed, 1)
    ]
    return Table(head, tuple(rows))


def _cutting_row(cutting: Cutting, system: System) -> Row:
    needs = length_text(cutting.needed, system)
    waste = f"{100 * cutting.layout.waste:.0f} %"
    return Row((cutting.title, joins_text(cutting), needs, bought_text(cutting, system), waste))


def joins_text(cutting: Cutting) -> str:
    """Which panels get a seam more because of the roll."""
    joins = ", ".join(cutting.joins) if cutting.joins else "none"
    return f"{joins} (where it shows)" if cutting.seam_shows else joins


def bought_text(cutting: Cutting, system: System) -> str:
    """``2.5 yd`` or ``2.2 m``: cloth is sold by whole and half yards, or by tenths of a metre."""
    if system is System.IMPERIAL:
        return f"{cutting.yards:g} yd"
    return f"{math.ceil(cutting.needed / 100.0 - 1e-6) / 10.0:.1f} m"


def _hides(hides: Hides, system: System) -> tuple[tuple[str, str], ...]:
    def area(value: float) -> str:
        return one_amount(value, "big_area", system)

    rows = [
        ("Net area", area(hides.net)),
        ("Needed with waste", area(hides.to_buy)),
        ("To buy", f"{hides.sold_as}: {area(hides.bought)}"),
        ("Waste", f"{100 * hides.waste:.0f} % of what is bought"),
    ]
    if hides.too_large:
        rows.append(("Too large", f"{', '.join(hides.too_large)}: needs a seam, divide it"))
    return tuple(rows)


def _holes(holes: HoleChoice, price: Price | None) -> Iterator[Block]:
    factor, tax = with_tax(price) if price is not None else (1.0, "")
    currency = price.currency if price is not None else ""
    head = (
        Column("Sewn through", 0.32),
        Column("Stitches", 0.16, right=True),
        Column("Minutes", 0.16, right=True),
        Column(f"At most, {currency}{tax}", 0.2, right=True),
        Column("Holds in", 0.16, right=True),
    )
    rows = []
    for i, title in enumerate(("Every hole", "Every other hole")):
        proposed = holes.proposed == ("every", "every_other")[i]
        rows.append(
            Row(
                (
                    f"{title}{' (proposed)' if proposed else ''}",
                    f"{holes.stitches[i]:.0f}",
                    f"{holes.minutes[i]:.0f}",
                    f"{factor * holes.price[i]:.2f}",
                    f"{100 * holes.hold[i]:.0f} of 100",
                ),
                strong=proposed,
            )
        )
    yield Table(head, tuple(rows))
    yield Text(holes.text)


def _lists(sheet: JobSheet) -> Iterator[Block]:
    if sheet.tools:
        yield Pairs((("Tools", joined(", ", sheet.tools)),))
    if not sheet.materials or sheet.price is None:
        return
    markup = f"With {round(100 * sheet.price.markup)} % on top"
    head = (
        Column("Material", 0.4),
        Column("Price is", 0.14),
        Column(f"{sheet.price.currency}, low to high", 0.2, right=True),
        Column(markup, 0.26, right=True),
    )
    yield Table(head, tuple(_material(m, sheet.price) for m in sheet.materials))


def _material(material: Material, price: Price) -> Row:
    low, high = material.price.low, material.price.high
    span = f"{low:.0f}" if round(low) == round(high) else f"{low:.0f} to {high:.0f}"
    title = f"{material.what} (to be ordered)" if material.special_order else material.what
    charged = material.estimate.expected * (1.0 + price.markup)
    whose = "the shop's" if material.own_price else "an example"
    return Row((title, whose, span, f"{charged:.2f}"))


def _steps(sheet: JobSheet, system: System) -> Iterator[Block]:
    for turn in turns_of_work(sheet):
        if turn.first:
            yield from (BenchFigure(one) for one in drawings_of(sheet, turn.method, system))
        yield from turn.blocks


@dataclass(frozen=True)
class Turn:
    """Steps of one method that follow each other; taking apart may begin before another's."""

    method: str
    first: bool
    """Whether the method begins here."""
    blocks: tuple[Block, ...]


def turns_of_work(sheet: JobSheet) -> Iterator[Turn]:
    """All steps in the order of their numbers, with the cautions beside them, and the waits.

    A method without steps comes last, for its figures.
    """
    last = {step.method: step.number for step in sheet.steps}
    begun: set[str] = set()
    for method, block in work_steps((s.method, s.method_title, s.text, s.cautions)
                                    for s in sheet.steps):  # fmt: skip
        done = block.steps[-1].number == str(last[method])
        waits = tuple(_waits(sheet, method)) if done else ()
        yield Turn(method, method not in begun, (block, *waits))
        begun.add(method)
    for method in sheet.methods:
        if method not in last:
            yield Turn(method, True, tuple(_waits(sheet, method)))


def _waits(sheet: JobSheet, method: str) -> Iterator[Text]:
    for wait in sheet.waits:
        if wait.method == method:
            ahead = "in between" if method == sheet.methods[-1] else "before the next job on it"
            until = ahead if wait.before == "next" else "before use"
            span = duration_with_range(wait.minutes)
            yield Text(f"Wait {until}: {wait.title}, {span}.", Tone.WARN)


def _minutes(sheet: JobSheet) -> Table:
    head = (
        Column("Work", 0.44),
        Column("Kind", 0.14),
        Column("Least", 0.1, right=True),
        Column("Likely", 0.1, right=True),
        Column("Most", 0.1, right=True),
        Column("Expected", 0.12, right=True),
    )
    rows = [_minutes_row(item) for item in sheet.items]
    rows.append(Row(("In all", "", "", "", "", f"{sheet.minutes.expected:.0f}"), strong=True))
    if sheet.price is not None:
        certainty = sheet.price.certainty
        title = f"Enough in {round(100 * certainty)} of 100 such jobs"
        rows.append(Row((title, "", "", "", "", f"{sheet.minutes.at(certainty):.0f}")))
    apart = f"{sheet.set_up.expected:.0f}"
    rows.append(Row(("Of this set-up, taking apart and refitting", "", "", "", "", apart)))
    return Table(head, tuple(rows))


def _minutes_row(item: Minutes) -> Row:
    kinds = {"set_up": "set-up", "access": "access", "work": "work"}
    least, likely, most = (
        f"{m:.0f}" for m in (item.minutes.low, item.minutes.typical, item.minutes.high)
    )
    expected = f"{item.estimate.expected:.0f}"
    return Row((item.title, kinds[item.kind.value], least, likely, most, expected))


def _timeline(visit: Visit) -> Iterator[Block]:
    several = len(visit.sheets) > 1
    course = timeline(visit.timeline, several=several)
    if course is None or (len(visit.timeline) == 1 and not visit.ready):
        return
    yield timeline_sketch(course)
    if visit.ready:
        said = [
            f"Ready {wait_text(ready.at)} after the start: {lowered(ready.title)}"
            + (f" ({ready.part})" if several else "")
            for ready in visit.ready
        ]
        yield Items(tuple(Item(sentence(text)) for text in said))


# -- money and terms ---------------------------------------------------------------------


def price_blocks(job: VehicleJob, price: Price) -> list[Block]:
    """What makes up the quote, and what is to be said about it."""
    def money(value: float) -> str:
        return f"{value:.2f}"

    rows = [Row((line.title, money(line.amount))) for line in price.lines]
    rows.append(Row(("Before tax", money(price.quote)), strong=bool(price.tax)))
    if price.tax > 0.0:
        rows.append(Row((price.tax_label or "Tax", money(price.tax))))
        rows.append(Row((_in_all(price), money(price.total.high)), strong=True))
    head = (Column("What makes it up", 0.75), Column(price.currency, 0.25, right=True))
    blocks: list[Block] = [Table(head, tuple(rows))]
    said = [job.apart] if job.apart else []
    if job.saved >= 0.5:
        factor, tax = with_tax(price)
        saved = f"{price.currency} {job.saved * factor:.0f}{tax}"
        said.append(f"Sharing a visit makes this {saved} less than separate visits.")
    if job.example_prices:
        said.append("These prices are the program's examples, not this shop's.")
    if said:
        blocks.append(Text(" ".join(said), Tone.SMALL))
    return blocks


def _in_all(price: Price) -> str:
    """What the last line is: the price itself, or the most that is paid without a call."""
    return "To pay" if price.total.high == price.total.typical else "To pay at most"


def price_said(price: Price) -> str:
    """The one price, as it is said everywhere, and what is paid at most."""
    rate = price.tax / price.quote if price.quote > 0.0 else 0.0
    said = price_text(price.value, price.currency, Tax(rate, price.tax_label))
    if price.minimum_applies:
        return f"{said}. This is our minimum call-out charge; it covers this work."
    top = f"{price.currency} {price.total.high:.2f}"
    return f"{said}. At most {top}, unless we call you first."


def with_tax(price: Price) -> tuple[float, str]:
    """What an amount before tax is multiplied by to be what is paid, and the words for it."""
    if price.tax <= 0.0 or price.quote <= 0.0:
        return 1.0, ""
    return 1.0 + price.tax / price.quote, f" incl. {price.tax_label or 'tax'}"


def choices_blocks(sheet: JobSheet, price: Price) -> list[Block]:
    """Repair, renewal and doing nothing with their cost per year, as they are paid."""
    currency, (factor, tax) = price.currency, with_tax(price)
    head = (
        Column("What else could be done", 0.46),
        Column(f"{currency}{tax}", 0.18, right=True),
        Column("Years it lasts", 0.18, right=True),
        Column(f"{currency} a year", 0.18, right=True),
    )
    rows = []
    for choice in sheet.choices:
        # A plan of several methods would be named after one of them.
        title = "This quote" if choice.key == "repair" else choice.title
        if choice.key == "nothing":
            title = f"{title}. {choice.note}"
        yearly = "-" if choice.per_year is None else f"{choice.per_year * factor:.0f}"
        years = f"{choice.years.low:g} to {choice.years.high:g}"
        rows.append(Row((title, round_money(choice.price * factor), years, yearly)))
    said = (
        f"{currency} a year: the price, and the risk that it comes back, spread over the years it "
        "lasts; for leaving it, the later price spread over the time until then and after. "
    )
    return [Table(head, tuple(rows)), Text(said + sheet.advice_on_choice, Tone.SMALL)]


def terms_blocks(job: VehicleJob, live: Sequence[JobSheet], price: Price) -> list[Block]:
    """Deposit, time, stitches, and what the quote does not cover."""
    rows = []
    if job.deposit is not None:
        factor, tax = with_tax(price)
        text = f"{price.currency} {job.deposit.amount * factor:.0f}{tax} before we order. "
        rows.append(("Deposit", text + job.deposit.because))
    rows.append(("Time", time_said(job)))
    sewn = [(sheet, sheet.holes) for sheet in live if sheet.holes is not None]
    for sheet, holes in sewn:
        name = f"{sheet.title or sheet.case}: " if len(sewn) > 1 else ""
        rows.append(("Stitches", name + _stitches(holes, price)))
    covered = dict.fromkeys(text for sheet in live for text in sheet.not_covered)
    blocks: list[Block] = [Pairs(tuple(rows))]
    if covered:
        blocks.append(Text("Not covered", strong=True))
        blocks.append(Items(tuple(Item(text) for text in covered)))
    return blocks


def time_said(job: VehicleJob) -> str:
    """Hands-on time as every paper and the window say it, and how long it is away."""
    hands = sum(
        sheet.about.typical if sheet.about is not None else sheet.minutes.expected
        for visit in job.visits for sheet in visit.sheets
    )  # fmt: skip
    text = f"About {duration_text(hands)} of work"
    away = max((finished(visit.timeline) for visit in job.visits), default=0.0)
    if len(job.visits) == 1 and away > hands + WORTH_TELLING:
        text += f", {duration_text(away)} until it is done because something has to cure"
    return f"{text}."


def _stitches(holes: HoleChoice, price: Price) -> str:
    """What it would mean to sew the other way."""
    factor, tax = with_tax(price)
    more = abs(holes.price[0] - holes.price[1]) * factor
    money = f"{price.currency} {more:.0f}" if more >= 0.5 else ""
    minutes = f"{abs(holes.minutes[0] - holes.minutes[1]):.0f} min"
    left = round(100 * holes.strength_left.typical)
    if holes.proposed == "every":
        saved = f"{minutes} and {money}{tax}" if money else f"{minutes} at the same price"
        return (
            f"Through every hole. Every other hole would carry about {left} % as much, and save "
            f"{saved}."
        )
    cost = f"and cost {money}{tax} more" if money else "at the same price"
    return (
        f"Through every other hole, which carries about {left} % as much as through every hole. "
        f"Every hole would take {minutes} more {cost}."
    )


def visit_title(visit: Visit) -> str:
    """The parts of a visit in a line."""
    return listed(tuple(sheet.title or sheet.case for sheet in visit.sheets))
