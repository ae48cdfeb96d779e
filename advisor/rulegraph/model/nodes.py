"""Nodes of the load-path graph: each turns values over the worlds into one more value."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from advisor.rulegraph.model.conditions import Condition, Mask

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
else:
    from advisor.rulegraph.model.lazy_numpy import np

    Array = Any

#: Of fewer worlds ``np.where`` chooses as quickly.
MANY = 1024

Row = tuple[float, ...]
Triple = tuple[float, float, float]


class Worlds(Protocol):
    """What a node may ask of the worlds: their number, values and uniform draws."""

    n: int
    values: dict[str, NDArray[Any]]

    def uniform(self, name: str) -> Array:
        """Uniform draws in (0, 1), the same for the same name."""
        ...

    def holds(self, condition: Condition) -> Mask:
        """Worlds in which a condition holds."""
        ...

    def everywhere(self, condition: Condition) -> bool | None:
        """Whether a condition holds in all worlds (True), in none (False) or in some (None)."""
        ...


Branch = TypeVar("Branch")


def taken(
    branches: Iterable[tuple[Condition, Branch]], rest: Branch, worlds: Worlds
) -> list[tuple[Mask | None, Branch]]:
    """What counts where: of the branches the first whose condition holds, else ``rest``.

    With the worlds in which it does, None for all of them; what counts nowhere is left out.
    """
    found: list[tuple[Mask | None, Branch]] = []
    free: Mask | None = None
    for condition, branch in branches:
        everywhere = worlds.everywhere(condition)
        if everywhere is False:
            continue
        if everywhere:
            rest = branch
            break
        mask = worlds.holds(condition)
        here = mask if free is None else mask & free
        free = ~mask if free is None else free & ~mask
        if np.count_nonzero(here):
            found.append((here, branch))
        if not np.count_nonzero(free):
            return found
    return [*found, (free, rest)]


def in_its_place(counting: Sequence[tuple[Mask | None, Any]]) -> Any:
    """The value that counts in each world, of what ``taken`` has found."""
    value = counting[-1][1]
    for mask, other in counting[:-1]:
        assert mask is not None
        value = select(mask, other, value)
    return value


def select(mask: Mask, one: Any, other: Any) -> Any:
    """``one`` where the mask holds, else ``other``, as ``np.where`` gives it.

    By arithmetic on their bits, which takes half the time: ``np.where`` goes one way or the
    other in each world, and which way chance draws go is what a processor guesses worst.
    """
    if mask.size < MANY:
        return np.where(mask, one, other)
    if not isinstance(one, np.ndarray) and not isinstance(other, np.ndarray):
        return np.array((other, one)).take(mask)
    kind = np.result_type(one, other)
    bits = np.dtype(f"i{kind.itemsize}")
    first, second = (np.asarray(part, dtype=kind).view(bits) for part in (one, other))
    chosen = mask.astype(bits)
    np.negative(chosen, out=chosen)
    chosen &= first ^ second
    chosen ^= second
    return chosen.view(kind)


def triangular(u: Array, low: Any, typical: Any, high: Any) -> Array:
    """Inverse of the triangular distribution with minimum, mode and maximum.

    Shapes broadcast; where ``low == high`` the value is that constant.
    """
    if isinstance(low, float) and isinstance(high, float) and not low < high:
        return np.full(u.shape, low)
    left, right = typical - low, high - typical
    # The rise up to the mode plus the fall behind it, each held where the other is at work: that
    # takes less time than to choose one of them in every world.
    fall = u * (high - low)
    rise = np.minimum(fall, left)
    fall -= rise
    rise *= left
    np.sqrt(rise, out=rise)
    np.subtract(right, fall, out=fall)
    np.abs(fall, out=fall)  # but for rounding never below 0
    fall *= right
    np.sqrt(fall, out=fall)
    rise += np.subtract(right, fall, out=fall)
    rise += low
    return np.asarray(rise)


@dataclass(frozen=True)
class Ref:
    """An input: another name, or a constant."""

    name: str | None
    constant: float = 0.0

    def get(self, worlds: Worlds) -> Any:
        """Value over the worlds, or the constant."""
        return self.constant if self.name is None else worlds.values[self.name]


class Operation(Protocol):
    """How a node's value comes about."""

    def names(self) -> Iterator[str]:
        """Names it reads, in order of declaration."""
        ...

    def evaluate(self, name: str, worlds: Worlds) -> Any:
        """Value over the worlds."""
        ...


@dataclass(frozen=True)
class Tied:
    """A value that varies together with another draw: a Gaussian copula over both."""

    to: str
    share: float
    """Of the two normal draws that make it up, the weight of the common one; at most 1."""

    def uniform(self, name: str, worlds: Worlds) -> Array:
        """Uniform draws for ``name`` that go along with those of the other."""
        from advisor.mechanics.arith import normal_quantile, normal_share

        worlds.values[self.to]  # drawn at the same time, so that both belong to the same worlds
        own = normal_quantile(worlds.uniform(name))
        common = normal_quantile(worlds.uniform(self.to))
        mixed = self.share * common + (1.0 - self.share**2) ** 0.5 * own
        return np.asarray(normal_share(mixed))


