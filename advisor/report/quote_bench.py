"""The pages behind a quote: what the bench needs to do and buy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.advice.result import Range
from advisor.facts.quantity import System
from advisor.report import words
from advisor.report.blocks import (
    Block,
    Column,
    Item,
    Items,
    Mark,
    Oblong,
    Pairs,
    Row,
    Section,
    Sketch,
    Table,
    Text,
    Tick,
    Tone,
    WorkStep,
    WorkSteps,
)
from advisor.work.amounts import in_system, range_text, unit_shown
from advisor.work.effort import finished
from advisor.work.model import CutPlan, HoleChoice, JobSheet, Slot, VehicleJob
from advisor.work.model import Item as Minutes
from advisor.work.yardage import Cutting, Hides

#: Steps of the timeline's scale [min].
HOURS = (5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0)
STATUS = {**words.SOURCE_STATUS, "computed": "computed"}


def bench_sections(job: VehicleJob, system: System) -> Iterator[Section]:
    """Every part's quantities, cutting, steps and times; then the timeline of all."""
    live = [sheet for sheet in job.sheets if not sheet.withheld]
    for sheet in live:
        head = f"{sheet.title or sheet.case}: " if len(live) > 1 else ""
        yield from _part(sheet, head, system)
    if job.timeline:
        yield Section("Timeline", tuple(_timeline(job.timeline, len(live) > 1)), keep=True)


def _part(sheet: JobSheet, head: str, system: System) -> Iterator[Section]:
    for group in sheet.groups:
        blocks: list[Block] = []
        if group.amounts:
            blocks.append(_amounts(group.amounts, system))
        if group.tips:
            blocks.append(Items(tuple(Item(text) for text in group.tips)))
        yield Section(f"{head}{group.title}", tuple(blocks))
    if sheet.cut is not None:
        yield Section(f"{head}Cutting", tuple(_cut(sheet.cut, system)))
    if sheet.holes is not None:
        yield Section(f"{head}Every hole, or every other", tuple(_holes(sheet.holes)), keep=True)
    yield Section(f"{head}Tools and materials", (_lists(sheet),), keep=True)
    yield Section(f"{head}Steps", tuple(_steps(sheet)))
    yield Section(f"{head}Minutes", (_minutes(sheet),), keep=True)
    if sheet.notes:
        notes = tuple(Text(note, Tone.SMALL) for note in sheet.notes)
        yield Section("", notes)


def _amounts(amounts: Sequence[object], system: System) -> Table:
    from advisor.work.amounts import Amount

    rows = []
    for amount in amounts:
        assert isinstance(amount, Amount)
        said = STATUS.get(amount.status, amount.status)
        note = f"{amount.note}. " if amount.note else ""
        rows.append(Row((amount.title, amount.text(system), f"{note}{said.capitalize()}")))
    head = (Column("Quantity", 0.34), Column("Amount", 0.28), Column("Remark", 0.38))
    return Table(head, tuple(rows))


def _cut(cut: CutPlan, system: System) -> Iterator[Block]:
    if cut.note:
        yield Text(words.sentence(cut.note), Tone.WARN if cut.assumed else Tone.PLAIN)
    if cut.hides is not None:
        yield Pairs(_hides(cut.hides, system))
        return
    if not cut.cuttings:
        return
    rows = [_cutting_row(cutting, system) for cutting in cut.cuttings]
    head = (
        Column("Way of cutting", 0.36),
        Column("Needs", 0.16, right=True),
        Column("Buy", 0.12, right=True),
        Column("Waste", 0.1, right=True),
        Column("Seams added", 0.26),
    )
    yield Table(head, tuple(rows))
    sketch = layout_sketch(cut.cuttings[0], system)
    yield sketch
    if len(sketch.words) > 1:
        yield Items(tuple(Item(said) for said in sketch.words), Mark.NONE)


def _cutting_row(cutting: Cutting, system: System) -> Row:
    joins = ", ".join(cutting.joins) if cutting.joins else "none"
    if cutting.seam_shows:
        joins += " (in a face)"
    needs = length_text(cutting.needed, system)
    return Row(
        (cutting.title, needs, yards_text(cutting), f"{100 * cutting.layout.waste:.0f} %", joins)
    )


def yards_text(cutting: Cutting) -> str:
    """``2.5 yd``: cloth is bought in whole and half yards."""
    return f"{cutting.yards:g} yd"


def length_text(millimetres: float, system: System) -> str:
    """A length of cloth in metres or yards."""
    metres = millimetres / 1000.0
    return range_text(Range(metres, metres, metres), "cloth", system)


