"""Where the options of a long list stand: under headings, in columns. Knows no Qt."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from advisor.facts.alike_words import alike, same_word, telling_words, words_of
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
    options: Sequence[Option], text: str, vehicles: Collection[str] = ()
) -> tuple[Option, ...]:
    """Options in which every word of ``text`` begins a word, the best match first.

    Its own title finds an option first, then what is usual in ``vehicles``. The title counts
    before the sentence, the sentence before what people also call it, and that before the
    heading; within one of these the order is kept. What people call it, typed as it is, counts
    like a word of the title. A word that begins no word anywhere is looked for inside. Where no
    option has all the words, as when a customer's sentence is typed, those come that have the
    most telling ones, endings aside; a word that none has stands for those said in its place.
    """
    asked = words_of(text)
    bare = [word for word in asked if word not in vehicles]
    if bare and len(bare) < len(asked):
        # "Bus seat", said in a bus: any seat of it may be meant.
        named = found(options, text)
        rest = found(options, " ".join(bare), vehicles)
        return named + tuple(option for option in rest if option not in named)
    rated = [(_rate(option, asked), option) for option in options]
    best = min((rate for rate, _ in rated if rate is not None), default=None)
    if best is None:
        return _with_some(options, asked, vehicles)
    # Where a word begins with it, a hit in the middle of some other is only noise.
    limit = _INSIDE if best < _INSIDE else _INSIDE + 1
    kept = [(rate, option) for rate, option in rated if rate is not None and rate < limit]
    at_home = set(usual((option for _, option in kept), vehicles))
    typed = " ".join(asked)
    kept.sort(
        key=lambda pair: (
            " ".join(words_of(pair[1].title)) != typed, pair[1] not in at_home, pair[0]
        )
    )
    several = tuple(option for _, option in kept)
    if len(asked) > 1 and best == _CALLED:
        # All words somewhere in what it is also called: another may be meant as well.
        some = _with_some(options, asked, vehicles)
        several += tuple(option for option in some if option not in several)
    return several


_CALLED = 3
"""Rate of a word of what people also call it."""
_INSIDE = 5
"""Rate of a word that only stands inside another one."""


def _rate(option: Option, asked: Sequence[str]) -> int | None:
    """How well an option matches, 0 best; None where it does not."""
    typed = " ".join(asked)
    if typed and any(" ".join(words_of(phrase)).startswith(typed) for phrase in option.words):
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
        if any(part.startswith(word) for part in words_of(text)):
            return rate
    return _INSIDE if word in f"{title} {option.sentence.lower()}" else None


def _with_some(
    options: Sequence[Option], asked: Sequence[str], vehicles: Collection[str]
) -> tuple[Option, ...]:
    """Options that have some of the words. A word counts the more the fewer options have it."""
    words = {option.key: words_of(_said(option)) for option in options}
    scores: Counter[str] = Counter()
    for one in sorted(telling_words(" ".join(asked))):
        having = [key for key, own in words.items() if any(same_word(one, w) for w in own)]
        if not having:
            having = [key for key, own in words.items() if any(alike(one, w) for w in own)]
        scores.update(dict.fromkeys(having, len(having) ** -0.5) if having else {})
    best = max(scores.values(), default=0.0)
    kept = [option for option in options if scores[option.key] > best * _NEAR]
    at_home = set(usual(kept, vehicles))
    kept.sort(key=lambda option: (-scores[option.key], option not in at_home))
    return tuple(kept)


_NEAR = 0.25
"""Share of the best option's score from which another is shown as well."""


def _said(option: Option) -> str:
    return " ".join((option.title, option.sentence, *option.words))


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
