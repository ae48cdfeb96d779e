"""Sample worlds: one draw each of everything that is not known exactly, as arrays."""

from __future__ import annotations

import weakref
from collections.abc import Callable, Hashable, Mapping
from copy import copy
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from advisor.advice.sampling.earlier_repairs import log_of_earlier_repairs
from advisor.advice.sampling.fact_draws import draw_fact
from advisor.advice.sampling.likelihood import (
    EXPLAINED,
    log_chance,
    log_likelihood,
    silent_on,
)
from advisor.advice.sampling.quantiles import RANGE, in_order, read_at, weighted_quantiles
from advisor.advice.sampling.uniform_streams import base_of, fresh_base, shifted
from advisor.facts.case import DAMAGE, PART, Case, Span, Value
from advisor.facts.declaration import Kind
from advisor.rulegraph.model.asked import FactRule
from advisor.rulegraph.model.conditions import Condition, Mask
from advisor.rulegraph.model.coverage import contradicting, pairs
from advisor.rulegraph.model.marks_read import remarks_on
from advisor.rulegraph.model.nodes import Array, Node, select
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Measurement
from advisor.wording.phrases import filled
from advisor.wording.sentences import lowered

T = TypeVar("T")
#: Is told what is being done; may raise to stop it.
Watch = Callable[[str], None]

#: Chi-squared of 1, 2, ... readings beyond which 3 in 1000 lie: then nothing fits them.
JOINTLY = (9.0, 11.8, 14.2, 16.3, 18.2, 20.1, 21.8)
#: From so many worlds on, some would fit readings that go together.
MANY_WORLDS = 16_384
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


@lru_cache(maxsize=16)
def _all_alike(n: int, holds: bool) -> Mask:
    mask = np.full(n, holds)
    mask.flags.writeable = False
    return mask


