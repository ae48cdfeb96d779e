"""What knowing an open fact is worth: expected savings, from one set of worlds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from advisor.advice.choosing.plans import (
    Plan,
    cost_of_refusing,
    costs_of,
    turning_away,
)
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array
from advisor.wording.amounts import Bounds

#: A quantity is grouped into this many equally likely bins.
BINS = 8
EDGES = tuple(k / BINS for k in range(1, BINS))
#: Groups backed by fewer worlds than this say nothing.
THIN = 15.0
#: Standard errors by which the best plan of a group must hold too seldom to be turned away.
SURELY = 2.0


def open_facts(case: Case, worlds: SampledWorlds) -> list[FactDecl]:
    """Facts that apply, are not answered for certain, and are no gate."""
    found = []
    for decl in worlds.pack.asked(case):
        value = case.facts.get(decl.name)
        settled = isinstance(value, bool | str) or (
            isinstance(value, tuple) and len(value) == 1
        )
        settled = settled or isinstance(value, Span)
        if decl.name in worlds.pack.earlier_facts and case.earlier_repairs is not None:
            settled = True
        if not settled and not decl.gate and decl.kind is not Kind.TEXT:
            found.append(decl)
    return found


@dataclass(frozen=True)
class AnswerWords:
    """An answer by its title; of a quantity by its bounds, for readers of any units."""

    title: str = ""
    amount: Bounds | None = None

    @property
    def words(self) -> str:
        """In metric units."""
        return self.title if self.amount is None else self.amount.words()


def groups_of(decl: FactDecl, worlds: SampledWorlds) -> tuple[NDArray[np.intp], list[AnswerWords]]:
    """Group number of every world by the answer to ``decl``, and the answers in words."""
    column = worlds.values[decl.name]
    if decl.kind is Kind.CHOICE:
        return column.astype(np.intp), [AnswerWords(option.title) for option in decl.options]
    if decl.kind is Kind.YES_NO:
        return column.astype(np.intp), [AnswerWords("no"), AnswerWords("yes")]
    edges = np.array(sorted(set(worlds.quantiles_of(decl.name, EDGES).tolist())))
    marks = [None, *edges.tolist(), None]
    if edges.size == 1 and column.min() == column.max():
        marks = [*edges.tolist()] * 3
    amounts = [Bounds(low, high, decl.dimension) for low, high in pairwise(marks)]
    answers = [AnswerWords(amount=amount) for amount in amounts]
    # Added up as bytes, which is twice as quick.
    return (column >= edges[:, None]).sum(axis=0, dtype=np.uint8).astype(np.intp), answers


def _middle(column: Array, mask: Mask) -> float:
    inside = column[mask]
    return float(np.median(inside if inside.size else column))


@dataclass(frozen=True)
class Knowing:
    """What knowing a fact is worth: groups by answer, their shares and best plans."""

    groups: NDArray[np.intp]
    answers: list[AnswerWords]
    value: float
    error: float
    shares: Array
    best: NDArray[np.intp]

    def answer(self, decl: FactDecl, k: int, worlds: SampledWorlds) -> Value:
        """The answer of group ``k``, of a quantity the middle one."""
        if decl.kind is Kind.CHOICE:
            return (decl.options[k].key,)
        if decl.kind is Kind.YES_NO:
            return k == 1
        middle = _middle(worlds.values[decl.name], self.groups == k)
        return Span(middle, middle)


@dataclass(frozen=True)
class Declining:
    """The rule that a plan which holds in too few cases stands behind all others."""

    holds: Sequence[Array]
    """Chance of holding of each plan, in the order of the costs; each of shape (worlds,)."""
    least: float
    """Chance of holding below which a plan is declined."""
    away: Callable[[], Array] | None = None
    """Cost of turning the job away, where every plan is declined; None: the cheapest stands."""
    refusing: float = 0.0
    """What is lost with a job that is turned away and could be done."""
    today: int = 0
    """Today's choice: the leading plan, or one beyond the last where the job is turned away."""


