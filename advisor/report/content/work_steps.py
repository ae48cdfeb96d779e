"""Steps of the work as blocks, the cautions beside them said once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import groupby

from advisor.report.blocks import WorkStep, WorkSteps
from advisor.wording.sentences import sentence

Step = tuple[str, str, str, tuple[str, ...]]
"""Key and title of the method, text, cautions."""


def work_steps(steps: Iterable[Step]) -> Iterator[tuple[str, WorkSteps]]:
    """Each run of steps of one method with its key, in the order of the work, numbered through.

    A caution stands in full at its first step, then its subject and where it stands.
    """
    said: dict[str, int] = {}
    for (key, title), run in groupby(enumerate(steps, 1), lambda pair: pair[1][:2]):
        yield key, WorkSteps(title, tuple(
            WorkStep(str(number), sentence(text), _cautions(number, cautions, said))
            for number, (_, _, text, cautions) in run
        ))  # fmt: skip


def _cautions(number: int, cautions: Iterable[str], said: dict[str, int]) -> tuple[str, ...]:
    found = []
    for text in cautions:
        if text in said:
            subject = text[: len(re.split(r"[:;.]", text, maxsplit=1)[0])]
            found.append(f"{subject}: see step {said[text]}.")
        else:
            said[text] = number
            found.append(sentence(text))
    return tuple(found)
