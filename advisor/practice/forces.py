"""The forces on the section: those that a learner may draw, and how a drawing compares.

A force is a cause of load by the rules (a node with ``cause``), drawn with its direction, when
it acts, and its rank among the forces of the section.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from advisor.advice.result import Advice, Load
from advisor.drawing.pull_and_strength import pull_and_strength, tempting
from advisor.drawing.section_forces import shown_loads
from advisor.drawing.section_layers import layers_of
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.section import Arrows, SiteLook
from advisor.wording.figures import Range

#: So many forces are offered, the wrong ones among them.
OFFERED = 6
#: A cause with less than this share of the largest force of the section is left out.
SLIGHT = 0.03


class Direction(StrEnum):
    """Which way a force acts on the damage, on the section."""

    APART = "apart"
    """Along the layer, away from the damage on both sides."""
    TOGETHER = "together"
    """Along the layer, towards the damage: closes it."""
    OUT = "out"
    """Square to the surface, away from the base: lifts, peels, hangs."""
    IN = "in"
    """Square to the surface, into the part."""


DIRECTION_TITLES: Mapping[Direction, str] = {
    Direction.APART: "pulls the sides apart",
    Direction.TOGETHER: "pushes the sides together",
    Direction.OUT: "lifts it off",
    Direction.IN: "presses into it",
}
_WAY: Mapping[Arrows, Direction] = {
    "skin_apart": Direction.APART, "base_apart": Direction.APART, "lifts": Direction.OUT,
    "lifts_lip": Direction.OUT, "presses": Direction.IN,
}  # fmt: skip


class When(StrEnum):
    """How long a force acts; the durations of the loads."""

    ALWAYS = "sustained"
    EACH_USE = "cyclic"
    HARDEST = "peak"


WHEN_TITLES: Mapping[When, str] = {
    When.ALWAYS: "all the time",
    When.EACH_USE: "at every use",
    When.HARDEST: "at the hardest moment",
}


@dataclass(frozen=True)
class OfferedForce:
    """A force that a learner may draw."""

    cause: str
    title: str


@dataclass(frozen=True)
class DrawnForce:
    """A force as a learner drew it."""

    cause: str
    direction: Direction
    rank: int
    """1 is the largest; 1 to 3."""
    when: When


@dataclass(frozen=True)
class CalculatedForce:
    """A force as it was calculated."""

    cause: str
    title: str
    direction: Direction
    rank: int
    when: When
    value: Range
    unit: str
    dimension: str


@dataclass(frozen=True)
class SectionForces:
    """What was calculated on the section of a case, and what is offered to be drawn."""

    calculated: tuple[CalculatedForce, ...]
    """The largest first; empty where nothing pulls on this damage."""
    offered: tuple[OfferedForce, ...]
    """In an order that tells nothing: true ones and others."""
    governing: str
    """Cause that decides; empty where no force does."""
    governing_title: str
    loads: tuple[Load, ...]
    """The loads that the section drawing shows, for drawing them below the learner's."""


@dataclass(frozen=True)
class ForceCompared:
    """One force beside the learner's; ``drawn`` or ``calculated`` may be missing."""

    title: str
    drawn: DrawnForce | None
    calculated: CalculatedForce | None

    @property
    def turned(self) -> bool:
        """Drawn the wrong way."""
        return bool(
            self.drawn and self.calculated and self.drawn.direction != self.calculated.direction
        )

    @property
    def timed_wrong(self) -> bool:
        """Drawn as acting at another time."""
        return bool(self.drawn and self.calculated and self.drawn.when != self.calculated.when)

    @property
    def ranked_wrong(self) -> bool:
        """Drawn larger or smaller than it is; beyond the third rank all are the same."""
        if self.drawn is None or self.calculated is None:
            return False
        return self.drawn.rank != min(self.calculated.rank, 3)

    @property
    def agreed(self) -> bool:
        """Right in all: that it acts, which way, when, and its rank."""
        both = self.drawn is not None and self.calculated is not None
        return both and not (self.turned or self.timed_wrong or self.ranked_wrong)

    @property
    def words(self) -> str:
        """What is to be said of it."""
        if self.calculated is None:
            return "does not act here"
        if self.drawn is None:
            return "not drawn"
        wrong = []
        if self.turned:
            wrong.append(f"it {DIRECTION_TITLES[self.calculated.direction]}")
        if self.timed_wrong:
            wrong.append(f"it acts {WHEN_TITLES[self.calculated.when]}")
        if self.ranked_wrong:
            wrong.append(f"it ranks {self.calculated.rank}")
        return "; ".join(wrong) or "agreed"