class SampledWorlds:
    """``n`` worlds of one case: every fact and node as an array of shape (n,).

    Choices are option codes (unsigned), yes/no are bool, numbers float64. Each name has its
    own stream of uniforms, shifted by the case's seed, so that changing one answer leaves
    every other draw as it was. Where many were ``drawn`` for the sake of a few likely ones,
    the ``kept`` ones (by number) are these n. ``watch`` is told what is being done, again
    and again, and may stop the work by raising.
    """

    def __init__(
        self, case: Case, pack: RulePack, n: int, seed: int | None = None,
        watch: Watch | None = None,
    ) -> None:  # fmt: skip
        if n < 2:
            raise ValueError(f"at least 2 simulated cases are needed, got {n}")
        self.case = pack.as_read(case)
        self.pack = pack
        self.n = self.drawn = n
        self.every = 1
        """One world stands for so many that were drawn."""
        self.kept: NDArray[np.intp] | None = None
        self.before: frozenset[str] = frozenset()
        """Names drawn before the unlikely worlds were let go."""
        self.like: SampledWorlds | None = None
        """The worlds of another answer, of which all is taken over but what it feeds."""
        self.fed: frozenset[str] = frozenset()
        self.told: frozenset[str] = frozenset()
        """Facts that are answered otherwise in the worlds ``like`` these."""
        self.watch = watch
        self.doing = f"drawing {n:,} simulated cases"
        self.seed = case.seed if seed is None else seed
        self.values: dict[str, NDArray[Any]] = LazyValues(self)
        self.masks: dict[Condition, Mask] = {}
        """Where each condition holds that was asked for; read only."""
        self.known: dict[Condition, bool | None] = {}
        """Which of them hold in all worlds or in none."""
        self.weights: Array = np.full(n, 1.0 / n)
        self.misfits: list[Misfit] = []
        self.remarks: list[str] = []
        self.results: dict[Hashable, Any] = {}
        """What else was calculated of these worlds, whatever their weights."""
        self.same: dict[frozenset[str], bool] = {}
        """Whether of these names nothing differs from the worlds ``like`` these."""
        self.knowing: dict[str, object] = {}
        """What knowing a fact is worth in these worlds, kept by those who calculate it."""
        self.ordered: dict[str, tuple[Array, Array]] = {}
        """Values of facts and nodes in ascending order, each with the weight up to it."""
        self._evaluating = False
        self._condition()

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
        everywhere = condition is None or self.everywhere(condition)
        if condition is None or everywhere is not None:
            return bool(everywhere)
        return self.mean(self.masks[condition]) >= 0.5 - ROUNDING

    def holds(self, condition: Condition) -> Mask:
        """Worlds in which a condition holds, read only; worked out once."""
        if condition not in self.known:
            self._judge(condition)
        return self.masks[condition]

    def everywhere(self, condition: Condition) -> bool | None:
        """Whether a condition holds in all worlds (True), in none (False) or in some (None)."""
        if condition not in self.known:
            self._judge(condition)
        return self.known[condition]

    def _judge(self, condition: Condition) -> None:
        """Settle a condition by the given facts where they do, else test it."""
        if self.like is not None and condition.reads.isdisjoint(self.fed):
            self.known[condition] = self.like.everywhere(condition)
            self.masks[condition] = self.like.masks[condition]
            return
        known = condition.known(self.case)
        if known is not None:
            mask = _all_alike(self.n, known)
        else:
            mask = self.masks[condition] if condition in self.masks else condition.test(self.values)
            mask.flags.writeable = False
            held = np.count_nonzero(mask)
            known = None if 0 < held < self.n else bool(held)
        self.masks[condition], self.known[condition] = mask, known

    @property
    def effective(self) -> float:
        """Effective sample size, 1 / sum of squared weights (Kish)."""
        return float(1.0 / (self.weights**2).sum())

    def mean(self, array: NDArray[Any]) -> float:
        """Weighted mean over the worlds; of a mask the share of the worlds in which it holds."""
        if array.dtype == np.bool_:
            held = np.count_nonzero(array)
            if held in (0, self.n):
                return float(held > 0)
        # Not a dot product: linear algebra libraries start threads for it, which costs more.
        return float(np.add.reduce(self.weights * array))

    def quantiles(
        self, array: Array, at: tuple[float, ...] = RANGE, mask: Mask | None = None
    ) -> Array:
        """Weighted quantiles (shape of ``at``), in the worlds of ``mask`` where it holds in any."""
        if mask is None or mask.all() or not mask.any():
            return weighted_quantiles(array, self.weights, at)
        here = np.flatnonzero(mask)
        return weighted_quantiles(array.take(here), self.weights.take(here), at)

    def quantiles_of(self, name: str, at: tuple[float, ...] = RANGE) -> Array:
        """Weighted quantiles of a fact or node (shape of ``at``), put in order once."""
        if name not in self.ordered:
            self.ordered[name] = in_order(self.values[name], self.weights)
        return read_at(self.ordered[name], at)

    def thinned(self, n: int) -> SampledWorlds | None:
        """Every k-th of these worlds, ``n`` in all.

        None where these are not a multiple of ``n``, or only the likely ones of many.
        """
        step, rest = divmod(self.n, n)
        if rest or step < 2 or self.kept is not None:
            return None
        other = self.derived(at=slice(None, None, step))
        other.every = self.every * step
        return other

    def only(self, kept: NDArray[np.intp]) -> SampledWorlds:
        """The worlds of these numbers; all that follows is computed for them alone."""
        other = self.derived(at=kept)
        other.kept, other.before = kept, frozenset(self.values)
        return other

    def within(self, mask: Mask) -> SampledWorlds:
        """The same worlds, of which only those of ``mask`` count.

        All of them where none of those counts.
        """
        if mask.all():
            return self
        counting = self.weights * mask
        if not counting.any():
            return self
        other = copy(self)
        other.like, other.fed, other.told = self, frozenset(), frozenset()
        other.values, other.masks, other.known = LazyValues(other), {}, {}
        other.results, other.same, other.knowing, other.ordered = {}, {}, {}, {}
        other.weights = counting / counting.sum()
        return other

    def changed(self, fact: str, value: Value) -> SampledWorlds:
        """The same worlds with one fact answered otherwise.

        Only what the fact feeds is computed anew; everything else is taken over when it is
        asked for. Not for worlds of which only those likely for this very case were kept.
        """
        if self.kept is not None:
            raise ValueError("the kept worlds belong to one case")
        other = self.derived()
        other.case = self.pack.as_read(self.case.with_fact(fact, value))
        was, now = self.case.facts, other.case.facts
        other.told = frozenset(name for name in {*was, *now} if was.get(name) != now.get(name))
        other.like, other.fed = self, self.pack.fed_by(fact)
        other._condition()
        return other

    def once(self, key: Hashable, reads: frozenset[str], calculate: Callable[[], T]) -> T:
        """What is calculated from the facts and nodes that are read, calculated once.

        Taken from the worlds ``like`` these where all that it reads is the same there.
        """
        if key in self.results:
            found: T = self.results[key]
            return found
        like = self.like
        if like is not None and reads.isdisjoint(self.fed):
            found = like.once(key, reads, calculate)
        elif like is not None and key in like.results and self._same(reads):
            found = like.results[key]
        else:
            found = calculate()
        self.results[key] = found
        return found

    def _same(self, reads: frozenset[str]) -> bool:
        """Whether all that was read of these in the worlds ``like`` these is the same here."""
        if reads not in self.same:
            self.same[reads] = not any(map(self._alters, reads & self.fed))
        return self.same[reads]

    def _alters(self, name: str) -> bool:
        """Whether a value that the worlds ``like`` these were worked out with is another here."""
        assert self.like is not None
        return name in self.fed and (
            name in self.told
            or (name in self.like.values and self.values[name] is not self.like.values[name])
        )

    def derived(self, at: slice | NDArray[np.intp] | None = None) -> SampledWorlds:
        """Worlds drawn alike of which nothing has been worked out yet.

        Or those ``at`` some places, with all that was worked out of these so far.
        """
        other = copy(self)
        other.like, other.fed = None, frozenset()
        other.values, other.masks, other.known = LazyValues(other), {}, {}
        other.misfits, other.remarks = [], []
        other.results, other.same, other.knowing, other.ordered = {}, {}, {}, {}
        if at is None:
            other.weights = np.full(self.n, 1.0 / self.n)
            return other
        other.weights = self.weights[at] / self.weights[at].sum()
        other.n = other.weights.size
        for name, column in self.values.items():
            other.values[name] = np.ascontiguousarray(column[at])
        other.masks = {condition: mask[at] for condition, mask in self.masks.items()}
        other.misfits, other.remarks = list(self.misfits), list(self.remarks)
        return other

    def forget_calculated(self) -> None:
        """Drop all that can be calculated again from what was drawn, as it was.

        For worlds that are kept for somebody who may ask later: it takes four times as much
        memory as what was drawn.
        """
        drawn = self.pack.fact_rules
        for name in [name for name in self.values if name not in drawn]:
            del self.values[name]
        for kept in (
            self.masks, self.known, self.results, self.same, self.knowing, self.ordered,
        ):  # fmt: skip
            kept.clear()

    def compute(self, name: str) -> NDArray[Any]:
        """The value of a fact or node, anew; ask ``values`` for it instead."""
        if self.like is None:
            return self._computed(name)
        if name not in self.fed:
            return self.like.values[name]
        if name not in self.like.values:
            return self._computed(name)
        before = self.like.values[name]
        if name not in self.told and self._same(self.pack.read_for(name)):
            return before
        value = self._computed(name)
        return before if np.array_equal(value, before) else value

    def _computed(self, name: str) -> NDArray[Any]:
        self.tick()
        rule = self.pack.fact_rules.get(name)
        if rule is None:
            return self._evaluated(self.pack.nodes[name])
        if rule.decl.kind is Kind.TEXT:
            raise KeyError(f"{name} is text and has no value in the worlds")
        return draw_fact(rule, self)

    def _evaluated(self, node: Node) -> Array:
        """A node with all that feeds it, which is evaluated on the way."""
        if self._evaluating:
            return node.evaluate(self)
        self._evaluating = True
        try:
            with np.errstate(all="ignore"):
                return node.evaluate(self)
        finally:
            self._evaluating = False

    def _log_of_pairs(self) -> Array:
        """0 where part and damage go together, else minus infinity.

        Of several answers only the pairs that occur are calculated with.
        """
        told = pairs(self.case)
        occurs = [self.pack.coverage.occurs(*pair) for pair in told]
        if all(occurs) or not any(occurs):
            return np.zeros(self.n)
        parts, damages = (self.pack.facts[name].keys for name in (PART, DAMAGE))
        possible = np.zeros(self.n, dtype=np.bool_)
        for (part, damage), does in zip(told, occurs, strict=True):
            if does:
                possible |= (self.values[PART] == parts.index(part)) & (
                    self.values[DAMAGE] == damages.index(damage)
                )
        if not possible.any():
            return np.zeros(self.n)
        return np.where(possible, 0.0, -np.inf)

    def _hold_together(self, readings: Mapping[str, Array]) -> None:
        """Note the reading that fits worst where no world explains all of them together.

        Only among many worlds: few may have missed the one that would.
        """
        if len(readings) < 2 or self.drawn < MANY_WORLDS or self.misfits:
            return
        fit = np.stack(list(readings.values()))
        best = int(np.argmax(fit.sum(axis=0)))
        if float(fit[:, best].sum()) < -0.5 * JOINTLY[min(len(readings), len(JOINTLY)) - 1]:
            worst = list(readings)[int(np.argmin(fit[:, best]))]
            finding = lowered(self.pack.measurements[worst].finding)
            self.misfits.append(
                Misfit(worst, filled("Together with the other measurements: {}", finding))
            )

    def _one_answer(self, choice: str) -> bool:
        given = self.case.facts.get(choice)
        return isinstance(given, tuple) and len(given) == 1

    def _condition(self) -> None:
        """Weight the worlds by how well they explain what was measured."""
        for remark in remarks_on(self.pack, self.case):
            if remark.doubt:
                self.misfits.append(Misfit(remark.fact, remark.text))
            else:
                self.remarks.append(remark.text)
        for one in contradicting(self.pack.coverage, self.case):
            self.misfits.append(Misfit(one.look_at, one.finding))
        log_weights = self._log_of_pairs()
        for name, rule in self.pack.fact_rules.items():
            given = self.case.facts.get(name)
            if given is not None and not isinstance(given, Span | str):
                chance = self._chance(rule, given)
                if rule.finding and float(np.max(chance)) < np.log(UNEXPLAINED):
                    self.misfits.append(Misfit(name, rule.finding))
                    continue
                log_weights += chance
        readings: dict[str, Array] = {}
        for fact, measurement in self.pack.measurements.items():
            given = self.case.facts.get(fact)
            if not isinstance(given, Span):
                continue
            density = self._density(measurement, given)
            if float(np.max(density)) < EXPLAINED:
                self.misfits.append(Misfit(fact, measurement.finding))
                continue
            readings[fact] = density
            open_to = measurement.silent_on
            if open_to is not None and not self._one_answer(open_to):
                density = silent_on(self.values[open_to].astype(np.intp), density, log_weights)
            log_weights += density
        log_weights += log_of_earlier_repairs(self)
        self._hold_together(readings)
        if np.ptp(log_weights) > 0.0:
            weights = np.exp(log_weights - log_weights.max())
            self.weights = weights / weights.sum()

    def _chance(self, rule: FactRule, given: bool | tuple[str, ...]) -> Array | float:
        """Log chance of an answer in each world."""
        name = rule.decl.name
        key = ("chance", name, given)
        return self.once(key, self.pack.read_for(name), lambda: log_chance(rule, given, self))

    def _density(self, measurement: Measurement, given: Span) -> Array:
        """Log likelihood of a reading in each world; 0 where it is none of this."""

        def calculate() -> Array:
            density = log_likelihood(given, measurement, self)
            if measurement.when is None:
                return density
            return np.asarray(select(self.holds(measurement.when), density, 0.0))

        return self.once(("density", measurement.fact, given), measurement.reads, calculate)
