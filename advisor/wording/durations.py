"""Times as a person says them, from minutes."""

from __future__ import annotations

from advisor.wording.figures import Range

DAY = 1440.0
"""min"""


def duration_text(minutes: float) -> str:
    """``50 min`` or ``1 h 20 min``, in steps of 5 minutes from a quarter of an hour up."""
    whole = 5 * round(minutes / 5) if minutes >= 15 else max(1, round(minutes))
    hours, rest = divmod(whole, 60)
    parts = [f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest)
    return " ".join(parts)


def duration_with_range(value: Range) -> str:
    """``about 1 h 20 min (50 min to 2 h)``."""
    low, typical, high = (duration_text(v) for v in (value.low, value.typical, value.high))
    return typical if low == high else f"about {typical} ({low} to {high})"


def wait_text(minutes: float) -> str:
    """``5 min``, ``2 h``, ``3 days``."""
    if minutes >= 2 * DAY:
        return f"{round(minutes / DAY):d} days"
    return "1 day" if minutes >= DAY else duration_text(minutes)


def clock(minutes: float) -> str:
    """``1:05`` hours and minutes from the start."""
    hours, rest = divmod(round(minutes), 60)
    return f"{hours}:{rest:02d}"
