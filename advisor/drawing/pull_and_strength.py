"""The pull on a joint against what the joint carries, in one unit. Pure data, no Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.advice.result import Figure, MethodAdvice, PlanAdvice, Reason, Status
from advisor.rulegraph.model.rules import method_word


@dataclass(frozen=True)
class PullAndStrength:
    """One method: the kind of pull that uses most of its joint, and what that joint carries."""

    method: str
    title: str
    pull: Figure
    strength: Figure
    """What the joint carries of that kind of pull, for years."""
    usage: float
    """All pulls together over what it carries; holds up to 1."""
    cause: str
    """What pulls most."""
    weakness: str
    """How it breaks."""

    @property
    def others(self) -> float:
        """The other pulls, as so much more of this kind; in the unit of the pull."""
        return max(self.usage * self.strength.value.typical - self.pull.value.typical, 0.0)


def pull_and_strength(method: MethodAdvice) -> PullAndStrength | None:
    """The pair of figures that decides a method; None where none was calculated."""
    if method.usage is None or method.status not in (Status.HOLDS, Status.FAILS):
        return None
    for reason in method.because:
        figures = {figure.node: figure for figure in reason.figures}
        if len(reason.path) < 2:
            continue
        pull, strength = figures.get(reason.path[-2]), figures.get(reason.path[-1])
        if pull is None or strength is None or pull.unit != strength.unit:
            continue
        return PullAndStrength(
            method.method, method.title, pull, strength, method.usage.typical,
            _cause(reason), method.limiting_title,
        )  # fmt: skip
    return None


def _cause(reason: Reason) -> str:
    titles = {figure.node: figure.title for figure in reason.figures}
    inside = [titles[node] for node in reason.path[:-2] if node in titles]
    return inside[-1] if inside else ""


def tempting(
    methods: Sequence[MethodAdvice], plan: PlanAdvice
) -> tuple[MethodAdvice, PullAndStrength] | None:
    """The quickest other way that a force breaks; None where there is none such."""
    own = method_word(plan.lead)
    lead = next((method for method in methods if method.method == plan.lead), None)
    if lead is None:
        return None
    found = [
        (method, pair) for method in methods
        if method.status is Status.FAILS and method_word(method.method) != own
        and set(method.meets) & set(lead.meets)
        and (pair := pull_and_strength(method)) is not None
    ]  # fmt: skip
    return min(found, key=lambda one: (one[0].hold_probability, one[0].method), default=None)
