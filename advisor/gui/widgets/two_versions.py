"""What is asked about two versions of a case, and what may be answered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from advisor.facts.quantity import System

if TYPE_CHECKING:
    from advisor.session.compare_cases import Difference


class Choice(StrEnum):
    """What to do with two versions of a case."""

    MINE = "mine"
    THEIRS = "theirs"
    PICKED = "picked"
    OTHER_NAME = "other name"
    CANCEL = "cancel"


@dataclass(frozen=True)
class Versions:
    """What is shown: where two versions differ, what they are called, what may be done."""

    title: str
    intro: str
    mine: str
    theirs: str
    rows: tuple[Difference, ...]
    system: System
    choices: Sequence[tuple[Choice, str]]
    """With their words, the harmless one last: it is what Esc does."""
    faults: Sequence[str] = ()
    """What could not be read of one of them."""
