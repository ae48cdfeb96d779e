"""Worlds judged per second by this program and by general rule engines, in one run.

Run with ``python tests/benchmarks/engines.py``. Every engine gets the same conditions (all
that read facts only) and must say for each world which of them hold: that is the trace.
Each stands in the best form found for it:

* arrays: this program, all worlds at once, one mask a condition;
* plain Python: one closure a condition, called world by world on a dict;
* CLIPS (clipspy): one rule a condition, one fact a world. Its strength, few changes in a
  large memory, is not used: every world is new.
* zen-engine: each condition compiled once to an expression, evaluated world by world. Its
  decision tables and graphs are not used; they would add to the time.

The answers are compared: any difference ends the run.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import clips
import numpy as np
import zen

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from advisor.facts.declare import Kind
from advisor.rulegraph.conditions import Both, Condition, IsOneOf, IsYes, Within
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.pack import RulePack
from tests.published.test_published_rules_clips import (
    conditions_of,
    expression,
    random_values,
    slot,
    written,
)

WORLDS = 4096
SLOW_WORLDS = 512


def python_text(c: Condition) -> str:
    """A condition as a Python expression on a dict called w."""
    if isinstance(c, IsOneOf):
        return f"(w[{c.name!r}] {'not in' if c.negate else 'in'} {tuple(sorted(c.keys))!r})"
    if isinstance(c, IsYes):
        return f"(w[{c.name!r}] is {c.wanted})"
    if isinstance(c, Within):
        low = f"{c.low!r} <= " if np.isfinite(c.low) else ""
        high = f" <= {c.high!r}" if np.isfinite(c.high) else ""
        return f"({low}w[{c.name!r}]{high})"
    if isinstance(c, Both):
        return "(" + (" or " if c.any_will_do else " and ").join(map(python_text, c.parts)) + ")"
    return f"(not {python_text(c.part)})"  # type: ignore[attr-defined]


def zen_text(c: Condition) -> str:
    """A condition in zen's expression language."""
    if isinstance(c, IsOneOf):
        keys = ", ".join(f"'{key}'" for key in sorted(c.keys))
        return f"({zen_name(c.name)} {'not in' if c.negate else 'in'} [{keys}])"
    if isinstance(c, IsYes):
        return f"({zen_name(c.name)} == {str(c.wanted).lower()})"
    if isinstance(c, Within):
        tests = []
        if np.isfinite(c.low):
            tests.append(f"{zen_name(c.name)} >= {c.low:.9f}")
        if np.isfinite(c.high):
            tests.append(f"{zen_name(c.name)} <= {c.high:.9f}")
        return "(" + " and ".join(tests) + ")"
    if isinstance(c, Both):
        return "(" + (" or " if c.any_will_do else " and ").join(map(zen_text, c.parts)) + ")"
    return f"(not {zen_text(c.part)})"  # type: ignore[attr-defined]


def zen_name(name: str) -> str:
    return name.replace(".", "_")


def plain(pack: RulePack, name: str, value: object) -> object:
    """One answer as Python has it."""
    decl = pack.facts[name]
    if decl.kind is Kind.CHOICE:
        return decl.keys[int(value)]  # type: ignore[call-overload]
    return bool(value) if decl.kind is Kind.YES_NO else float(value)  # type: ignore[arg-type]


def timed(action: Callable[[], np.ndarray], repeats: int = 3) -> tuple[float, np.ndarray]:
    """Best of several runs, and what came out."""
    best, result = float("inf"), None
    for _ in range(repeats):
        start = time.perf_counter()
        result = action()
        best = min(best, time.perf_counter() - start)
    assert result is not None
    return best, result


def main() -> None:
    """Print the table."""
    pack = load_pack()
    conditions = list(conditions_of(pack).values())
    values = random_values(pack, WORLDS)
    few = {name: column[:SLOW_WORLDS] for name, column in values.items()}
    names = sorted(values)
    worlds = [
        {name: plain(pack, name, few[name][i]) for name in names} for i in range(SLOW_WORLDS)
    ]

    def arrays() -> np.ndarray:
        return np.stack([c.test(values) for c in conditions])

    closures = [eval(f"lambda w: {python_text(c)}") for c in conditions]

    def by_python() -> np.ndarray:
        return np.array([[f(w) for w in worlds] for f in closures])

    expressions = [zen.compile_expression(zen_text(c)) for c in conditions]
    told = [{zen_name(k): v for k, v in w.items()} for w in worlds]

    def by_zen() -> np.ndarray:
        return np.array([[e.evaluate(w) for w in told] for e in expressions])

    engine, holding = clips_engine(names, conditions)
    lines = [
        " ".join(f"({n.replace('.', '-')} {written(pack, n, few[n][i])})" for n in names)
        for i in range(SLOW_WORLDS)
    ]

    def by_clips() -> np.ndarray:
        found = np.zeros((len(conditions), SLOW_WORLDS), dtype=bool)
        for i, line in enumerate(lines):
            engine.reset()
            engine.assert_string(f"(case {line})")
            holding.clear()
            engine.run()
            found[holding, i] = True
        return found

    spent, ours = timed(arrays, 7)
    rate = WORLDS / spent
    print(f"{len(conditions)} conditions")
    print(f"{'arrays (this program)':<24}{rate:>12,.0f} worlds/s")
    rates = {}
    for title, action in (
        ("plain Python", by_python), ("zen-engine", by_zen), ("CLIPS (clipspy)", by_clips),
    ):  # fmt: skip
        spent, theirs = timed(action)
        if (theirs != ours[:, :SLOW_WORLDS]).any():
            raise SystemExit(f"{title} answers otherwise")
        rates[title] = SLOW_WORLDS / spent
        ahead = rate / rates[title]
        print(f"{title:<24}{rates[title]:>12,.0f} worlds/s   this program x{ahead:,.0f}")
    fastest = max(rates[t] for t in ("zen-engine", "CLIPS (clipspy)"))
    print(f"against the fastest general engine: x{rate / fastest:,.0f}")


def clips_engine(
    names: list[str], conditions: list[Condition]
) -> tuple[clips.Environment, list[int]]:
    """A CLIPS environment with one rule a condition."""
    engine = clips.Environment()
    holding: list[int] = []
    engine.define_function(holding.append, name="holds")
    slots = " ".join(f"(slot {name.replace('.', '-')})" for name in names)
    engine.build(f"(deftemplate case {slots})")
    for number, condition in enumerate(conditions):
        read = sorted(set(condition.names()))
        pattern = " ".join(f"({name.replace('.', '-')} {slot(name)})" for name in read)
        engine.build(
            f"(defrule r{number} (case {pattern}) (test {expression(condition)})"
            f" => (holds {number}))"
        )
    return engine, holding


if __name__ == "__main__":
    main()
