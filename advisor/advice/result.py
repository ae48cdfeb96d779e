"""The advice as plain frozen data; window, text, HTML, PDF and JSON render it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from advisor.facts.case import Span, Value
from advisor.facts.quantity import System, show
from advisor.rulegraph.model.layers import Layer
from advisor.rulegraph.model.own_rules import NO_OWN_RULES, OwnRules
from advisor.wording.amounts import Bounds
from advisor.wording.counts import HoldBasis
from advisor.wording.figures import Range
from advisor.wording.money import NO_TAX, Tax
from advisor.wording.phrases import in_units
from advisor.wording.sentences import lowered


class Verdict(StrEnum):
    """What the advisor says about a case."""

    PLAN = "plan"
    ASK = "ask"
    REFER = "refer"
    DECLINE = "decline"


class Status(StrEnum):
    """What becomes of one method in this case."""

    HOLDS = "holds"
    FAILS = "fails"
    NOT_POSSIBLE = "not_possible"
    BLOCKED = "blocked"
    NOT_NEEDED = "not_needed"


class GateState(StrEnum):
    """A hazard or missing authority, as answered."""

    CLOSED = "closed"
    OPEN = "open"
    CAUTION = "caution"
    CLEAR = "clear"


class Origin(StrEnum):
    """How honest a number is about itself."""

    MEASURED = "measured"
    TOLD = "told"
    ASSUMED = "assumed"
    COMPUTED = "computed"


@dataclass(frozen=True)
class Source:
    """Where a rule or a figure comes from."""

    key: str
    title: str
    status: str
    """looked_up, from_memory, common_practice or estimate."""


@dataclass(frozen=True)
class Figure:
    """One number in the working, with its unit and where it comes from."""

    node: str
    title: str
    value: Range
    dimension: str
    unit: str
    origin: Origin
    source: Source | None = None


@dataclass(frozen=True)
class Reason:
    """One step of the argument: a sentence, the figures in it, what it rests on."""

    text: str
    path: tuple[str, ...] = ()
    """Nodes of the rule graph from cause to demand to joint."""
    path_titles: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    source: Source | None = None
    children: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class Cause:
    """One cause's share of a demand."""

    node: str
    title: str
    value: Range
    path: tuple[str, ...]


@dataclass(frozen=True)
class Load:
    """One demand on the damage: what reaches it, and from which causes."""

    demand: str
    """``tension_sustained``, ``tension_cyclic``, ``tension_peak``, ..."""
    site: str
    """``skin``, ``edge``, ``carrier``, ``fixing``, ``lining``, ``support``, ``finish``."""
    duration: str
    """``sustained``, ``cyclic`` or ``peak``."""
    title: str
    value: Range
    dimension: str
    unit: str
    causes: tuple[Cause, ...]


@dataclass(frozen=True)
class Step:
    """One step of the work, with the cautions that belong beside it."""

    method: str
    text: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class MethodAdvice:
    """One method in this case."""

    method: str
    title: str
    meets: tuple[str, ...]
    status: Status
    hold_probability: float
    usage: Range | None
    """Demand over capacity at its need's site; holds where <= 1. None where nothing is computed."""
    limiting: str
    """Key of the limiting mode, empty where nothing is computed."""
    limiting_title: str
    because: tuple[Reason, ...]
    minutes: Range | None
    """None, as the price, while a hazard is open: nothing is promised before."""
    price: Range | None
    looks: str
    """``unseen``, ``slight`` or ``visible``."""
    hold_basis: HoldBasis | None = None
    """What ``hold_probability`` is made of; None where it is not possible or stopped."""
    adds: tuple[Layer, ...] = ()
    """Layers of the repaired part that its materials become: each is in want of papers where
    the part is certified."""


@dataclass(frozen=True)
class PlanAdvice:
    """Methods that together meet all needs, in a workable order."""

    methods: tuple[str, ...]
    titles: tuple[str, ...]
    lead: str
    lead_title: str
    hold_probability: float
    """Of the simulated cases in which it is possible, the share in which everything holds."""
    price: Range | None
    """Before tax: as few jobs cost less as cost more, at the certainty the shop quotes at.
    None, as every figure of work and money, while a hazard is open; no steps are given then."""
    minutes: Range | None
    expected_cost: float | None
    """Price, comeback and looks together; what plans are ranked by."""
    comeback_cost: float | None
    looks_charge: float | None
    steps: tuple[Step, ...]
    tools: tuple[str, ...]
    materials: tuple[str, ...]
    possible_probability: float = 1.0
    """Share of the simulated cases in which the plan can be carried out at all."""
    hold_basis: HoldBasis = HoldBasis.BOTH
    """What ``hold_probability`` is made of."""
    by_forces: float = 1.0
    """Share in which no force breaks it, before how well it is done: never below
    ``hold_probability``."""
    material: Range | None = None
    """What the material costs the shop, before its markup."""

    @property
    def done_well(self) -> float:
        """Share of the work that turns out as it should, by experience of the trade."""
        return min(self.hold_probability / self.by_forces, 1.0) if self.by_forces > 0.0 else 1.0


@dataclass(frozen=True)
class Promise:
    """An answer to a question, and the plan that is best with it."""

    value: Value
    lead: str
    """Empty where nothing holds well enough then."""
    methods: tuple[str, ...]


@dataclass(frozen=True)
class Question:
    """An open fact worth asking."""

    fact: str
    title: str
    ask: str
    how: str
    value: float
    """Expected saving from knowing it, before the minutes it takes."""
    minutes: float
    gate: bool
    why: str
    """One line: what the answer decides."""
    worth_asking: bool
    error: float = 0.0
    """Standard error of ``value``."""
    together: str = ""
    """Fact with which it is worth asking where neither is alone; ``value`` is then of both."""
    promise: Promise | None = None
    """What ``why`` says an answer would bring up: tried out, so that it does."""

    def why_in(self, system: System) -> str:
        """``why`` in the units of ``system``."""
        return in_units(self.why, system)


