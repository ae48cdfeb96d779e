"""Blocks of a report as the Job stage shows them, one under the other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.drawing.cutting_layout import CutLayout, caption
from advisor.drawing.timeline import Timeline
from advisor.facts.quantity import System
from advisor.gui.job.bench_view import Bench
from advisor.gui.job.cutting_view import Cut, runs_down
from advisor.gui.job.timeline_view import Clock
from advisor.gui.widgets.line_blocks import LineBlocks
from advisor.gui.widgets.report_cells import pairs, steps, table
from advisor.report.blocks import (
    BenchFigure,
    Block,
    Box,
    Items,
    Pairs,
    Section,
    Sketch,
    Table,
    Text,
    Tone,
    WorkSteps,
)
from advisor.report.units import in_units_of
from advisor.wording.sentences import sentence

LOOKS = {Tone.SMALL: "small", Tone.WARN: "now"}


class JobContents(LineBlocks):
    """The blocks of the page, from the top."""

    def __init__(self, system: System, *, beside: bool) -> None:
        """``beside`` puts the cautions beside the steps, not under them."""
        super().__init__()
        self._system = system
        self._beside = beside

    def cautions(self, texts: Sequence[str], shown: set[str]) -> None:
        """Cautions of the whole job, except those ``shown`` at a step."""
        for text in texts:
            if text not in shown:
                self.say(in_units_of(sentence(text), self._system), "caution")

    def sections(self, sections: Iterable[Section]) -> None:
        """Headings, and what stands under each."""
        for section in sections:
            self.head(section.title)
            self.blocks(section.title, section.blocks)

    def blocks(self, about: str, blocks: Iterable[Block]) -> None:
        """Blocks of a report; ``about`` is the heading they are under."""
        for block in in_units_of(tuple(blocks), self._system):
            self._block(about, block)

    def _block(self, about: str, block: Block) -> None:
        if isinstance(block, Text):
            self.say(block.text, "new" if block.strong else LOOKS.get(block.tone, ""))
        elif isinstance(block, Box):
            self.say(f"{block.label}: {block.text}", "now")
        elif isinstance(block, Items):
            self.points(sentence(item.text) for item in block.items)
        elif isinstance(block, Pairs):
            self.append(pairs(about, block.rows))
        elif isinstance(block, Table):
            self.append(table(about, block))
        elif isinstance(block, WorkSteps):
            self.append(steps(block, beside=self._beside))
        elif isinstance(block, Sketch):
            self._sketch(block)
        elif isinstance(block, BenchFigure):
            self.append(Bench(block.of))
            self.say(f"{block.of.title}. {block.of.caption}", "small")
        else:
            raise TypeError(f"no place on the page for {type(block).__name__}")

    def _sketch(self, block: Sketch) -> None:
        said = block.caption
        if isinstance(block.of, CutLayout):
            self.append(Cut(block.of, self._system))
            said = caption(block.of, runs_down=runs_down(block.of))
        elif isinstance(block.of, Timeline):
            self.append(Clock(block.of))
        self.say(said, "small")
