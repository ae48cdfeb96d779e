"""The way through the hazard questions: one page with all of them, and each on its card.

Pure functions of the screens and the case, as in ``interview``.
"""

from __future__ import annotations

from collections.abc import Collection

from advisor.facts.case import Case
from advisor.session.screens import (
    HAZARD_PAGE,
    Entry,
    Tab,
    answered,
    first_of,
    gates,
    open_gates,
    position,
)


def screen_for(order: tuple[Entry, ...], case: Case, fact: str) -> str:
    """Where ``fact`` is asked: an open hazard among others that are open on their page."""
    still = open_gates(order, case)
    return HAZARD_PAGE if fact in still and len(still) > 1 else fact


def next_gate(order: tuple[Entry, ...], case: Case, after: str = "") -> str:
    """The open hazard question that follows ``after``, else the first; empty for none."""
    still, asked = open_gates(order, case), gates(order)
    place = asked.index(after) if after in asked else -1
    return next((key for key in still if asked.index(key) > place), next(iter(still), ""))


def beyond(order: tuple[Entry, ...], case: Case, left: Collection[str]) -> str:
    """What comes after the hazard questions: the first screen that has something to ask."""
    for entry in order:
        own = entry.tab is Tab.HAZARDS and entry.fact is not None and not entry.fact.gate
        if own and not answered(entry, case) and entry.key not in left:
            return entry.key
    return first_of(order, Tab.DETAILS, case, left)


def neighbour(
    order: tuple[Entry, ...], case: Case, left: Collection[str], key: str, by: int
) -> str:
    """The screen one on (1) from ``key``, or one back (-1).

    All hazard questions are one step, taken on their page or, where a single one is open, on
    its card. A card opened from the page leads back to it for as long as others are open.
    """
    asked = gates(order)
    if by > 0 and (key == HAZARD_PAGE or key in asked):
        others = [gate for gate in open_gates(order, case) if gate != key]
        return HAZARD_PAGE if key != HAZARD_PAGE and others else beyond(order, case, left)
    if by < 0 and key in asked:
        if len(asked) > 1:
            return HAZARD_PAGE
        key = HAZARD_PAGE
    index = position(order, key) + by
    found = order[min(max(index, 0), len(order) - 1)].key
    ahead = found == HAZARD_PAGE or found in asked
    return first_of(order, Tab.HAZARDS, case, left) if ahead else found