def layout_sketch(cutting: Cutting, system: System) -> Sketch:
    """The preferred cut drawn to scale: the roll runs to the right."""
    layout = cutting.layout
    oblongs, said = [], []
    for number, placed in enumerate(layout.placed, 1):
        size = f"{_edge(placed.along, system)} x {_edge(placed.across, system)}"
        label = f"{number}  {placed.piece.title} {size}"
        oblongs.append(Oblong(placed.x, placed.y, placed.along, placed.across, label))
        at = f"at {_edge(placed.x, system)} along, {_edge(placed.y, system)} across"
        said.append(f"{number}  {placed.piece.title}: {size} {unit_shown('length', system)}, {at}")
    caption = (
        f"{cutting.title}. Roll runs to the right; usable width "
        f"{_edge(layout.across, system)} {unit_shown('length', system)}. Seam allowance is in "
        f"the sizes. At most {100 * layout.over_bound:.0f} % longer than the shortest there can be."
    )
    if layout.over_bound < 1e-6:
        caption = caption.rpartition(". At most")[0] + ". No shorter layout of these pieces exists."
    ticks = _ticks(layout.length, system)
    return Sketch(layout.length, layout.across, tuple(oblongs), ticks, caption, tuple(said))


def _ticks(length: float, system: System) -> tuple[Tick, ...]:
    """Marks along the roll at round lengths."""
    whole = in_system(length / 1000.0, "cloth", system)
    step = next((s for s in (0.1, 0.25, 0.5, 1.0, 2.0) if whole / s <= 7.0), 5.0)
    unit = unit_shown("cloth", system)
    marks = range(int(whole / step) + 1)
    return tuple(Tick(i * step / whole, f"{i * step:g} {unit}") for i in marks)


def _edge(millimetres: float, system: System) -> str:
    value = in_system(millimetres, "length", system)
    return f"{value:.1f}" if system is System.IMPERIAL else f"{value:.0f}"


def _hides(hides: Hides, system: System) -> tuple[tuple[str, str], ...]:
    def area(value: float) -> str:
        return range_text(Range(value, value, value), "big_area", system)

    rows = [
        ("Net area", area(hides.net)),
        ("To buy", f"{area(hides.to_buy)}: {hides.hides} whole hide{'s' * (hides.hides > 1)}"),
    ]
    if hides.too_large:
        rows.append(("Too large for a hide", ", ".join(hides.too_large)))
    return tuple(rows)


def _holes(holes: HoleChoice) -> Iterator[Block]:
    head = (
        Column("Sewn through", 0.32),
        Column("Stitches", 0.16, right=True),
        Column("Minutes", 0.16, right=True),
        Column("Quote before tax", 0.2, right=True),
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
                    f"{holes.price[i]:.2f}",
                    f"{100 * holes.hold[i]:.0f} of 100",
                ),
                strong=proposed,
            )
        )
    yield Table(head, tuple(rows))
    yield Text(holes.text)


def _lists(sheet: JobSheet) -> Pairs:
    materials = []
    for material in sheet.materials:
        special = " (to be ordered)" if material.special_order else ""
        materials.append(f"{material.what}{special}")
    rows = [("Tools", ", ".join(sheet.tools)), ("Materials", "; ".join(materials))]
    return Pairs(tuple(row for row in rows if row[1]))


def _steps(sheet: JobSheet) -> Iterator[Block]:
    for key, title in zip(sheet.methods, sheet.titles, strict=True):
        steps = tuple(
            WorkStep(str(step.number), words.sentence(step.text), step.cautions)
            for step in sheet.steps
            if step.method == key
        )
        if steps:
            yield WorkSteps(title, steps)
        for wait in sheet.waits:
            if wait.method == key:
                until = "before the next job on it" if wait.before == "next" else "before use"
                span = words.durations(wait.minutes)
                yield Text(f"Wait {until}: {wait.title}, {span}.")


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
        title = f"Kept in {round(100 * certainty)} of 100 such jobs"
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


def _timeline(slots: Sequence[Slot], several: bool) -> Iterator[Block]:
    end = finished(slots)
    if end <= 0.0:
        return
    oblongs, said = [], []
    parts = list(dict.fromkeys(slot.part for slot in slots))
    letters = {part: f"{chr(65 + i % 26)}  " if several else "" for i, part in enumerate(parts)}
    for row, slot in enumerate(slots):
        name = f"{letters[slot.part]}{slot.title}"
        span = f"{words.duration(slot.end - slot.start)}"
        what = span if slot.hands else f"{span}, nobody needed"
        tone = Tone.PLAIN if slot.hands else Tone.WARN
        width = max(slot.end - slot.start, end / 400.0)
        oblongs.append(Oblong(slot.start, row, width, 0.85, f"{name}, {what}", tone))
        said.append(f"{_clock(slot.start)} to {_clock(slot.end)}  {name}, {what}")
    step = next((s for s in HOURS if end / s <= 8.0), 2880.0)
    ticks = tuple(Tick(i * step / end, _clock(i * step)) for i in range(int(end / step) + 1))
    caption = "Hours from the start. Dashed: it cures, work elsewhere can go on."
    if several:
        caption += " " + ". ".join(f"{letters[part].strip()}: {part}" for part in parts) + "."
    yield Sketch(
        end, float(len(slots)), tuple(oblongs), ticks, caption, tuple(said), true_scale=False
    )


def _clock(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return f"{hours}:{rest:02d}"
