"""Where the options of a long list stand: under headings, in columns. Knows no Qt."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from advisor.facts.declaration import Option

REST = "Other"
"""Heading of the options that name no group, in a list that has groups."""


@dataclass(frozen=True)
class Block:
    """A heading with the options under it."""

    title: str
    keys: tuple[str, ...]


def blocks(options: Iterable[Option]) -> tuple[Block, ...]:
    """Options under their headings, both in the order in which they were declared."""
    found: dict[str, list[str]] = {}
    for option in options:
        found.setdefault(option.group or REST, []).append(option.key)
    return tuple(Block(title, tuple(keys)) for title, keys in found.items())


def usual(options: Iterable[Option], vehicles: Collection[str]) -> tuple[Option, ...]:
    """The options that are usual in one of ``vehicles``; all, where none is known."""
    return tuple(
        option
        for option in options
        if not vehicles or not option.usual_in or not set(vehicles).isdisjoint(option.usual_in)
    )


def found(
    options: Iterable[Option], text: str, vehicles: Collection[str] = ()
) -> tuple[Option, ...]:
    """Options in which every word of ``text`` begins a word, the best match first.

    What is usual in ``vehicles`` comes first. The title counts before the sentence, the
    sentence before what people also call it, and that before the heading; within one of these
    the order is kept. What people call it, typed as it is, counts like a word of the title. A
    word that begins no word anywhere is looked for inside.
    """
    asked = text.lower().split()
    rated = [(_rate(option, asked), option) for option in options]
    best = min((rate for rate, _ in rated if rate is not None), default=None)
    if best is None:
        return ()
    # Where a word begins with it, a hit in the middle of some other is only noise.
    limit = _INSIDE if best < _INSIDE else _INSIDE + 1
    kept = [(rate, option) for rate, option in rated if rate is not None and rate < limit]
    at_home = set(usual((option for _, option in kept), vehicles))
    kept.sort(key=lambda pair: (pair[1] not in at_home, pair[0]))
    return tuple(option for _, option in kept)


_INSIDE = 5
"""Rate of a word that only stands inside another one."""


def _rate(option: Option, asked: Sequence[str]) -> int | None:
    """How well an option matches, 0 best; None where it does not."""
    typed = " ".join(asked)
    if typed and any(phrase.lower().startswith(typed) for phrase in option.words):
        return 1
    rates = [_rate_word(option, word) for word in asked]
    known = [rate for rate in rates if rate is not None]
    return max(known, default=0) if len(known) == len(rates) else None


def _rate_word(option: Option, word: str) -> int | None:
    title = option.title.lower()
    if title.startswith(word):
        return 0
    also = " ".join(option.words).lower()
    texts = (title, option.sentence.lower(), also, option.group.lower())
    for rate, text in enumerate(texts, start=1):
        if any(part.startswith(word) for part in _words(text)):
            return rate
    return _INSIDE if word in f"{title} {option.sentence.lower()}" else None


def _words(text: str) -> list[str]:
    return "".join(letter if letter.isalnum() else " " for letter in text).split()


def columns(heights: Sequence[float], count: int) -> tuple[tuple[int, ...], ...]:
    """Blocks of these heights in at most ``count`` columns, in order, as low as may be.

    Each column holds the indices of its blocks.
    """
    if not heights:
        return ()
    sums = sorted(
        {sum(heights[i:j]) for i in range(len(heights)) for j in range(i + 1, len(heights) + 1)}
    )
    limit = next(high for high in sums if len(_filled(heights, high)) <= max(count, 1))
    return _filled(heights, limit)


def _filled(heights: Sequence[float], limit: float) -> tuple[tuple[int, ...], ...]:
    """Columns filled one after the other up to ``limit``; a block higher than it fills one."""
    filled: list[list[int]] = [[]]
    used = 0.0
    for index, height in enumerate(heights):
        if filled[-1] and used + height > limit:
            filled.append([])
            used = 0.0
        filled[-1].append(index)
        used += height
    return tuple(tuple(column) for column in filled)
