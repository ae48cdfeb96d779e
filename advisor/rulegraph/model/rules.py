"""What the rules say, compiled: facts, joints, methods, gates and prices, as frozen data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from advisor.rulegraph.model.asked import Origin
from advisor.rulegraph.model.bench_drawings import DrawingRule
from advisor.rulegraph.model.conditions import Condition
from advisor.rulegraph.model.job import LifeRule, QuoteRules, TipRule, WaitRule
from advisor.rulegraph.model.layers import Layer
from advisor.rulegraph.model.nodes import Ref
from advisor.rulegraph.model.quantities import QuantityRule

Looks = Literal["unseen", "slight", "visible"]
Renewed = Literal["part", "cover"]

#: How usages and methods are named in the graph.
USAGE = "usage."
METHOD = "method."


@dataclass(frozen=True)
class Edge:
    """One thing feeding another in the load-path graph."""

    source: str
    target: str
    kind: str
    relation: str | None


@dataclass(frozen=True)
class Measurement:
    """A measured fact: its prediction and the error of measuring it."""

    fact: str
    predicted_by: str
    error: float
    """Standard deviation of the logarithm."""
    floor: float
    """Added to both sides: readings below it cannot be distinguished."""
    finding: str
    when: Condition | None
    source: str
    status: str
    silent_on: str | None = None
    """Choice whose answers stay as likely as they were."""

    @cached_property
    def reads(self) -> frozenset[str]:
        """Facts and nodes by which a reading is judged."""
        predicted = frozenset([self.predicted_by])
        return predicted if self.when is None else predicted | self.when.reads


@dataclass(frozen=True)
class Site:
    """Where a demand acts."""

    key: str
    title: str
    unit: str
    sustained: str
    cyclic: str
    peak: str
    frost: str | None = None
    """The part of the repeated load that comes on cold nights."""

    @property
    def demands(self) -> tuple[str, ...]:
        """Names of all that reaches a joint here."""
        frost = () if self.frost is None else (self.frost,)
        return (self.sustained, self.cyclic, self.peak, *frost)


@dataclass(frozen=True)
class Mode:
    """One way a joint may fail: capacity and the factors on it."""

    key: str
    title: str
    capacity: Ref
    sustained: Ref
    cyclic: Ref
    hot: Ref
    """Temperature factor on the sustained load (at the soak temperature)."""
    warm: Ref
    """Temperature factor on what pulls in use."""
    cold: Ref
    """Temperature factor on what pulls in frost."""
    relief: Ref
    """Pull that does not reach the joint at all, carried by the skin around it."""
    lasting_share: Ref
    """Share of the sustained load that reaches the joint."""
    origin: Origin

    @property
    def refs(self) -> tuple[Ref, ...]:
        """Everything its usage is calculated from but the demands."""
        return (
            self.capacity, self.sustained, self.cyclic, self.hot, self.warm, self.cold,
            self.relief, self.lasting_share,
        )  # fmt: skip

    @cached_property
    def reads(self) -> frozenset[str]:
        """The facts and nodes of them."""
        return frozenset(ref.name for ref in self.refs if ref.name is not None)


@dataclass(frozen=True)
class Joint:
    """A joint meets needs at one site, in the worlds where ``when`` holds."""

    meets: tuple[str, ...]
    site: str
    when: Condition | None
    modes: tuple[Mode, ...]

    def reads(self, site: Site) -> frozenset[str]:
        """Everything that its usage and where it applies are calculated from."""
        when = frozenset[str]() if self.when is None else self.when.reads
        return when.union(site.demands, *(mode.reads for mode in self.modes))


@dataclass(frozen=True)
class Requirement:
    """A condition a method needs, and the sentence said where it does not hold."""

    condition: Condition
    if_not: str
    origin: Origin
    not_shown: bool = False
    """Where it never holds the method is for something else, and is not spoken of."""


@dataclass(frozen=True)
class Spread:
    """A value between ``low`` and ``high``, most likely ``typical``."""

    low: float
    typical: float
    high: float
    source: str = field(default="", compare=False)
    """Key of the bibliography, with ``status``; empty where a figure needs none."""
    status: str = field(default="", compare=False)

    @cached_property
    def mean(self) -> float:
        """Mean of the triangular distribution."""
        return (self.low + self.typical + self.high) / 3.0


@dataclass(frozen=True)
class Prices:
    """What work, comebacks and questions cost; money in ``currency``, times in minutes."""

    currency: str
    hourly_rate: Spread
    call_out_minimum: Spread
    material_markup: Spread
    comeback_goodwill: Spread
    aborted_minutes: Spread
    question_overhead: Spread
    looks: Mapping[Looks, Spread]
    looks_weight: str
    """Node that multiplies the charges for looks."""
    holds_at: float
    declines_below: float
    tells_need_from: float
    quote: QuoteRules


@dataclass(frozen=True)
class Charge:
    """Minutes or a price: spread times an optional size, under a condition."""

    what: str
    spread: Spread
    per: Ref
    when: Condition | None
    set_up: bool = False
    """Minutes spent once, whatever the size of the damage and however many parts."""
    access: bool = False
    """Minutes of taking apart and refitting, of which a plan has only the longest."""
    extent: bool = False
    """What size or number adds to the work or material before it: priced, not named by itself."""
    adds: tuple[Layer, ...] = ()
    """Of a material: layers of the repaired part that it becomes."""

    @cached_property
    def reads(self) -> frozenset[str]:
        """Facts and nodes that it reads but for the number of parts."""
        per = () if self.per.name is None else (self.per.name,)
        return frozenset(per) if self.when is None else self.when.reads.union(per)


@dataclass(frozen=True)
class MethodStep:
    """A step of the work with its cautions."""

    text: str
    cautions: tuple[str, ...]
    when: Condition | None
    at: Literal["beforehand", "opening", "closing"] | None = None
    """Comes before, or after, all other work of a plan."""


@dataclass(frozen=True)
class Renewal:
    """What a method renews, and what that is called where ways are compared."""

    what: Renewed
    title: str


def method_word(key: str) -> str:
    """The trade's word for a method, whatever its variant."""
    return key.partition(".")[0]


