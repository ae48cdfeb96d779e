"""What stands on the bench sheet of one part, in the order of work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.drawing.bench.of_sheet import drawings_of
from advisor.facts.quantity import System
from advisor.job.model import JobSheet, Material
from advisor.report.blocks import BenchFigure, Block, Box, Item, Items, Pairs, Section, Text, Tone
from advisor.report.content.job_sections import cut_blocks, remark, turns_of_work
from advisor.wording.amounts import amount_text
from advisor.wording.counts import HoldBasis, hold_words
from advisor.wording.durations import duration_with_range
from advisor.wording.phrases import filled, joined
from advisor.wording.sentences import capital, in_turn, lowered, sentence


def withheld_on_bench(sheet: JobSheet) -> Section:
    """Why nothing is done on a part, and each hazard with how it is cleared."""
    hazards = Items(tuple(Item(one.ask, (one.how,)) for one in sheet.open_hazards))
    box = Box(f"No work on {sheet.title or sheet.case}", sheet.withheld, Tone.BAD)
    return Section("", (box, hazards) if sheet.open_hazards else (box,))


def part_on_bench(sheet: JobSheet, system: System, *, named: bool) -> Iterator[Section]:
    """A part: before the start, then each method with its drawings, figures and steps."""
    yield Section((sheet.title or sheet.case) if named else "", tuple(_before(sheet)))
    for turn in turns_of_work(sheet):
        blocks: list[Block] = []
        if turn.first:
            blocks += [BenchFigure(one) for one in drawings_of(sheet, turn.method, system)]
        blocks += turn.blocks
        if turn.first:
            blocks += _figures(sheet, turn.method, system)
        if blocks:
            yield Section("", tuple(blocks))
    if sheet.cut is not None:
        yield Section("Cutting", tuple(cut_blocks(sheet.cut, system)))


def _before(sheet: JobSheet) -> Iterator[Block]:
    """What is wrong, what is done, what to lay ready, and cautions that belong to no step."""
    rows = [("The damage", f"{sheet.damage}.")] if sheet.damage else []
    rows.append(("The work", sentence(capital(in_turn(sheet.titles)))))
    if sheet.about is not None:
        rows.append(("Time", sentence(duration_with_range(sheet.about))))
    if sheet.hold_basis is not HoldBasis.EXPERIENCE or sheet.hold_probability < 1.0:
        held = hold_words(sheet.hold_probability, sheet.hold_basis)
        rows.append(("Will it hold", sentence(held)))
    if sheet.tools:
        rows.append(("Tools", _listed(sheet.tools)))
    if sheet.materials:
        rows.append(("Material", _listed(_laid_ready(sheet.materials))))
    yield Pairs(tuple(rows))
    at_steps = {text for step in sheet.steps for text in step.cautions}
    whole = [text for text in sheet.cautions if text not in at_steps]
    if whole:
        yield Text("Caution", Tone.WARN, strong=True)
        yield Items(tuple(Item(sentence(text)) for text in whole))


def _listed(names: Sequence[str]) -> str:
    return joined(", ", [*names[:1], *map(lowered, names[1:])])


def _laid_ready(materials: Sequence[Material]) -> list[str]:
    """Each material once, also where two methods take it."""
    named = {one.what: one for one in materials}
    return [
        name + (" (to be ordered)" if one.special_order else "") for name, one in named.items()
    ]


def _figures(sheet: JobSheet, method: str, system: System) -> Iterator[Block]:
    """The figures of a method, each with what is to be known of it, then its tips."""
    for group in sheet.groups:
        if group.method != method:
            continue
        rows = []
        for amount in group.amounts:
            text = amount.words or amount_text(
                amount.value, amount.dimension, system, rounded=True
            )
            note = remark(amount)
            rows.append((amount.title, filled("{}. {}", text, note) if amount.note else text))
        if rows:
            yield Pairs(tuple(rows))
        if group.tips:
            yield Items(tuple(Item(text) for text in group.tips))