def _uniform(tied: Tied | None, name: str, worlds: Worlds) -> Array:
    return worlds.uniform(name) if tied is None else tied.uniform(name, worlds)


@dataclass(frozen=True)
class Draw:
    """An uncertain value; the first branch whose condition holds gives its spread."""

    branches: tuple[tuple[Condition, Triple], ...]
    rest: Triple
    tied: Tied | None = None

    def names(self) -> Iterator[str]:
        if self.tied is not None:
            yield self.tied.to
        for condition, _ in self.branches:
            yield from condition.names()

    def evaluate(self, name: str, worlds: Worlds) -> Any:
        counting = taken(self.branches, self.rest, worlds)
        low, typical, high = (
            in_its_place([(mask, triple[i]) for mask, triple in counting]) for i in range(3)
        )
        if all(triple[0] == triple[2] for _, triple in counting):
            return np.full(worlds.n, low)
        return triangular(_uniform(self.tied, name, worlds), low, typical, high)


@dataclass(frozen=True)
class TableDraw:
    """An uncertain value looked up by the option of a choice (rows by option code)."""

    key: str
    low: Row
    typical: Row
    high: Row
    tied: Tied | None = None
    origins: tuple[tuple[str, str], ...] = ()
    """Source and status of each row."""

    @cached_property
    def _columns(self) -> Array:
        return np.array((self.low, self.typical, self.high))

    def names(self) -> Iterator[str]:
        yield self.key
        if self.tied is not None:
            yield self.tied.to

    def evaluate(self, name: str, worlds: Worlds) -> Any:
        codes = worlds.values[self.key]
        if (codes == codes[0]).all():
            codes = codes[0]
        low, typical, high = self._columns.take(codes, axis=1)
        return triangular(_uniform(self.tied, name, worlds), low, typical, high)


@dataclass(frozen=True)
class Apply:
    """A physical relation, by its name, with its inputs wired."""

    relation: str
    inputs: Mapping[str, Ref]

    @cached_property
    def function(self) -> Callable[..., Any]:
        """The formula; loaded when the first value is calculated."""
        from advisor.mechanics.relation import RELATIONS

        return RELATIONS[self.relation].function

    def names(self) -> Iterator[str]:
        for ref in self.inputs.values():
            if ref.name is not None:
                yield ref.name

    def evaluate(self, name: str, worlds: Worlds) -> Any:
        return self.function(**{arg: ref.get(worlds) for arg, ref in self.inputs.items()})


#: What numpy calls them.
_FOLDS = {"sum": "add", "product": "multiply", "least": "minimum", "largest": "maximum"}


@dataclass(frozen=True)
class Fold:
    """Sum, product, least or largest of several inputs."""

    kind: str
    refs: tuple[Ref, ...]

    def names(self) -> Iterator[str]:
        for ref in self.refs:
            if ref.name is not None:
                yield ref.name

    def evaluate(self, name: str, worlds: Worlds) -> Any:
        step = getattr(np, _FOLDS[self.kind])
        total = self.refs[0].get(worlds)
        for ref in self.refs[1:]:
            total = step(total, ref.get(worlds))
        return total


@dataclass(frozen=True)
class Pick:
    """The first branch whose condition holds."""

    branches: tuple[tuple[Condition, Ref], ...]
    rest: Ref

    def names(self) -> Iterator[str]:
        for condition, ref in self.branches:
            if ref.name is not None:
                yield ref.name
            yield from condition.names()
        if self.rest.name is not None:
            yield self.rest.name

    def evaluate(self, name: str, worlds: Worlds) -> Any:
        counting = taken(self.branches, self.rest, worlds)
        return in_its_place([(mask, ref.get(worlds)) for mask, ref in counting])


@dataclass(frozen=True)
class Node:
    """One node of the graph, ready to evaluate."""

    name: str
    title: str
    unit: str
    operation: Operation
    when: Condition | None
    otherwise: float
    driver: str | None
    cause: bool
    source: str
    status: str
    note: str = ""
    relation: str | None = None
    valid: tuple[tuple[str, str, float, float], ...] = ()
    """Argument, input name and the range in which the relation's source claims it."""

    def names(self) -> Iterator[str]:
        """Everything it reads."""
        yield from self.operation.names()
        if self.when is not None:
            yield from self.when.names()

    def evaluate(self, worlds: Worlds) -> Array:
        """Value over the worlds, shape (n,).

        Called with floating-point warnings off: a branch divides by zero where another holds.
        """
        here = True if self.when is None else worlds.everywhere(self.when)
        if here is False:
            return np.full(worlds.n, self.otherwise)
        value = self.operation.evaluate(self.name, worlds)
        if self.when is not None and here is None:
            value = select(worlds.holds(self.when), value, self.otherwise)
        array = np.asarray(value, dtype=np.float64)
        return array if array.shape == (worlds.n,) else np.broadcast_to(array, (worlds.n,)).copy()