def at_stake(plans: Sequence[Plan], worlds: SampledWorlds) -> tuple[Array, Declining]:
    """Costs of the plans, shape (worlds, plans), those of one side by side; and the rule of choice.

    ``plans`` stand in their order, the leading one first.
    """
    holds = [plan.holds for plan in plans]
    least = worlds.pack.prices.declines_below
    today = len(plans) if worlds.mean(holds[0]) < least else 0
    away = cache(lambda: turning_away(plans[0], worlds))
    rule = Declining(holds, least, away, cost_of_refusing(worlds), today)
    return costs_of(plans), rule


def knowing(
    decl: FactDecl, worlds: SampledWorlds, costs: Array, declining: Declining | None = None
) -> Knowing:
    """What knowing ``decl`` before choosing is worth; worked out once for the worlds."""
    found = worlds.knowing.get(decl.name)
    if found is None:
        groups, answers = groups_of(decl, worlds)
        worth = worth_of_knowing(groups, len(answers), costs, worlds.weights, declining)
        found = worlds.knowing[decl.name] = Knowing(groups, answers, *worth)
    assert isinstance(found, Knowing)
    return found


def conditional_costs(
    groups: NDArray[np.intp], count: int, costs: Array, weights: Array
) -> tuple[Array, Array]:
    """Share of each group (count,) and mean cost of each plan in it (count, plans)."""
    shares, sums = _sums(groups, count, costs, weights)
    return shares, sums.T / np.maximum(shares, 1e-300)[:, None]


def _sums(
    groups: NDArray[np.intp], count: int, costs: Array, weights: Array
) -> tuple[Array, Array]:
    """Weight of each group (count,) and weighted cost of each plan in it (plans, count)."""
    shares = np.asarray(np.bincount(groups, weights=weights, minlength=count), dtype=np.float64)
    sums = np.empty((costs.shape[1], count))
    for plan in range(costs.shape[1]):
        weighted = weights * costs[:, plan]
        sums[plan] = np.bincount(groups, weights=weighted, minlength=count)
    return shares, sums


def worth_of_knowing(
    groups: NDArray[np.intp],
    count: int,
    costs: Array,
    weights: Array,
    declining: Declining | None = None,
) -> tuple[float, float, Array, NDArray[np.intp]]:
    """Expected saving from knowing a fact before choosing, with its standard error.

    Also the shares of the groups, and the choice in each; thin groups keep today's. Each
    half of the worlds (the even ones, the odd ones) is decided by the best plans of the
    other, so that luck in the sample is not taken for knowledge: choosing and valuing on
    the same worlds would always find a saving. ``costs`` has shape (worlds, plans), plan 0
    leading. With ``declining`` plans are chosen by that rule: where it surely leaves none the job
    is turned away, which is the choice one beyond the last plan. What the rule demands though it
    is dearer saves nothing and is no loss.
    """
    plans, today = costs.shape[1], 0 if declining is None else declining.today
    if plans == 1 and (declining is None or declining.away is None):
        alone = np.asarray(np.bincount(groups, weights=weights, minlength=count), dtype=float)
        return 0.0, 0.0, alone, np.zeros(count, dtype=np.intp)
    both = 2 * groups + _parity(groups.size)
    shares, sums = _sums(both, 2 * count, costs, weights)
    chooser = _Chooser(both, 2 * count, weights, declining)
    if today == 0 and not sums.argmin(axis=0).any() and not chooser.declines(0, shares).any():
        # Whatever is answered, plan 0 leads: so it is with most facts.
        return 0.0, 0.0, shares.reshape(count, 2).sum(axis=1), np.zeros(count, dtype=np.intp)
    means = sums / np.maximum(shares, 1e-300)
    best, demanded = chooser.choose(means, shares)
    halves = shares.reshape(count, 2)
    squares = np.array([(weights[half::2] ** 2).sum() for half in (0, 1)])
    totals = halves.sum(axis=0)
    effective = halves * totals / np.maximum(squares, 1e-300)
    best = np.where(effective >= THIN, best.reshape(count, 2), today)
    value = error = 0.0
    if (best != today).any():
        # A world is decided by what was best in its group of the other half.
        picked = best[:, ::-1].ravel()[both]
        if today == plans and declining is not None:
            saved = declining.refusing * (picked != today)
        else:
            now = costs[:, 0]
            if declining is not None and declining.away is not None and (best == plans).any():
                away = declining.away()
                costs = np.concatenate([costs.T, away[None, :]]).T
                left = np.bincount(both, weights=weights * away, minlength=2 * count)
                means = np.concatenate([means, left[None, :] / np.maximum(shares, 1e-300)])
            then = means[best.ravel(), np.arange(best.size)]
            dearer = np.maximum(then - means[0], 0.0) * (demanded & (best.ravel() > 0))
            if dearer.any():
                now = now + dearer.reshape(count, 2)[:, ::-1].ravel()[both]
            saved = now - costs.T.reshape(-1)[picked * groups.size + np.arange(groups.size)]
        value = float((weights * saved).sum())
        error = float(np.sqrt(((weights * (saved - value)) ** 2).sum()))
    whole = halves.sum(axis=1)
    counting = whole * totals.sum() / squares.sum()
    means = sums.reshape(-1, count, 2).sum(axis=2) / np.maximum(whole, 1e-300)
    overall, _ = chooser.choose(means, whole)
    overall = np.where(counting >= THIN, overall, today)
    if not (overall != today).any():  # what changes the choice in one half only is luck
        value = error = 0.0
    return max(value, 0.0), error, whole, overall


