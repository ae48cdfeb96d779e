"""Worlds judged per second by this program, by general rule engines and by plain Python.

Run with ``python tests/benchmarks/engines.py``. All get the same conditions (those of the
rules that read facts only) and the same worlds, and must give the same answers and the same
trace: the outcome of every single test and of every condition in every world. Both are
compared; any difference ends the run. What is built once from the rules is not timed for
any of them, nor is reading the trace afterwards; the collector of garbage is off for all.

* this program: ``Judged``, the code that ``advise`` uses; columns in, rows of bits out.
* zen-engine: one compiled expression with all tests and conditions, evaluated on each world.
  Not used: its decision graphs with their own trace, its tables, its batches; all slower.
* CLIPS (clipspy): one rule that binds all tests. Not used: its network, which spares the
  work of rules whose facts have not changed. Here every world is new.
* plain Python, one loop over the worlds: source generated from the conditions, each test
  once; the same with a table of what each option answers instead of the tests (then no rule
  is followed any more: the outcomes of a fact are handed over ready-made); and, without any
  trace, generated source and one closure a condition.
"""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from advisor.facts.declaration import Kind
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.circuit import Circuit
from advisor.rulegraph.model.judged import Judged
from advisor.rulegraph.model.pack import RulePack
from tests.benchmarks.rivals import (
    Rival,
    Task,
    World,
    clips_engine,
    python_closures,
    python_generated,
    python_tabulated,
    task_of,
    zen_engine,
)
from tests.published.test_published_rules_clips import conditions_of, expression, random_values

BATCHES = (4096, 16_384, 65_536, 262_144)
TOLD = 2048
SOUGHT = 500


def plain(pack: RulePack, name: str, value: Any) -> object:
    """One answer as Python has it."""
    decl = pack.facts[name]
    if decl.kind is Kind.CHOICE:
        return decl.keys[int(value)]
    return bool(value) if decl.kind is Kind.YES_NO else float(value)


def as_symbol(name: str, value: Any) -> str:
    """One answer as a CLIPS symbol."""
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)


def timed(action: Callable[[], Any], repeats: int) -> tuple[float, Any]:
    """Best of several runs, and what came out."""
    best, result = float("inf"), None
    gc.collect()
    gc.disable()
    for _ in range(repeats):
        result = None
        start = time.perf_counter()
        result = action()
        best = min(best, time.perf_counter() - start)
    gc.enable()
    return best, result


def same(task: Task, judged: Judged, rival: Rival, found: Any) -> None:
    """End the run where an answer or a test came out otherwise."""
    tests, answers = rival.decode(found)
    for i, condition in enumerate(task.conditions):
        if (judged.mask(condition) != answers[i]).any():
            raise SystemExit(f"{rival.title} answers otherwise: {condition}")
    for i, test in enumerate(task.tests if tests is not None else ()):
        assert tests is not None
        if (judged.mask(test) != tests[i]).any():
            raise SystemExit(f"{rival.title} traces otherwise: {test}")


def rivals(task: Task, worlds: list[World]) -> list[Rival]:
    """All the others, those that trace first."""
    return [
        zen_engine(task, worlds),
        clips_engine(task, worlds, expression, as_symbol),
        python_generated(task, worlds, trace=True),
        python_tabulated(task, worlds),
        python_generated(task, worlds, trace=False),
        python_closures(task, worlds),
    ]


def main() -> None:
    """Print the table."""
    pack = load_pack()
    task = task_of(list(conditions_of(pack).values()), dict(pack.facts))
    start = time.perf_counter()
    circuit = Circuit(task.conditions)
    spent = (time.perf_counter() - start) * 1e3
    print(f"{len(task.conditions)} conditions, {len(task.tests)} different tests in them, on "
          f"{len(task.names)} facts; compiled in {spent:.0f} ms to {circuit.height} rows of bits")
    rates = {}
    for n in BATCHES:
        values = random_values(pack, n)
        spent, judged = timed(lambda v=values, n=n: Judged(circuit, v, n), 30)
        rates[n] = n / spent
        if n == BATCHES[0]:
            few = {name: values[name][:TOLD] for name in task.names}
            judged = Judged(circuit, few, TOLD)
            first = judged
        each = 1e9 / rates[n]
        print(f"this program, {n:>7} worlds {rates[n]:>13,.0f} worlds/s, {each:5.1f} ns a world")
    worlds = [{n: plain(pack, n, few[n][i]) for n in task.names} for i in range(TOLD)]
    print(f"{'':<42}{'worlds/s':>11}   this program, by worlds at a time: "
          + ", ".join(f"{n}" for n in BATCHES))
    for rival in rivals(task, worlds):
        spent, found = timed(rival.judge, 7)
        same(task, first, rival, found)
        theirs = TOLD / spent
        ahead = "  ".join(f"x{rates[n] / theirs:>6,.0f}" for n in BATCHES)
        short = [f"{n}" for n in BATCHES if rates[n] / theirs < SOUGHT]
        note = f"   under x{SOUGHT} at {', '.join(short)}" if short else ""
        print(f"{rival.title:<42}{theirs:>11,.0f}   {ahead}{note}")


if __name__ == "__main__":
    np.seterr(all="raise")
    main()
