"""The course of a job in time: hands-on work and cures as bars along one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.job.effort import finished
from advisor.job.model import Slot
from advisor.wording.durations import clock

#: Steps of the scale [min].
STEPS = (5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0)
LONGEST_STEP = 2880.0
MOST_MARKS = 8.0


@dataclass(frozen=True)
class Stretch:
    """One piece of work, or one cure [min from the start]."""

    start: float
    end: float
    hands: bool
    """False while it cures and nobody is needed."""
    label: str
    """What it is and how long it takes."""

    @property
    def words(self) -> str:
        """The label with its times."""
        return f"{clock(self.start)} to {clock(self.end)}  {self.label}"


@dataclass(frozen=True)
class Timeline:
    """Stretches in the order of time."""

    end: float
    """min from the start"""
    stretches: tuple[Stretch, ...]
    marks: tuple[tuple[float, str], ...]
    """Round times: share of the whole, and words."""
    caption: str


def timeline(slots: Sequence[Slot], *, several: bool) -> Timeline | None:
    """The course of one visit; None where nothing takes time.

    ``several`` marks the parts of a vehicle by letters.
    """
    end = finished(slots)
    if end <= 0.0:
        return None
    parts = list(dict.fromkeys(slot.part for slot in slots))
    letters = {part: f"{chr(65 + i % 26)}  " if several else "" for i, part in enumerate(parts)}
    stretches = []
    for slot in slots:
        label = f"{letters[slot.part]}{slot.title}"
        label += "" if slot.hands else ", no work needed"
        stretches.append(Stretch(slot.start, slot.end, slot.hands, label))
    step = next((s for s in STEPS if end / s <= MOST_MARKS), LONGEST_STEP)
    marks = tuple((i * step / end, clock(i * step)) for i in range(int(end / step) + 1))
    caption = "Hours and minutes from the start."
    if not all(slot.hands for slot in slots):
        caption += " Dashed: it cures, work elsewhere can go on."
    if several:
        caption += " " + ". ".join(f"{letters[part].strip()}: {part}" for part in parts) + "."
    return Timeline(end, tuple(stretches), marks, caption)
