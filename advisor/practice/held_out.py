"""Kinds of cases that are kept for the transfer tests: a part with a damage, never practised on.

A test on cases that differ from the practised ones by their figures alone shows what was
remembered; one on parts and damages in combinations that never came up shows what was learned.
"""

from __future__ import annotations

import hashlib

from advisor.facts.case import DAMAGE, PART, Case

#: One of so many combinations of part and damage is kept for tests.
ONE_OF = 5


def is_for_tests(part: str, damage: str) -> bool:
    """Whether this damage on this part is kept for tests, the same on every machine."""
    digest = hashlib.sha256(f"{part}/{damage}".encode()).digest()
    return int.from_bytes(digest[:4]) % ONE_OF == 0


def is_practised(part: str, damage: str) -> bool:
    """Whether this damage on this part comes up in practice."""
    return not is_for_tests(part, damage)


def may_come_up(case: Case) -> bool:
    """Whether practice may bring this case up by itself."""
    return is_practised(case.choice(PART) or "", case.choice(DAMAGE) or "")