def section_forces(advice: Advice, pack: RulePack, seed: int) -> SectionForces:
    """The forces on the section of a case, and the six that are offered to be drawn."""
    site = layers_of(advice, pack).site
    loads = shown_loads(advice.loads, site, pack.section.forces)
    calculated = _calculated(loads, pack.section.forces)
    governing, title = _governing(advice, calculated) if calculated else ("", "")
    return SectionForces(
        calculated, _offered(calculated, governing, title, pack, seed) if calculated else (),
        governing, title, loads,
    )  # fmt: skip


def _calculated(
    loads: Sequence[Load], looks: Mapping[str, SiteLook]
) -> tuple[CalculatedForce, ...]:
    found: dict[str, tuple[float, Load, Range, str]] = {}
    for load in loads:
        for cause in load.causes:
            known = found.get(cause.node)
            if known is None or cause.value.typical > known[0]:
                found[cause.node] = (cause.value.typical, load, cause.value, cause.title)
    least = SLIGHT * max((value for value, *_ in found.values()), default=0.0)
    rows = sorted(
        ((k, row) for k, row in found.items() if row[0] > 0.0 and row[0] >= least),
        key=lambda one: (-one[1][0], one[0]),
    )
    return tuple(
        CalculatedForce(
            node, title, _WAY[looks.get(load.site, SiteLook()).arrows], rank,
            When(load.duration), value, load.unit, load.dimension,
        )
        for rank, (node, (_, load, value, title)) in enumerate(rows, start=1)
    )  # fmt: skip


def _governing(advice: Advice, calculated: Sequence[CalculatedForce]) -> tuple[str, str]:
    """The cause that decides: what breaks the most tempting other way, else loads the best."""
    lead = advice.plan.lead if advice.plan else ""
    methods = [method for method in advice.methods if method.method == lead]
    if advice.plan is not None:
        other = tempting(advice.methods, advice.plan)
        methods = [*([other[0]] if other else []), *methods]
    causes = {cause.node: cause.title for load in advice.loads for cause in load.causes}
    for method in methods:
        if pull_and_strength(method) is None:
            continue
        for reason in method.because:
            for node in reversed(reason.path):
                if node in causes:
                    return node, causes[node]
    return calculated[0].cause, calculated[0].title


def _offered(
    calculated: Sequence[CalculatedForce], governing: str, title: str, pack: RulePack, seed: int
) -> tuple[OfferedForce, ...]:
    """The governing one, the largest ones and others that the rules know, shuffled."""
    draw = random.Random(seed)
    true = {force.cause: force.title for force in calculated[: OFFERED - 2]}
    if governing:
        true[governing] = title
    said = set(true.values())
    others: dict[str, str] = {}
    for node in draw.sample(sorted(_causes(pack)), len(_causes(pack))):
        text = pack.nodes[node].title
        acts = any(force.cause == node for force in calculated)
        if not acts and text not in said and len(true) + len(others) < OFFERED:
            others[node] = text
            said.add(text)
    both = [OfferedForce(node, text) for node, text in {**true, **others}.items()]
    draw.shuffle(both)
    return tuple(both)


def _causes(pack: RulePack) -> list[str]:
    return [name for name, node in pack.nodes.items() if node.cause]


def compared(
    drawn: Iterable[DrawnForce], forces: SectionForces
) -> tuple[ForceCompared, ...]:
    """The learner's forces beside the calculated ones, the calculated ones first."""
    drawn = list(drawn)
    by_cause = {one.cause: one for one in drawn}
    offered = {one.cause: one.title for one in forces.offered}
    rows = [
        ForceCompared(one.title, by_cause.get(one.cause), one)
        for one in forces.calculated
        if one.cause in offered or one.cause in by_cause
    ]
    true = {one.cause for one in forces.calculated}
    rows += [
        ForceCompared(offered.get(one.cause, one.cause), one, None)
        for one in drawn if one.cause not in true
    ]  # fmt: skip
    return tuple(rows)
