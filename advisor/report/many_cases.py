"""Advice on many cases, one after another or on all cores, each rendered where it is made."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.advice.advise import advise
from advisor.facts.case import Case
from advisor.facts.quantity import System
from advisor.report.content.terminal_page import brief_text
from advisor.report.json_forms.advice import advice_json
from advisor.rulegraph.model.pack import RulePack

#: Starting workers pays from so many cases on.
WORTH_SHARING = 24


@dataclass(frozen=True)
class Order:
    """What is wanted of every case."""

    worlds: int
    as_json: bool
    system: System


def advise_all(cases: Sequence[Case], pack: RulePack, order: Order) -> Iterator[str]:
    """The rendered advice for each case, in order, as soon as it is there.

    Only what was rendered travels between the workers, so that memory stays flat.
    """
    cores = os.cpu_count() or 1
    if len(cases) < WORTH_SHARING or cores == 1:
        yield from (_rendered(case, pack, order) for case in cases)
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(cores, initializer=_start, initargs=(pack, order)) as workers:
        yield from workers.map(_work, cases, chunksize=4)


def _rendered(case: Case, pack: RulePack, order: Order) -> str:
    advice = advise(case, pack, order.worlds)
    if order.as_json:
        return json.dumps(advice_json(advice), indent=2, ensure_ascii=False, allow_nan=False)
    return brief_text(advice, order.system)


_WORKER: list[tuple[RulePack, Order]] = []


def _start(pack: RulePack, order: Order) -> None:
    # The pack itself, not its folder: all cases are judged by the same rules.
    _WORKER[:] = [(pack, order)]


def _work(case: Case) -> str:
    pack, order = _WORKER[0]
    return _rendered(case, pack, order)
