"""How much help a topic still gets: from worked examples to alone, by what was answered.

Worked examples help beginners and hinder those who can already (Atkinson, Derry, Renkl and
Wortham 2000, from the abstract), so help fades with good answers and never with the date, and
comes back in full after two misses in a row.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.practice.answers import Help
from advisor.practice.records import KeptRound

#: Good answers in a row that take one step of help away.
STEP_AFTER = 2
#: Misses in a row that bring all help back.
BACK_AFTER = 2


def help_for(topic: str, rounds: Sequence[KeptRound]) -> Help:
    """The help that the next case of a topic comes with, from the rounds so far, oldest first."""
    level, good, missed = Help.WORKED, 0, 0
    for one in rounds:
        if one.test or one.topic != topic:
            continue
        good, missed = (good + 1, 0) if one.good else (0, missed + 1)
        if good >= STEP_AFTER and level < Help.ALONE:
            level, good = Help(level + 1), 0
        if missed >= BACK_AFTER:
            level, missed = Help.WORKED, 0
    return level
