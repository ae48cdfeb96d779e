"""Sample worlds: one draw each of everything that is not known exactly, as arrays."""

from __future__ import annotations

import weakref
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from advisor.facts.case import Case, Span, Value
from advisor.facts.declare import FactDecl, Kind
from advisor.rulegraph.conditions import Condition, Mask, code_type
from advisor.rulegraph.judged import Judged
from advisor.rulegraph.nodes import Array
from advisor.rulegraph.pack import ChoicePrior, FactRule, Measurement, Prior, RulePack
from advisor.rulegraph.readings import remarks_on

from .streams import base_of, fresh_base, normal, shifted

#: Is told what is being done; may raise to stop it.
Watch = Callable[[str], None]

#: Nothing that was observed is held to be less likely than this: priors are rough.
UNLIKELY = 0.01
#: An answer that is less likely than this in every world fits none of them.
UNEXPLAINED = 0.05


@dataclass(frozen=True)
class Misfit:
    """An answer that no world explains, or that another one contradicts."""

    fact: str
    finding: str

#: Weights of thousands of worlds add up to within this.
ROUNDING = 1e-9


class LazyValues(dict[str, NDArray[Any]]):
    """Values by name, each computed when it is first asked for.

    The graph is acyclic, so asking for a value computes what feeds it first; what a
    case has no use for is never computed.
    """

    def __init__(self, worlds: SampledWorlds) -> None:
        super().__init__()
        # Weak, so that a case's arrays are freed with it and not by the collector later.
        self._worlds = weakref.ref(worlds)

    def __missing__(self, name: str) -> NDArray[Any]:
        worlds = self._worlds()
        if worlds is None:
            raise KeyError(f"{name}: the worlds it belongs to are gone")
        value = self[name] = worlds.compute(name)
        return value