@dataclass(frozen=True)
class Method:
    """One method of repair, or a variant of one (``hand_stitch.every_other_hole``)."""

    key: str
    title: str
    called: tuple[tuple[Condition, str], ...]
    """Titles where a condition holds; the first that does takes the place of ``title``."""
    meets: tuple[str, ...]
    requirements: tuple[Requirement, ...]
    joints: tuple[Joint, ...]
    reliability: Spread
    each_place: Ref
    """Power its reliability goes to: independent tries that the places are worth."""
    spared: Ref
    """Chance that nothing new comes beside what was repaired."""
    follow_with: tuple[tuple[str, Condition | None], ...]
    only_beside: tuple[str, ...]
    """Methods that carry the load; without one of them this one is never planned."""
    order: int
    looks: Looks
    work: tuple[Charge, ...]
    materials: tuple[Charge, ...]
    quantities: tuple[QuantityRule, ...]
    drawings: tuple[DrawingRule, ...]
    tips: tuple[TipRule, ...]
    waits: tuple[WaitRule, ...]
    lasts: LifeRule | None
    renewal: Renewal | None
    cuts_panel: bool
    """One panel is cut new, and laid out for cutting."""
    tools: tuple[str, ...]
    steps: tuple[MethodStep, ...]
    cautions: tuple[str, ...]
    remark: str
    fallback: bool


@dataclass(frozen=True)
class Need:
    """What a repair has to restore."""

    key: str
    title: str
    when: Condition
    leads_for: tuple[str, ...]
    origin: Origin


@dataclass(frozen=True)
class Caution:
    """A warning shown beside a step."""

    key: str
    text: str
    origin: Origin


@dataclass(frozen=True)
class PackSource:
    """One entry of the bibliography."""

    key: str
    title: str
    note: str
    place: str = ""
    """Where in it the figures stand; without one nothing can be called looked up."""
