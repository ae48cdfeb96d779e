"""Other ways to judge the same conditions, each in the fastest form found for it.

A rival is told worlds one by one and has to say of each world which conditions hold and, as
the trace, what came out of every single test that the conditions are made of. It is built
once; only judging is timed. ``decode`` turns what it recorded into two arrays, of tests and
of conditions, each of shape (number, worlds), so that all can be compared.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import clips
import numpy as np
import zen

from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.conditions import Both, Condition, IsOneOf, IsYes, Not, Within

World = dict[str, Any]


@dataclass(frozen=True)
class Task:
    """Conditions, the single tests in them without repeats, and the facts they read."""

    conditions: list[Condition]
    tests: list[Condition]
    names: list[str]
    facts: dict[str, FactDecl]

    def index(self, test: Condition) -> int:
        """Number of the test that asks the same."""
        return [key_of(one) for one in self.tests].index(key_of(test))


@dataclass(frozen=True)
class Rival:
    """One way to judge: what is timed, and how to read what it recorded."""

    title: str
    judge: Callable[[], Any]
    decode: Callable[[Any], tuple[np.ndarray | None, np.ndarray]]


def tests_of(condition: Condition) -> list[Condition]:
    """The single tests in a condition."""
    if isinstance(condition, Both):
        return [test for part in condition.parts for test in tests_of(part)]
    return tests_of(condition.part) if isinstance(condition, Not) else [condition]


def key_of(test: Condition) -> tuple[Any, ...]:
    """Equal for tests that ask the same."""
    if isinstance(test, IsOneOf):
        return (test.name, test.keys, test.negate)
    if isinstance(test, IsYes):
        return (test.name, test.wanted)
    assert isinstance(test, Within)
    return (test.name, test.low, test.high)


def task_of(conditions: list[Condition], facts: dict[str, FactDecl]) -> Task:
    """Sort out tests and names."""
    tests = {key_of(test): test for c in conditions for test in tests_of(c)}
    names = sorted({test.name for test in tests.values()})  # type: ignore[attr-defined]
    return Task(conditions, list(tests.values()), names, facts)


def joined(c: Condition, words: tuple[str, str, str], test: Callable[[Condition], str]) -> str:
    """A condition with the words for and, or, not of a language that puts them between."""
    if isinstance(c, Both):
        between = f" {words[1] if c.any_will_do else words[0]} "
        return f"({between.join(joined(part, words, test) for part in c.parts)})"
    if isinstance(c, Not):
        return f"({words[2]} {joined(c.part, words, test)})"
    return test(c)


def python_test(c: Condition, value: str) -> str:
    """A test as a Python expression on a variable."""
    if isinstance(c, IsOneOf):
        if len(c.keys) == 1:
            return f"({value} {'!=' if c.negate else '=='} {min(c.keys)!r})"
        return f"({value} {'not in' if c.negate else 'in'} {set(c.keys)!r})"
    if isinstance(c, IsYes):
        return f"({value} is {c.wanted})"
    assert isinstance(c, Within)
    low = f"{c.low!r} <= " if np.isfinite(c.low) else ""
    high = f" <= {c.high!r}" if np.isfinite(c.high) else ""
    return f"({low}{value}{high})"


def python_closures(task: Task, worlds: list[World]) -> Rival:
    """One compiled lambda a condition, called on a dict: no trace is kept."""
    words = ("and", "or", "not")
    lambdas = [
        eval("lambda w: " + joined(c, words, lambda t: python_test(t, f"w[{t.name!r}]")))  # type: ignore[attr-defined]
        for c in task.conditions
    ]

    def judge() -> list[list[bool]]:
        return [[one(w) for one in lambdas] for w in worlds]

    return Rival("Python, a closure a condition, no trace", judge,
                 lambda found: (None, np.array(found).T))  # fmt: skip


def _function(source: str, tables: dict[str, Any]) -> Callable[..., Any]:
    space = dict(tables)
    exec(compile(source, "<conditions>", "exec"), space)
    return space["judge"]  # type: ignore[no-any-return]


def python_generated(task: Task, worlds: list[World], trace: bool) -> Rival:
    """One generated function for all worlds; every test once, kept in a tuple a world."""
    variable = {name: f"x{i}" for i, name in enumerate(task.names)}
    words = ("and", "or", "not")
    written = [python_test(test, variable[test.name]) for test in task.tests]  # type: ignore[attr-defined]
    lines = [f"t{i} = {text}" for i, text in enumerate(written)]
    said = [joined(c, words, lambda t: f"t{task.index(t)}") for c in task.conditions]
    tests = f"({', '.join(f't{i}' for i in range(len(written)))},)"
    if not trace:
        lines, tests = [], "None"
        said = [joined(c, words, lambda t: written[task.index(t)]) for c in task.conditions]
    body = "\n        ".join([*lines, f"add(({tests}, ({', '.join(said)},)))"])
    source = (
        "def judge(columns):\n    found = []\n    add = found.append\n"
        f"    for {', '.join(variable.values())}, in zip(*columns):\n        {body}\n"
        "    return found\n"
    )
    judge = _function(source, {})
    columns = [[w[name] for w in worlds] for name in task.names]

    def decode(found: Any) -> tuple[np.ndarray | None, np.ndarray]:
        answers = np.array([one for _, one in found]).T
        return (np.array([one for one, _ in found]).T if trace else None), answers

    title = "Python, generated source" + ("" if trace else ", no trace")
    return Rival(title, lambda: judge(columns), decode)


def python_tabulated(task: Task, worlds: list[World]) -> Rival:
    """Generated source that looks up what each option answers, instead of testing.

    Every option of a fact has a tuple made beforehand: outcomes of all tests of that fact
    and of all conditions that read nothing else. The trace of a world is those tuples.
    """
    tests = {n: [i for i, t in enumerate(task.tests) if _names(t) == {n}] for n in task.names}
    alone = {
        n: [i for i, c in enumerate(task.conditions) if _names(c) == {n}] for n in task.names
    }
    mixed = [i for i, c in enumerate(task.conditions) if len(_names(c)) > 1]
    wanted = {task.index(test) for i in mixed for test in tests_of(task.conditions[i])}
    tables: dict[str, Any] = {}
    lines, kept = [], []
    for k, name in enumerate(task.names):
        if task.facts[name].kind is Kind.QUANTITY:
            lines += [f"t{i} = {python_test(task.tests[i], f'x{k}')}" for i in tests[name]]
            single = [_said(task, task.conditions[i]) for i in alone[name]]
            outcomes = ", ".join(f"t{i}" for i in tests[name])
            kept.append(f"(({outcomes},), ({''.join(one + ', ' for one in single)}))")
            continue
        used = [i for i in tests[name] if i in wanted]
        tables[f"T{k}"] = {
            option: (
                (
                    tuple(holds(task.tests[i], option) for i in tests[name]),
                    tuple(holds(task.conditions[i], option) for i in alone[name]),
                ),
                *(holds(task.tests[i], option) for i in used),
            )
            for option in _options(task.facts[name])
        }
        lines.append(f"k{k}, {''.join(f't{i}, ' for i in used)} = T{k}[x{k}]")
        kept.append(f"k{k}")
    said = [_said(task, task.conditions[i]) for i in mixed]
    body = "\n        ".join([*lines, f"add((({', '.join(kept)},), ({', '.join(said)},)))"])
    handed = "".join(f", {name}={name}" for name in tables)
    source = (
        f"def judge(columns{handed}):\n    found = []\n    add = found.append\n"
        f"    for {', '.join(f'x{k}' for k in range(len(task.names)))}, in zip(*columns):\n"
        f"        {body}\n    return found\n"
    )
    judge = _function(source, tables)
    columns = [[w[name] for w in worlds] for name in task.names]

    def decode(found: Any) -> tuple[np.ndarray | None, np.ndarray]:
        outcomes = np.empty((len(task.tests), len(found)), dtype=bool)
        answers = np.empty((len(task.conditions), len(found)), dtype=bool)
        for world, (by_fact, rest) in enumerate(found):
            answers[mixed, world] = rest
            for name, (one, other) in zip(task.names, by_fact, strict=True):
                outcomes[tests[name], world] = one
                answers[alone[name], world] = other
        return outcomes, answers

    return Rival("Python, generated and tabulated", lambda: judge(columns), decode)


def _said(task: Task, condition: Condition) -> str:
    return joined(condition, ("and", "or", "not"), lambda t: f"t{task.index(t)}")


def _names(condition: Condition) -> set[str]:
    return set(condition.names())


def _options(decl: FactDecl) -> tuple[Any, ...]:
    return (False, True) if decl.kind is Kind.YES_NO else decl.keys


def holds(condition: Condition, option: Any) -> bool:
    """A condition on one fact, by its answer."""
    if isinstance(condition, Both):
        join = any if condition.any_will_do else all
        return join(holds(part, option) for part in condition.parts)
    if isinstance(condition, Not):
        return not holds(condition.part, option)
    if isinstance(condition, IsOneOf):
        return (option in condition.keys) != condition.negate
    assert isinstance(condition, IsYes)
    return bool(option == condition.wanted)


def zen_engine(task: Task, worlds: list[World]) -> Rival:
    """One compiled expression, a list of all tests and conditions, evaluated world by world."""
    words = ("and", "or", "not")
    said = [zen_test(test) for test in task.tests]
    said += [joined(c, words, zen_test) for c in task.conditions]
    expression = zen.compile_expression(f"[{', '.join(said)}]")
    told = [{_plain(name): w[name] for name in task.names} for w in worlds]

    def decode(found: Any) -> tuple[np.ndarray | None, np.ndarray]:
        both = np.array(found).T
        return both[: len(task.tests)], both[len(task.tests) :]

    return Rival("zen-engine", lambda: [expression.evaluate(w) for w in told], decode)


def zen_test(c: Condition) -> str:
    """A test in zen's expression language."""
    if isinstance(c, IsOneOf):
        same, between = ("!=", " and ") if c.negate else ("==", " or ")
        each = [f"{_plain(c.name)} {same} '{key}'" for key in sorted(c.keys)]
        return f"({between.join(each)})"
    if isinstance(c, IsYes):
        return f"({_plain(c.name)} == {str(c.wanted).lower()})"
    assert isinstance(c, Within)
    ends = [(c.low, ">="), (c.high, "<=")]
    each = [f"{_plain(c.name)} {sign} {end:.9f}" for end, sign in ends if np.isfinite(end)]
    return f"({' and '.join(each)})"


