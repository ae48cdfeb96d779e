"""Amounts with their unit and range, as a job sheet lists them."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.facts.quantity import System
from advisor.wording.amounts import amount_text
from advisor.wording.figures import Range

#: Status of a figure that the job sheet worked out itself.
COMPUTED = "computed"


@dataclass(frozen=True)
class Amount:
    """One quantity of the job.

    ``value`` is in ``unit``, the canonical unit of ``dimension``; a word in its place
    (a thread, a needle point) stands in ``words`` with dimension "text".
    """

    key: str
    title: str
    value: Range
    dimension: str
    unit: str
    source: str
    """Key of the bibliography."""
    status: str
    """looked_up, from_memory, common_practice, estimate or computed."""
    note: str = ""
    words: str = ""

    def text(self, system: System = System.METRIC) -> str:
        """``120 mm``, ``830 mm (780 to 950)``, or the words; what is computed is rounded."""
        rounded = self.status == COMPUTED
        return self.words or amount_text(self.value, self.dimension, system, rounded=rounded)