class SampledWorlds:
    """``n`` worlds of one case: every fact and node as an array of shape (n,).

    Choices are option codes (unsigned), yes/no are bool, numbers float64. Each name has its
    own stream of uniforms, shifted by the case's seed, so that changing one answer leaves
    every other draw as it was. Where many were ``drawn`` for the sake of a few likely ones,
    the ``kept`` ones (by number) are these n. ``watch`` is told what is being done, again
    and again, and may stop the work by raising.
    """

    every: int = 1
    """One world stands for so many that were drawn."""
    kept: NDArray[np.intp] | None = None
    before: frozenset[str] = frozenset()
    """Names drawn before the unlikely worlds were let go."""

    def __init__(
        self, case: Case, pack: RulePack, n: int, seed: int | None = None,
        watch: Watch | None = None,
    ) -> None:  # fmt: skip
        if n < 2:
            raise ValueError(f"at least 2 worlds are needed, got {n}")
        self.case = pack.as_read(case)
        self.pack = pack
        self.n = self.drawn = n
        self.watch = watch
        self.doing = f"drawing {n:,} computed cases"
        self.seed = case.seed if seed is None else seed
        self.values: dict[str, NDArray[Any]] = LazyValues(self)
        self.weights: Array = np.full(n, 1.0 / n)
        self.misfits: list[Misfit] = []
        self.remarks: list[str] = []
        self.told: set[str] = set()
        self.chances: dict[str, Array | float] = {}
        self._condition({})

    @cached_property
    def knowing(self) -> dict[str, object]:
        """What knowing a fact is worth in these worlds, kept by those who work it out."""
        return {}

    def uniform(self, name: str) -> Array:
        """Uniform draws in (0, 1) belonging to ``name``."""
        if self.kept is None:
            base = base_of(name, self.n * self.every)[:: self.every]
        elif name in self.before:
            base = fresh_base(name, self.drawn)[self.kept]
        else:
            base = fresh_base(name, self.n)
        return shifted(base, self.seed, name)

    def tick(self, doing: str = "") -> None:
        """Tell whoever watches what is being done; what they raise ends the work."""
        if self.watch is not None:
            self.doing = doing or self.doing
            self.watch(self.doing)

    def mostly(self, condition: Condition | None) -> bool:
        """True where a condition holds in half of the worlds or more, or there is none."""
        return condition is None or self.mean(self.holds(condition)) >= 0.5 - ROUNDING

    def holds(self, condition: Condition) -> Mask:
        """Worlds in which a condition holds, an array of the caller's own.

        What the pack asks of every case is judged together, the first time any of it is
        wanted. A condition that feeds the draws is settled by the given facts, or tested.
        """
        if condition in self.pack.circuit.row:
            return self.judged.mask(condition)
        known = condition.known(self.case)
        if known is None:
            return condition.test(self.values)
        self.told.update(condition.names())
        return np.full(self.n, known)

    @cached_property
    def judged(self) -> Judged:
        """The conditions that are put to every case, with all their parts."""
        return Judged(self.pack.circuit, self.values, self.n)

    def used(self, name: str) -> bool:
        """Whether a fact or node took part in the working so far."""
        return name in self.values or name in self.told

    @property
    def effective(self) -> float:
        """Effective sample size, 1 / sum of squared weights (Kish)."""
        return float(1.0 / np.sum(self.weights**2))

    def mean(self, array: NDArray[Any]) -> float:
        """Weighted mean over the worlds."""
        # Not a dot product: linear algebra libraries start threads for it, which costs more.
        return float(np.add.reduce(self.weights * array))

    def quantiles(self, array: Array, at: tuple[float, ...] = (0.05, 0.5, 0.95)) -> Array:
        """Weighted quantiles (shape of ``at``)."""
        order = np.argsort(array)
        cumulative = np.cumsum(self.weights[order])
        index = np.searchsorted(cumulative, np.array(at) * cumulative[-1])
        return np.asarray(array[order[np.minimum(index, self.n - 1)]], dtype=np.float64)

    def thinned(self, n: int) -> SampledWorlds | None:
        """Every k-th of these worlds, ``n`` in all, with what was worked out of them so far.

        None where these are not a multiple of ``n``, or only the likely ones of many.
        """
        step, rest = divmod(self.n, n)
        if rest or step < 2 or self.kept is not None:
            return None
        other = SampledWorlds.__new__(SampledWorlds)
        other.case, other.pack, other.seed = self.case, self.pack, self.seed
        other.n, other.drawn, other.every = n, self.drawn, self.every * step
        other.watch, other.doing = self.watch, self.doing
        other.values = LazyValues(other)
        other.values.update({name: v[::step].copy() for name, v in self.values.items()})
        other.weights = self.weights[::step] / self.weights[::step].sum()
        other.misfits, other.remarks = list(self.misfits), list(self.remarks)
        other.told = set(self.told)
        other.chances = {
            name: chance[::step] if isinstance(chance, np.ndarray) and chance.ndim else chance
            for name, chance in self.chances.items()
        }
        return other

    def changed(self, fact: str, value: Value) -> SampledWorlds:
        """The same worlds with one fact answered otherwise.

        Only what the fact feeds is computed anew; everything else is shared. Not for worlds
        of which only those likely for this very case were kept.
        """
        if self.kept is not None:
            raise ValueError("the kept worlds belong to one case")
        other = SampledWorlds.__new__(SampledWorlds)
        other.case = self.pack.as_read(self.case.with_fact(fact, value))
        other.pack, other.n, other.seed = self.pack, self.n, self.seed
        other.drawn, other.every = self.drawn, self.every
        other.watch, other.doing = self.watch, self.doing
        fed = self.pack.fed_by(fact)
        kept = {name: column for name, column in self.values.items() if name not in fed}
        other.values = LazyValues(other)
        other.values.update(kept)
        other.weights = np.full(self.n, 1.0 / self.n)
        other.misfits, other.remarks = [], []
        other.told = set()
        other.chances = {}
        other._condition({n: chance for n, chance in self.chances.items() if n not in fed})
        return other

    def compute(self, name: str) -> NDArray[Any]:
        """The value of a fact or node, anew; ask ``values`` for it instead."""
        self.tick()
        rule = self.pack.fact_rules.get(name)
        if rule is None:
            return self.pack.nodes[name].evaluate(self)
        if rule.decl.kind is Kind.TEXT:
            raise KeyError(f"{name} is text and has no value in the worlds")
        return self._fact(rule)

    def _fact(self, rule: FactRule) -> NDArray[Any]:
        name = rule.decl.name
        given = self.case.facts.get(name)
        if given is None:
            given = self.from_earlier(name)
        if isinstance(given, bool):
            return np.full(self.n, given)
        if isinstance(given, Span):
            if given.exact:
                return np.full(self.n, given.low)
            return np.asarray(given.low + self.uniform(name) * (given.high - given.low))
        if isinstance(given, tuple):
            return self._choice(rule, given)
        if rule.decl.kind is Kind.QUANTITY and name in self.pack.measurements:
            return self._reading(self.pack.measurements[name])
        if rule.decl.kind is Kind.QUANTITY:
            drawn = self._by_part(rule, self._quantity)
            return np.asarray(np.clip(drawn, rule.decl.low, rule.decl.high))
        return self._choice(rule, None)

    def _quantity(self, rule: FactRule, prior: Prior) -> Array:
        if isinstance(prior, ChoicePrior):
            raise TypeError(f"{rule.decl.name} is a quantity but its prior has weights")
        return np.asarray(prior.evaluate(rule.decl.name, self))

    def _by_part(self, rule: FactRule, draw: Callable[[FactRule, Prior], Any]) -> Any:
        """Draw under the prior of the part; where the part is one of several, under each."""
        kinds = self.case.facts.get("part.kind", ())
        assert isinstance(kinds, tuple)
        drawn = draw(rule, self._prior(rule, kinds[0] if kinds else ""))
        for kind in kinds[1:] if rule.by_part else ():
            other = draw(rule, self._prior(rule, kind))
            here = self.values["part.kind"] == self.pack.facts["part.kind"].keys.index(kind)
            drawn = np.where(here, other, drawn)
        return drawn

    def from_earlier(self, name: str) -> bool | None:
        """The answer that the list of earlier repairs gives, if it was told."""
        method = self.pack.earlier_facts.get(name)
        if method is None or self.case.earlier_repairs is None:
            return None
        return any(repair.method == method for repair in self.case.earlier_repairs)

    def _prior(self, rule: FactRule, kind: str) -> Prior:
        special = rule.by_part.get(kind)
        prior = special if special is not None else rule.prior
        if prior is None:
            keys = 2 if rule.decl.kind is Kind.YES_NO else max(len(rule.decl.options), 1)
            return ChoicePrior((), np.full(keys, 1.0 / keys))
        return prior

    def _choice(self, rule: FactRule, given: tuple[str, ...] | None) -> NDArray[Any]:
        decl = rule.decl
        if given is not None and len(given) == 1:
            return np.full(self.n, decl.keys.index(given[0]), dtype=code_type(len(decl.keys)))
        if decl.name == "part.kind":
            return self._coded(rule, self._prior(rule, ""), given)
        codes = self._by_part(rule, lambda rule, prior: self._coded(rule, prior, given))
        return np.asarray(codes == 1 if decl.kind is Kind.YES_NO else codes)

    def _coded(
        self, rule: FactRule, prior: Prior, given: tuple[str, ...] | None
    ) -> NDArray[np.unsignedinteger]:
        """Option codes drawn by the weights of the first branch that holds."""
        decl = rule.decl
        if not isinstance(prior, ChoicePrior):
            raise TypeError(f"{decl.name} is a choice but its prior has no weights")
        u = self.uniform(decl.name)
        codes = np.zeros(self.n, dtype=np.intp)
        free = np.ones(self.n, dtype=np.bool_)
        everything: list[tuple[Condition | None, Array]] = [*prior.branches, (None, prior.rest)]
        for condition, weights in everything:
            mask = free if condition is None else self.holds(condition) & free
            if not mask.any():
                continue
            steps = np.cumsum(_limited(weights, decl, given))
            codes[mask] = np.searchsorted(steps, u[mask] * steps[-1], side="right")
            free = free & ~mask
        return np.minimum(codes, len(prior.rest) - 1).astype(code_type(len(prior.rest)))

    def _reading(self, measurement: Measurement) -> Array:
        """What would be read, were it measured: the prediction with the error of reading."""
        predicted = self.values[measurement.predicted_by]
        noise = normal(self.uniform(measurement.fact))
        read = (predicted + measurement.floor) * np.exp(measurement.error * noise)
        return np.maximum(read - measurement.floor, 0.0)

    def _condition(self, known: Mapping[str, Array | float]) -> None:
        """Weight the worlds by how well they explain what was measured.

        ``known`` has the log chances of answers for which they were worked out before.
        """
        for remark in remarks_on(self.pack, self.case):
            if remark.doubt:
                self.misfits.append(Misfit(remark.fact, remark.text))
            else:
                self.remarks.append(remark.text)
        log_weights = np.zeros(self.n)
        for rule in self.pack.fact_rules.values():
            given = self.case.facts.get(rule.decl.name)
            if isinstance(given, bool | tuple):
                name = rule.decl.name
                chance = known[name] if name in known else self._log_chance(rule, given)
                self.chances[name] = chance
                if rule.finding and float(np.max(chance)) < np.log(UNEXPLAINED):
                    self.misfits.append(Misfit(rule.decl.name, rule.finding))
                    continue
                log_weights += chance
        for fact, measurement in self.pack.measurements.items():
            given = self.case.facts.get(fact)
            if not isinstance(given, Span):
                continue
            density = self._log_likelihood(given, measurement)
            if measurement.when is not None:
                density = np.where(self.holds(measurement.when), density, 0.0)
            if float(np.max(density)) < -0.5 * 3.0**2:
                self.misfits.append(Misfit(fact, measurement.finding))
                continue
            log_weights += density
        if np.ptp(log_weights) > 0.0:
            weights = np.exp(log_weights - log_weights.max())
            self.weights = weights / weights.sum()

    def _log_chance(self, rule: FactRule, given: bool | tuple[str, ...]) -> Array | float:
        """How likely this answer was in each world: answers tell about what drives them."""
        if rule.decl.name == "part.kind":
            return 0.0
        return np.asarray(
            self._by_part(rule, lambda rule, prior: self._chance(rule, prior, given))
        )

    def _chance(
        self, rule: FactRule, prior: Prior, given: bool | tuple[str, ...]
    ) -> Array | float:
        if not isinstance(prior, ChoicePrior):
            return 0.0
        keys = ("no", "yes") if isinstance(given, bool) else rule.decl.keys
        named = (keys[given],) if isinstance(given, bool) else given
        mask = np.array([key in named for key in keys])
        chance = np.full(self.n, float(prior.rest[mask].sum()))
        free = np.ones(self.n, dtype=np.bool_)
        for condition, weights in prior.branches:
            here = self.holds(condition) & free
            if here.any():
                chance[here] = float(weights[mask].sum())
                free &= ~here
        return np.asarray(np.log(np.maximum(chance, UNLIKELY)))

    def _log_likelihood(self, given: Span, measurement: Measurement) -> Array:
        predicted = self.values[measurement.predicted_by]
        floor = measurement.floor
        misfit = np.log((given.middle + floor) / (predicted + floor))
        spread = np.log((given.high + floor) / (given.low + floor)) / 3.46
        return np.asarray(-0.5 * misfit**2 / (measurement.error**2 + spread**2))


def _limited(weights: Array, decl: FactDecl, given: tuple[str, ...] | None) -> Array:
    """Weights cut down to the options that were named; equal if none of them had any."""
    if given is None:
        return weights
    mask = np.array([key in given for key in decl.keys])
    cut = weights * mask
    return cut if cut.sum() > 0 else mask.astype(np.float64)
