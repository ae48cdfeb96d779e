"""What loads a joint and what takes it: causes, kinds of pull, share used. Pure data, no Qt."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.result import Advice, Load, MethodAdvice, Reason
from advisor.drawing.pull_and_strength import pull_and_strength

MOST_CAUSES = 6
LEAST = 0.02
"""Share of a load below which a cause is left out."""


@dataclass(frozen=True)
class CauseBand:
    """A cause and what it adds to one kind of pull."""

    title: str
    value: float
    duration: str


@dataclass(frozen=True)
class PullBand:
    """A kind of pull on the joint."""

    duration: str
    value: float
    causes: tuple[CauseBand, ...]


@dataclass(frozen=True)
class LoadFlow:
    """Bands from left to right; values in ``unit`` of ``dimension``."""

    pulls: tuple[PullBand, ...]
    usage: float
    weakest: str
    dimension: str
    unit: str
    main: str
    """Title of the cause that decides."""

    @property
    def causes(self) -> tuple[CauseBand, ...]:
        """Every cause shown, under its kind of pull, the largest first."""
        return tuple(cause for pull in self.pulls for cause in pull.causes)


def load_flow(advice: Advice, method: MethodAdvice) -> LoadFlow | None:
    """The flow that loads the weakest joint of a method; None where none was calculated."""
    reason = next((r for r in method.because if len(r.path) > 1 and r.figures), None)
    if method.usage is None or reason is None:
        return None
    site = _site(advice, reason)
    loads = [load for load in advice.loads if load.site == site and load.value.typical > 0.0]
    if not loads:
        return None
    largest = max(load.value.typical for load in loads)
    pulls = tuple(
        PullBand(load.duration, load.value.typical, _causes(load, largest)) for load in loads
    )
    first, deciding = loads[0], pull_and_strength(method)
    return LoadFlow(
        pulls, method.usage.typical, method.limiting_title, first.dimension, first.unit,
        deciding.cause if deciding is not None else "",
    )  # fmt: skip


def _site(advice: Advice, reason: Reason) -> str:
    """Where the load path of a reason ends: the site of the load with its figure."""
    figures = {figure.node: figure.value.typical for figure in reason.figures}
    wanted = figures.get(reason.path[-2])
    for load in advice.loads:
        if wanted is not None and abs(load.value.typical - wanted) <= 1e-9 * max(abs(wanted), 1.0):
            return load.site
    return advice.loads[0].site if advice.loads else ""


def _causes(load: Load, largest: float) -> tuple[CauseBand, ...]:
    found = sorted(load.causes, key=lambda cause: -cause.value.typical)
    return tuple(
        CauseBand(cause.title, cause.value.typical, load.duration)
        for cause in found[:MOST_CAUSES] if cause.value.typical > LEAST * largest
    )  # fmt: skip