def _plain(name: str) -> str:
    return name.replace(".", "_")


def clips_engine(task: Task, worlds: list[World], expression: Callable[[Condition], str],
                 written: Callable[[str, Any], str]) -> Rival:  # fmt: skip
    """One rule that binds every test once, joins them, and hands over all as one string.

    Handing over value by value, or a rule a condition, is five times slower, and facts told
    as text instead of through their template ten times.
    """
    engine = clips.Environment()
    found: list[str] = []
    engine.define_function(found.append, name="record")
    slots = {name: name.replace(".", "-") for name in task.names}
    engine.build(f"(deftemplate case {' '.join(f'(slot {slot})' for slot in slots.values())})")
    pattern = " ".join(f"({slot} ?{slot})" for slot in slots.values())
    binds = " ".join(f"(bind ?t{i} {expression(t)})" for i, t in enumerate(task.tests))
    outcomes = " ".join(f"?t{i}" for i in range(len(task.tests)))
    answers = " ".join(_clips(task, c) for c in task.conditions)
    record = f"(record (str-cat {outcomes} {answers}))"
    engine.build(f"(defrule all (case {pattern}) => {binds} {record})")
    template = engine.find_template("case")
    told = [
        {
            slot: w[name] if isinstance(w[name], float) else clips.Symbol(written(name, w[name]))
            for name, slot in slots.items()
        }
        for w in worlds
    ]

    def judge() -> list[str]:
        found.clear()
        for world in told:
            fact = template.assert_fact(**world)
            engine.run()
            fact.retract()
        return list(found)

    def decode(texts: Any) -> tuple[np.ndarray | None, np.ndarray]:
        letters = [text.replace("TRUE", "1").replace("FALSE", "0") for text in texts]
        both = (np.array([list(text) for text in letters]) == "1").T
        return both[: len(task.tests)], both[len(task.tests) :]

    return Rival("CLIPS (clipspy)", judge, decode)


def _clips(task: Task, c: Condition) -> str:
    if isinstance(c, Both):
        word, rest = ("or", "FALSE") if c.any_will_do else ("and", "TRUE")
        return f"({word} {' '.join(_clips(task, part) for part in c.parts)} {rest})"
    if isinstance(c, Not):
        return f"(not {_clips(task, c.part)})"
    return f"?t{task.index(c)}"
