"""What the quantities are computed from: the case's worlds and the figures of the trade."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, TypeVar

import numpy as np

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.job.amount import COMPUTED, Amount
from advisor.job.measured_and_agreed import Wishes
from advisor.rulegraph.model.conditions import Condition, Mask
from advisor.rulegraph.model.job import JobRules, Known
from advisor.rulegraph.model.nodes import Array, triangular
from advisor.wording.amounts import unit_of
from advisor.wording.figures import Range

Entry = TypeVar("Entry")


class Sample:
    """Draws of facts, nodes and trade figures of one case, each an array over its worlds."""

    def __init__(
        self, worlds: SampledWorlds, wishes: Wishes, work: Mapping[str, Mask] = MappingProxyType({})
    ) -> None:
        self.worlds = worlds
        self.wishes = wishes
        self.work = work
        """Worlds in which a method has something to do, by method; elsewhere it has in all."""
        self.rules: JobRules = worlds.pack.job

    def at_work(self, method: str) -> Sample:
        """The same draws, of which those count in which a method has something to do."""
        if method not in self.work:
            return self
        return Sample(self.worlds.within(self.work[method]), self.wishes, self.work)

    def node(self, name: str) -> Array:
        """A fact that is a quantity, or a node, shape (n,)."""
        return np.asarray(self.worlds.values[name], dtype=np.float64)

    def known(self, name: str) -> Array:
        """A figure of the trade, drawn over its range, shape (n,)."""
        return self.range_draw(name, self.rules.values[name])

    def range_draw(self, stream: str, value: Known) -> Array:
        """A figure drawn over its range from a stream of its own, shape (n,)."""
        if value.low == value.high:
            return np.full(self.worlds.n, value.typical)
        return self.draw(stream, value.low, value.typical, value.high)

    def draw(self, stream: str, low: float, typical: float, high: float) -> Array:
        """A triangular draw from a stream of its own, shape (n,)."""
        u = self.worlds.uniform(f"job/{stream}")
        return np.asarray(triangular(u, low, typical, high))

    def role(self, name: str) -> Array:
        """The fact or node that plays a role of `Roles`, shape (n,)."""
        return self.node(getattr(self.worlds.pack.roles, name))

    def applies(self, condition: Condition | None) -> bool:
        """True where a condition holds in most worlds."""
        return self.worlds.mostly(condition)

    def life(self, method: str) -> Range | None:
        """Years the work of a method lasts; None where the pack does not say."""
        rule = self.worlds.pack.whole(method).lasts
        if rule is None:
            return None
        known = next((k for when, k in rule.branches if self.applies(when)), rule.rest)
        return Range(known.low, known.typical, known.high)

    def choice(self, fact: str) -> str:
        """The likeliest answer of a choice."""
        decl = self.worlds.pack.facts[fact]
        codes = self.worlds.values[fact]
        shares = [self.worlds.mean(codes == code) for code in range(len(decl.keys))]
        return decl.keys[int(np.argmax(shares))]

    def listed(self, fact: str, table: Mapping[str, Entry]) -> Entry | None:
        """The entry of the likeliest answer, or of what that is a kind of; None without one."""
        line = self.worlds.pack.facts[fact].line(self.choice(fact))
        return next((table[key] for key in line if key in table), None)

    def range(self, values: Any) -> Range:
        """5th, 50th and 95th percentile of an array over the worlds."""
        array = np.broadcast_to(np.asarray(values, dtype=np.float64), (self.worlds.n,))
        low, typical, high = (float(v) for v in self.worlds.quantiles(array))
        return Range(low, typical, high)

    def amount(
        self, key: str, title: str, values: Any, dimension: str, source: str, note: str = ""
    ) -> Amount:
        """A computed quantity with its range."""
        value = self.range(values)
        return Amount(key, title, value, dimension, unit_of(dimension), source, COMPUTED, note)

    def given(self, key: str, known: Known, dimension: str, title: str = "") -> Amount:
        """A figure of the trade as it stands."""
        value = Range(known.low, known.typical, known.high)
        said = title or known.title
        unit = unit_of(dimension)
        return Amount(key, said, value, dimension, unit, known.source, known.status, known.note)


def said(key: str, title: str, words: str, source: str, status: str, note: str = "") -> Amount:
    """A quantity that is a word: a thread, a needle point."""
    none = Range(0.0, 0.0, 0.0)
    return Amount(key, title, none, "text", "", source, status, note, words)
