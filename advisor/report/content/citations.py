"""Numbers the sources in the order in which a report first leans on them."""

from __future__ import annotations

from advisor.advice.result import Source
from advisor.report.blocks import Item
from advisor.report.status_words import with_status


class Citations:
    """Collects sources; the same source keeps its number."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}
        self._sources: list[Source] = []

    def mark(self, source: Source | None) -> str:
        """`` [3]``, to be put behind a sentence; empty without a source."""
        if source is None:
            return ""
        if source.key not in self._numbers:
            self._sources.append(source)
            self._numbers[source.key] = len(self._sources)
        return f" [{self._numbers[source.key]}]"

    def items(self) -> tuple[Item, ...]:
        """The list of sources with their status in words."""
        return tuple(
            Item(f"[{number}] {with_status(source)}")
            for number, source in enumerate(self._sources, 1)
        )

