"""States, sources and looks in words that a customer and a dealer both read alike."""

from __future__ import annotations

from advisor.advice.result import MethodAdvice, Origin, Source, Status
from advisor.wording.counts import hold_count

SOURCE_STATUS = {
    "looked_up": "looked up",
    "from_memory": "from memory",
    "common_practice": "common practice, no source",
    "estimate": "estimate",
}

ORIGIN = {
    Origin.MEASURED: "measured",
    Origin.TOLD: "entered",
    Origin.ASSUMED: "assumed",
    Origin.COMPUTED: "calculated",
}

STATUS = {
    Status.HOLDS: "HOLDS",
    Status.FAILS: "FAILS",
    Status.NOT_POSSIBLE: "NOT POSSIBLE HERE",
    Status.BLOCKED: "NOT ALLOWED HERE",
    Status.NOT_NEEDED: "NOT NEEDED",
}

LOOKS = {
    "unseen": "not seen once done",
    "slight": "slightly visible once done",
    "visible": "visible once done",
}


def with_status(source: Source) -> str:
    """A source and how well it is known, unless its title says that already."""
    status = SOURCE_STATUS.get(source.status, source.status)
    contained = all(part in source.title.lower() for part in status.split(", "))
    return source.title if contained else f"{source.title} ({status})"


ESTIMATE = "Estimate, not a test result. Not an approval."

#: What fails in the lesser part of the simulated cases only may fail.
MAY_FAIL_FROM = 0.5


def standing_words(method: MethodAdvice) -> str:
    """``HOLDS``, ``FAILS``...; a method that fails in the lesser part only ``MAY FAIL``."""
    if method.status is Status.FAILS and method.hold_probability >= MAY_FAIL_FROM:
        return f"MAY FAIL, holds in {hold_count(method.hold_probability, method.hold_basis)}"
    return STATUS[method.status]
