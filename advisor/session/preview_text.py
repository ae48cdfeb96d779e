"""What an answer that is only pointed at would change, in one line. Knows no Qt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.wording.counts import of_hundred
from advisor.wording.sentences import lowered

if TYPE_CHECKING:
    from advisor.advice.result import Advice


def preview_text(now: Advice, then: Advice) -> str:
    """``If so: machine stitch leads, holds in 92 of 100``; no price while a hazard is open.

    Nothing is told of a stop: what a hazard leads to is read once it is answered.
    """
    if then.plan is None or now.plan is None:
        return "If so: nothing can be calculated." if then.not_covered is not None else ""
    held = of_hundred(then.plan.hold_probability)
    title = lowered(then.plan.lead_title)
    if then.plan.lead != now.plan.lead:
        return f"If so: {title} leads, holds in {held}."
    was = of_hundred(now.plan.hold_probability)
    if held == was:
        return f"If so: {title} still leads, as firmly."
    return f"If so: {title} still leads, holds in {held} instead of {was}."
