"""Advice that is worked out once for all tests that ask for it.

The same case under the same rules gives the same advice, bit for bit, which
``tests/unit/advice/sampling/test_worlds.py`` and the property tests hold; so a test that is
about something else may be given what was worked out for another.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator
from typing import Any

from advisor.advice.advise import Advised
from advisor.facts.case import Case

#: Advices held at a time, each with some ten megabytes of working.
MOST = 24


class _Kept:
    """What was worked out for a case under a pack; the last few."""

    def __init__(self) -> None:
        self._found: OrderedDict[tuple[object, ...], tuple[object, Any]] = OrderedDict()

    def get(self, *of: object) -> Any:
        """What was put for the same case and the very same other things; None where nothing."""
        found = self._found.get(self._key(of))
        if found is None:
            return None
        self._found.move_to_end(self._key(of))
        return found[1]

    def put(self, result: Any, *of: object) -> None:
        """Keep ``result``, and what its key names, so that no other thing takes its id."""
        self._found[self._key(of)] = of, result
        while len(self._found) > MOST:
            self._found.popitem(last=False)

    @staticmethod
    def _key(of: tuple[object, ...]) -> tuple[object, ...]:
        return tuple(repr(part) if isinstance(part, Case) else id(part) for part in of)


def remembered(advise: Callable[[Case, Any], Advised]) -> Callable[[Case, Any], Advised]:
    """``advise``, which works a case out only once under one pack."""
    kept = _Kept()

    def found(case: Case, pack: Any) -> Advised:
        advice = kept.get(case, pack)
        if advice is None:
            advice = advise(case, pack)
            kept.put(advice, case, pack)
        return advice

    return found


def steps_remembered(
    advise: Callable[[Case, Any, Advised], Iterator[Advised]],
) -> Callable[[Case, Any, Advised], Iterator[Advised]]:
    """``advise`` in steps, which gives the same steps again once it came to its end."""
    kept = _Kept()

    def found(case: Case, pack: Any, quick: Advised) -> Iterator[Advised]:
        steps = kept.get(case, pack, quick)
        if steps is not None:
            yield from steps
            return
        steps = []
        for step in advise(case, pack, quick):
            steps.append(step)
            yield step
        kept.put(steps, case, pack, quick)

    return found
