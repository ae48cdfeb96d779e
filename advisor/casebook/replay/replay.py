"""Calculating stored advice again, and saying what differs and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from advisor import __version__
from advisor.advice.advise import advise
from advisor.casebook.cases.advised import Advised, advised
from advisor.casebook.replay.stored_rules import CannotRead, pack_of
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack

#: Figures have four digits; other processors and other versions of numpy may differ in the last.
CLOSE = 1.001e-3


class Result(StrEnum):
    """What a replay found."""

    IDENTICAL = "identical"
    CLOSE = "the same but for the last digit of figures"
    DIFFERS = "differs"
    NOT_READ = "cannot be replayed"


@dataclass(frozen=True)
class Replayed:
    """One advice calculated again."""

    result: Result
    differences: tuple[str, ...] = ()
    """Where in the result, what was stored and what is found now."""
    cause: str = ""
    """Whether the rules or the program are the cause."""


def again(case: Case, stored: Advised, pack: RulePack) -> Replayed:
    """The advice on ``case`` once more, under a pack, against what was stored.

    The pack is the stored one, or another to see what would be advised now.
    """
    found = advised(advise(case, pack, stored.result["worlds"], flips=False))
    if found.digest == stored.digest:
        return Replayed(Result.IDENTICAL)
    differences = tuple(_differences("", stored.result, found.result))
    if not differences:
        return Replayed(Result.CLOSE)
    return Replayed(Result.DIFFERS, differences, _cause(stored, pack))


def _cause(stored: Advised, pack: RulePack) -> str:
    causes = []
    if pack.digest != stored.pack:
        causes.append(
            f"other rules ({stored.version or stored.pack[:12]}, now "
            f"{pack.version or pack.digest[:12]})"
        )
    if __version__ != stored.program:
        causes.append(f"another program ({stored.program}, now {__version__})")
    return " and ".join(causes) or (
        "same rules and same version of the program: the program was changed without a new "
        "version, or this machine calculates otherwise"
    )


def _differences(where: str, before: Any, now: Any) -> Iterator[str]:
    if isinstance(before, dict) and isinstance(now, dict):
        for name in [*before, *(name for name in now if name not in before)]:
            inner = f"{where}.{name}" if where else name
            yield from _differences(inner, before.get(name), now.get(name))
    elif isinstance(before, list) and isinstance(now, list):
        named, others = _named(before), _named(now)
        for name in [*named, *(name for name in others if name not in named)]:
            yield from _differences(f"{where} {name}", named.get(name), others.get(name))
    elif not _same(before, now):
        yield f"{where}: {_said(before)}, now {_said(now)}"


def _named(listed: list[Any]) -> dict[str, Any]:
    """Entries by what they are called, so that another order alone is no difference."""
    if all(isinstance(each, str) for each in listed):
        return {"order": ", ".join(listed)} if listed else {}
    return {_name(each): each for each in listed}


def _name(entry: dict[str, Any]) -> str:
    parts = (entry.get(key) for key in ("method", "variant", "gate", "demand", "site"))
    return ".".join(str(part) for part in parts if part)


def _same(before: Any, now: Any) -> bool:
    numbers = all(
        isinstance(each, int | float) and not isinstance(each, bool) for each in (before, now)
    )
    if numbers:
        return bool(abs(before - now) <= CLOSE * max(abs(before), abs(now)))
    return bool(before == now)


def _said(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "something else" if len(value) > 4 else str(value)
    return str(value)


def files_that_changed_it(
    case: Case, stored: Advised, before: Mapping[str, bytes], now: Mapping[str, bytes]
) -> list[str]:
    """Files of the rules each of which alone, as it is now, changes the advice.

    ``before`` and ``now`` are files by name. A file that does not go with the old ones by
    itself is named as well: what it changed cannot be told apart.
    """
    found = []
    for name in sorted({*before, *now}):
        if before.get(name) == now.get(name):
            continue
        mixed = {**before}
        mixed.pop(name, None)
        if name in now:
            mixed[name] = now[name]
        try:
            pack = pack_of(mixed)
        except CannotRead:
            found.append(f"{name} (with others)")
            continue
        if again(case, stored, pack).result is Result.DIFFERS:
            found.append(name)
    return found
