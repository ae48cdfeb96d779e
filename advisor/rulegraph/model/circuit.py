"""Conditions compiled together into rows of bits, each distinct test and part only once.

A row has one bit a world. The bottom rows are read from the columns: one option of a choice
or the binary digits of its codes, a yes/no fact, a number against one limit. Every other row
is two rows joined by and/or, or one turned round. The rows of a condition and of all its
parts, down to the single tests, are there together: which of them held in a world is the
trace. What is the opposite of a row needs none of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from advisor.rulegraph.model.conditions import Both, Condition, IsOneOf, IsYes, Not, Within

Rows = NDArray[np.intp]
#: What a row is made of: how, and a name with a number, or the rows that it joins.
Recipe = tuple[str, str, float] | tuple[str, int, int]

#: How a row is read from the column of a fact or node.
IS, DIGIT, FROM, UP_TO = "is", "digit", "from", "up_to"
#: A choice with so many options is read digit by digit: fewer rows to read, more to join.
MANY = 9
#: Codes that fit into one byte; there are no digits beyond.
BYTE = 256

#: How a row is made of others.
AND, OR, NOT = "and", "or", "not"


@dataclass(frozen=True)
class Inputs:
    """Rows ``start`` to ``stop``, read from one column: digits (masks) or limits."""

    name: str
    how: str
    numbers: NDArray[np.generic]
    """Shape (rows, 1)."""
    start: int
    stop: int


@dataclass(frozen=True)
class Layer:
    """Rows ``start`` to ``stop``, each made of rows below: ``left`` joined to ``right``."""

    how: str
    left: Rows
    right: Rows
    start: int
    stop: int


class Circuit:
    """``conditions`` and all their parts as rows.

    ``row`` has the row of each condition, part and single test, and whether it holds where
    the row's bit is not set; ``reads`` the names of the facts and nodes they read;
    ``height`` is the number of rows.
    """

    def __init__(self, conditions: Iterable[Condition]) -> None:
        draft = _Draft(list(conditions))
        place = draft.places()
        self.row: dict[Condition, tuple[int, bool]] = {
            c: (place[_row_of(sign)], sign < 0) for c, sign in draft.sign.items()
        }
        self.inputs = tuple(draft.inputs(place))
        self.layers = tuple(draft.layers(place))
        self.height = len(place)
        self.bottom = self.inputs[-1].stop if self.inputs else 0
        """Rows below this one are read from the columns."""
        self.widest = max((part.stop - part.start for part in self.inputs), default=0)
        self.reads = frozenset(part.name for part in self.inputs)


class _Draft:
    """Rows in the making, numbered as they come; equal ones are one.

    A sign stands for a row (0, 1, ...) or for its opposite (-1, -2, ...).
    """

    def __init__(self, conditions: list[Condition]) -> None:
        self.recipes: list[Recipe] = []
        self._known: dict[Recipe, int] = {}
        self._level: list[int] = []
        self._sets = _choice_sets(conditions)
        self._set_signs: dict[tuple[str, frozenset[int]], int] = {}
        self.sign: dict[Condition, int] = {}
        for condition in conditions:
            self.add(condition)

    def add(self, condition: Condition) -> int:
        """Sign of a condition, made where it is not there yet."""
        if condition not in self.sign:
            self.sign[condition] = self._made(condition)
        return self.sign[condition]

    def _made(self, condition: Condition) -> int:
        match condition:
            case IsOneOf():
                sign = self._one_of(condition)
                return ~sign if condition.negate else sign
            case IsYes():
                sign = self._row((IS, condition.name, True))
                return sign if condition.wanted else ~sign
            case Within():
                return self._within(condition)
            case Both():
                how = OR if condition.any_will_do else AND
                return self._joined(how, [self.add(part) for part in condition.parts])
            case Not():
                return ~self.add(condition.part)
        raise TypeError(f"no rows for {condition!r}")

    def _row(self, recipe: Recipe) -> int:
        if recipe not in self._known:
            self._known[recipe] = len(self.recipes)
            self.recipes.append(recipe)
            below = self._below(recipe)
            self._level.append(1 + max(self._level[row] for row in below) if below else 0)
        return self._known[recipe]

    @staticmethod
    def _below(recipe: Recipe) -> tuple[int, ...]:
        how, left, right = recipe
        if isinstance(left, str):
            return ()
        return (left,) if how == NOT else (left, int(right))

    def _pair(self, how: str, one: int, other: int) -> int:
        """Two signs joined; only where just one is an opposite does that take a row."""
        if one < 0 and other < 0:  # De Morgan
            return ~self._pair(OR if how == AND else AND, ~one, ~other)
        rows = [self._row((NOT, ~sign, ~sign)) if sign < 0 else sign for sign in (one, other)]
        return self._row((how, min(rows), max(rows)))

    def _joined(self, how: str, signs: Iterable[int]) -> int:
        """Signs joined two by two, the lowest first, so that chains stay short."""

        def order(sign: int) -> tuple[int, bool, int]:
            return (self._level[_row_of(sign)], sign < 0, sign)

        left = sorted(set(signs), key=order)
        while len(left) > 1:
            pair = self._pair(how, *left[:2])
            left = sorted({*left[2:], pair}, key=order)
        return left[0]

    def _within(self, test: Within) -> int:
        rows = []
        if test.low > -np.inf:
            rows.append(self._row((FROM, test.name, test.low)))
        if test.high < np.inf or not rows:
            rows.append(self._row((UP_TO, test.name, test.high)))
        return self._joined(AND, rows)

    def _one_of(self, test: IsOneOf) -> int:
        codes = frozenset(int(code) for code in test.codes)
        if (test.name, codes) not in self._set_signs:
            sets = self._sets.pop(test.name)
            self._set_signs.update(
                {(test.name, one): sign for one, sign in self._sets_of(test, sets).items()}
            )
        return self._set_signs[test.name, codes]

    def _sets_of(self, test: IsOneOf, sets: set[frozenset[int]]) -> dict[frozenset[int], int]:
        """Signs of sets of options of one choice; what several have in common is shared."""
        everything = frozenset(range(test.options))
        small = {one: one if 2 * len(one) <= test.options else everything - one for one in sets}
        left = {one: {self._option(test, code) for code in small[one]} for one in sets}
        while pairs := Counter(
            pair for signs in left.values() for pair in combinations(sorted(signs), 2)
        ):
            best = min(pairs, key=lambda pair: (-pairs[pair], pair))
            joined = self._pair(OR, *best)
            for signs in left.values():
                if signs.issuperset(best):
                    signs.difference_update(best)
                    signs.add(joined)
        found = {}
        for one, signs in left.items():
            sign = signs.pop() if signs else self._never(test)
            found[one] = sign if small[one] == one else ~sign
        return found

    def _never(self, test: IsOneOf) -> int:
        """Row that holds in no world: a code that no option has."""
        return self._row((IS, test.name, test.options))

    def _option(self, test: IsOneOf, code: int) -> int:
        """Sign of one option; of many, by the binary digits that tell it from the others."""
        if not MANY <= test.options <= BYTE:
            return self._row((IS, test.name, code))
        digits = []
        for digit, wanted in _telling(code, test.options):
            row = self._row((DIGIT, test.name, digit))
            digits.append(row if wanted else ~row)
        while len(digits) > 1:  # neighbours first: options have those pairs in common
            pairs = [digits[i : i + 2] for i in range(0, len(digits), 2)]
            digits = [self._joined(AND, pair) for pair in pairs]
        return digits[0]

    def places(self) -> dict[int, int]:
        """Final place of every row that is needed: inputs by column, then level by level."""
        needed: set[int] = set()
        waiting = [_row_of(sign) for sign in self.sign.values()]
        while waiting:
            row = waiting.pop()
            if row not in needed:
                needed.add(row)
                waiting += self._below(self.recipes[row])

        def order(row: int) -> tuple[int, str, str, float]:
            how, left, right = self.recipes[row]
            if isinstance(left, str):
                return (0, left, how, right)
            return (self._level[row], how, "", row)

        return {row: place for place, row in enumerate(sorted(needed, key=order))}

    def inputs(self, place: dict[int, int]) -> Iterator[Inputs]:
        """Neighbouring rows that are read from one column in the same way."""
        groups: dict[tuple[str, str], list[float]] = {}
        for row in place:
            how, left, right = self.recipes[row]
            if isinstance(left, str):
                groups.setdefault((left, how), []).append(right)
        start = 0
        for (name, how), numbers in groups.items():
            column = np.array(numbers, dtype=_type_of(how, numbers))[:, None]
            yield Inputs(name, how, column, start, start + len(numbers))
            start += len(numbers)

    def layers(self, place: dict[int, int]) -> Iterator[Layer]:
        """Neighbouring rows made in the same way of rows below them."""
        groups: dict[tuple[int, str], list[int]] = {}
        for row in place:
            how, left, _ = self.recipes[row]
            if not isinstance(left, str):
                groups.setdefault((self._level[row], how), []).append(row)
        for (_, how), rows in groups.items():
            joined = [[place[int(part)] for part in self.recipes[row][1:]] for row in rows]
            left, right = np.array(joined, dtype=np.intp).T
            start = place[rows[0]]
            yield Layer(how, left.copy(), right.copy(), start, start + len(rows))


def _row_of(sign: int) -> int:
    return ~sign if sign < 0 else sign


def _type_of(how: str, numbers: list[float]) -> np.dtype[np.generic]:
    if how in (FROM, UP_TO):
        return np.dtype(np.float64)
    if numbers == [True] and isinstance(numbers[0], bool):
        return np.dtype(np.bool_)
    return np.min_scalar_type(int(max(numbers)))


def _tests(condition: Condition) -> Iterator[Condition]:
    if isinstance(condition, Both):
        for part in condition.parts:
            yield from _tests(part)
    elif isinstance(condition, Not):
        yield from _tests(condition.part)
    else:
        yield condition


def _choice_sets(conditions: Iterable[Condition]) -> dict[str, set[frozenset[int]]]:
    """The sets of options asked for, by choice."""
    sets: dict[str, set[frozenset[int]]] = {}
    for condition in conditions:
        for test in _tests(condition):
            if isinstance(test, IsOneOf):
                codes = frozenset(int(code) for code in test.codes)
                sets.setdefault(test.name, set()).add(codes)
    return sets


def _telling(code: int, options: int) -> list[tuple[int, bool]]:
    """Binary digits that tell ``code`` from all other codes below ``options``."""
    keep = (1 << (options - 1).bit_length()) - 1
    for digit in _digits(keep):
        fewer = keep & ~digit
        if all((other ^ code) & fewer for other in range(options) if other != code):
            keep = fewer
    return [(digit, bool(code & digit)) for digit in _digits(keep)]


def _digits(mask: int) -> list[int]:
    return [1 << k for k in range(mask.bit_length()) if mask >> k & 1]