class _Chooser:
    """The best plan of each group: by cost, of those that hold often enough where any does."""

    def __init__(
        self,
        both: NDArray[np.intp],
        count: int,
        weights: Array,
        declining: Declining | None,
    ) -> None:
        self._both, self._count, self._weights = both, count, weights
        self._declining = declining
        self._held: dict[int, Array] = {}

    def choose(self, means: Array, shares: Array) -> tuple[NDArray[np.intp], Mask]:
        """Choice in each group, and where the rule demands it rather than the cost.

        ``means`` are mean costs (plans, groups), of the groups in halves or whole. Only plans
        that come first somewhere are judged by the rule, as few do.
        """
        allowed = means.copy()
        judged: dict[int, Mask] = {}
        due = {0, *map(int, means.argmin(axis=0))}
        while due:
            for plan in due:
                judged[plan] = self.declines(plan, shares)
                allowed[plan, judged[plan]] = np.inf
            best = allowed.argmin(axis=0)
            due = set(map(int, best)) - judged.keys()
        some = np.isfinite(allowed.min(axis=0))
        if self._declining is None or self._declining.away is None:
            return np.where(some, best, means.argmin(axis=0)), judged[0] & some
        if some.all():
            return best, judged[0]
        surely_none = self._surely_none(self._declining, shares)
        turned = np.where(surely_none, len(means), self._declining.today)
        return np.where(some, best, turned), judged[0]

    def declines(self, plan: int, shares: Array) -> Mask:
        """Groups of these shares in which a plan holds too seldom."""
        rule = self._declining
        if rule is None:
            return np.zeros(shares.size, dtype=np.bool_)
        return np.asarray(self._holds(plan, rule, shares) < rule.least * shares)

    def _surely_none(self, rule: Declining, shares: Array) -> Mask:
        """Where every plan is declined, and more worlds would not come to something else."""
        held = np.max(
            [self._holds(plan, rule, shares) for plan in range(len(rule.holds))], axis=0
        )
        squares = np.bincount(self._both, weights=self._weights**2, minlength=self._count)
        squares = squares if shares.size == squares.size else squares.reshape(-1, 2).sum(axis=1)
        unsure = SURELY * np.sqrt(rule.least * (1.0 - rule.least) * squares)
        return np.asarray(held + unsure < rule.least * shares)

    def _holds(self, plan: int, rule: Declining, shares: Array) -> Array:
        """Weight of the worlds of each group in which a plan holds."""
        held = self._held.get(plan)
        if held is None:
            weighted = self._weights * rule.holds[plan]
            counted = np.bincount(self._both, weights=weighted, minlength=self._count)
            held = self._held[plan] = np.asarray(counted, dtype=np.float64)
        return held if shares.size == held.size else held.reshape(-1, 2).sum(axis=1)


@lru_cache(maxsize=8)
def _parity(n: int) -> NDArray[np.intp]:
    return np.arange(n, dtype=np.intp) % 2
