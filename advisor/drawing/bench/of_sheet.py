"""The drawings of a job sheet, with its own figures written in them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from advisor.drawing.bench import hard_parts, sewing, soft_parts
from advisor.drawing.bench.bench_shapes import BenchDrawing, Told
from advisor.facts.quantity import System
from advisor.job.amount import Amount
from advisor.job.model import JobSheet
from advisor.wording.amounts import amount_text
from advisor.wording.figures import Range

#: The drawings by the names that a method's file gives them.
BY_NAME: Mapping[str, Callable[[Told], BenchDrawing]] = {
    draw.__name__: draw
    for draw in (
        sewing.stitch_path,
        sewing.stitch_path_every_other_hole,
        sewing.machine_path,
        hard_parts.weld_groove,
        hard_parts.wire_staples,
        hard_parts.strip_behind,
        soft_parts.patch_behind,
        soft_parts.patch_sewn_on,
        soft_parts.filling_through_split,
        soft_parts.filling_through_carrier,
    )
}


def drawings_of(sheet: JobSheet, method: str, system: System) -> tuple[BenchDrawing, ...]:
    """The drawings of one method, in the order in which its file names them."""
    amounts = [a for group in sheet.groups if group.method == method for a in group.amounts]
    told = _told(amounts, system)
    return tuple(BY_NAME[name](told) for key, name in sheet.drawings if key == method)


def _told(amounts: Sequence[Amount], system: System) -> Told:
    """The likely figure of an amount, rounded as on the sheet and without its range."""
    by_key = {amount.key: amount for amount in amounts}

    def told(key: str) -> str:
        amount = by_key.get(key)
        if amount is None:
            return ""
        middle = Range(amount.value.typical, amount.value.typical, amount.value.typical)
        return amount.words or amount_text(middle, amount.dimension, system, rounded=True)

    return told