@dataclass(frozen=True)
class Flip:
    """The smallest change of one fact that makes another plan lead."""

    fact: str
    title: str
    was: str
    """The answer that stands, as it was written; "not known" for an open fact."""
    to: str
    then: str
    text: str
    value: Value | None = None
    """An answer that was tried out and does it: yes/no, one option, or an exact quantity."""
    unit: str = ""
    """Canonical unit of a quantity; empty for every other fact."""
    then_title: str = ""
    given: Span | None = None
    """The answer that stands, where it is a quantity."""
    amount: Bounds | None = None
    """What ``to`` names, where it is a quantity."""

    def to_in(self, system: System) -> str:
        """``to`` in the units of ``system``."""
        return self.to if self.amount is None else self.amount.words(system)

    def text_in(self, system: System) -> str:
        """``text`` in the units of ``system``, what is given included."""
        if self.amount is None:
            return self.text
        was = self.was
        if self.given is not None:
            was = show(self.given, self.amount.dimension, system)
        return flip_sentence(self.title, self.to_in(system), was, self.then_title)


@dataclass(frozen=True)
class Near:
    """A part, a kind of damage or a method of the rules, by key and title."""

    key: str
    title: str


@dataclass(frozen=True)
class NotCovered:
    """Why nothing can be calculated, what is nearest, and what a person looks at."""

    facts: tuple[str, ...]
    """Facts answered with "none of these", or the two that do not go together."""
    text: str
    parts: tuple[Near, ...]
    damages: tuple[Near, ...]
    methods: tuple[Near, ...]
    """Those of the nearest damages; nothing was calculated for them."""
    check: tuple[str, ...]
    pair: bool = False
    """True where part and damage are known each, and do not go together."""

    @property
    def nearest_lines(self) -> tuple[tuple[str, str], ...]:
        """What is nearest, each with its heading."""
        lines = (
            ("Nearest parts", self.parts),
            ("Nearest kinds of damage", self.damages),
            ("Methods used for those, none of them calculated for this", self.methods),
        )
        return tuple(
            (head, "; ".join(lowered(one.title) for one in near)) for head, near in lines if near
        )


#: How an open fact stands in a flip.
NOT_KNOWN = "not known"


def flip_sentence(title: str, to: str, was: str, then_title: str) -> str:
    """A flip in one sentence."""
    known = "" if was == NOT_KNOWN else f" instead of “{lowered(was)}”"
    then = lowered(then_title)
    return f"If “{lowered(title)}” were “{lowered(to)}”{known}: {then} would be best."


@dataclass(frozen=True)
class Driver:
    """An uncertain input and its share of the spread of the leading method's usage."""

    name: str
    title: str
    share: float
    """First-order index: variance of the mean usage given this input, over the variance."""


@dataclass(frozen=True)
class GateAdvice:
    """One gate as it stands."""

    gate: str
    fact: str
    title: str
    state: GateState
    text: str
    source: Source


@dataclass(frozen=True)
class FactState:
    """A fact as the advice used it."""

    fact: str
    title: str
    text: str
    """The answer in words, in metric units; for an open fact what was assumed."""
    origin: Origin
    dimension: str
    value: Range | None
    """Quantities: over the simulated cases."""
    shares: Mapping[str, float]
    """Choices and yes/no: share of the simulated cases by answer."""


@dataclass(frozen=True)
class Advice:
    """Everything the advisor says about one case."""

    case: str
    title: str
    rules_version: str
    rules_digest: str
    seed: int
    worlds: int
    effective_worlds: float
    currency: str
    verdict: Verdict
    headline: str
    """One sentence a customer understands."""
    reasons: tuple[Reason, ...]
    """The argument for the verdict."""
    plan: PlanAdvice | None
    provisional: bool
    """True where ``plan`` is only the best so far, as if no hazard stops the job."""
    plans: tuple[PlanAdvice, ...]
    """Best first, the best plan among them."""
    settled: float
    """Share of the simulated cases in which the leading plan is the cheapest one."""
    needs: tuple[str, ...]
    methods: tuple[MethodAdvice, ...]
    loads: tuple[Load, ...]
    gates: tuple[GateAdvice, ...]
    ask: tuple[Question, ...]
    flips: tuple[Flip, ...]
    facts: tuple[FactState, ...]
    cautions: tuple[str, ...]
    findings: tuple[str, ...]
    notes: tuple[str, ...]
    """Ranges left, what was assumed, "Estimate, not a test result"."""
    deciding_now: float | None = 0.0
    """Expected loss of deciding now, compared with knowing everything, in the currency; None
    while a hazard is open."""
    drivers: tuple[Driver, ...] = ()
    """What causes the uncertainty of the best method's usage, most first."""
    rough: bool = False
    """True where more simulated cases could be drawn: few agree with what was measured."""
    not_covered: NotCovered | None = None
    """Part or damage is none of those known: nothing was calculated, and there is no plan."""
    tax: Tax = NO_TAX
    """What is put on every price here before anyone is told it."""
    own_rules: OwnRules = NO_OWN_RULES
    """What the shop's own folder does to the rules; said wherever the advice is."""

    @property
    def open_hazards(self) -> tuple[GateAdvice, ...]:
        """Hazards nobody has answered: while there is one there is no price and no step."""
        return tuple(gate for gate in self.gates if gate.state is GateState.OPEN)
