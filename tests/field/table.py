"""Runs the advisor over the field cases and prints how it did: ``python -m tests.field.table``.

Exit code 0 where at least 28 of the cases are right and no gate case is wrong, else 1.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Verdict
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from tests.field.gates import (
    read_open_gates,
    with_hazards_as_told,
    with_open_gates_checked,
)
from tests.field.scoring import (
    TOP,
    Answer,
    Answers,
    AskWords,
    Expectation,
    Expectations,
    bar_met,
    is_right,
    settled_target,
    splits,
    strawmen,
    targets,
)
from tests.field.week_cases import read_method_words

HERE = Path(__file__).parent


def case_files() -> list[Path]:
    """The field cases, in order."""
    return sorted(HERE.glob("fc-*.yaml"))


def read_expectations() -> dict[str, Expectation]:
    """What is expected, by case."""
    raw = yaml.safe_load((HERE / "expectations.yaml").read_text(encoding="utf-8"))
    return {
        key: Expectation(
            case=key,
            accepted=tuple(entry["accepted"]),
            unacceptable=tuple(entry["unacceptable"]),
            ambiguous=entry["ambiguous"],
            ask_first=tuple(entry["ask_first"]),
            hazards=tuple(entry["hazards"]),
            reason=entry["reason"],
        )
        for key, entry in raw.items()
    }


def read_ask_words() -> dict[str, list[str]]:
    """The facts behind each word of ``ask_first``."""
    raw = yaml.safe_load((HERE / "ask_words.yaml").read_text(encoding="utf-8"))
    return {word: list(facts) for word, facts in raw.items()}


def read_cases(pack: RulePack) -> dict[str, Case]:
    """All field cases by name, gates answered as told. Raises BadInput where a file has faults."""
    cases = [read_case(path, pack.facts, methods=tuple(pack.methods)) for path in case_files()]
    return with_hazards_as_told({case.name: case for case in cases}, pack)


def answer_of(advice: Advice, expected: Expectation) -> Answer:
    """The part of an advice that is scored; the lead by a coarser word where only that is used."""
    lead = advice.plan.lead if advice.plan is not None else ""
    if advice.verdict is Verdict.REFER:
        lead = "refer"
    lead = method_word(lead)
    used = {*expected.accepted, *expected.unacceptable}
    coarser = read_method_words().coarser.get(lead, lead)
    if lead not in used and coarser in used:
        lead = coarser
    return Answer(str(advice.verdict), lead, tuple(q.fact for q in advice.ask[:TOP]))


def answers_to(cases: Mapping[str, Case], pack: RulePack) -> dict[str, Answer]:
    """The advisor's answers to the given cases."""
    expected = read_expectations()
    return {
        key: answer_of(advise(case, pack, flips=False), expected[key])
        for key, case in cases.items()
    }


def run(pack: RulePack) -> tuple[dict[str, Case], dict[str, Answer]]:
    """All cases and the advisor's answers."""
    cases = read_cases(pack)
    return cases, answers_to(cases, pack)


def rows(
    cases: Mapping[str, Case], expected: Expectations, answers: Answers, words: AskWords
) -> list[str]:
    """The table, one line a case."""
    head = ("case", "part", "verdict", "lead", "lead is", "", "state", "asks first")
    lines = [head]
    for key, e in expected.items():
        a = answers[key]
        lead_is = "accepted" if a.lead in e.accepted else "neutral"
        if a.lead in e.unacceptable:
            lead_is = "UNACCEPTABLE"
        part = cases[key].facts.get("part.kind", ())
        name = "/".join(part) if isinstance(part, tuple) else str(part)
        right = "right" if is_right(e, a, words) else "WRONG"
        state = "settled" if a.settled else "asking"
        kind = f"{key}{'?' if e.ambiguous else ''}"
        asked = ", ".join(a.asked)
        lines.append((kind, name, a.verdict, a.lead or "-", lead_is, right, state, asked))
    widths = [max(len(line[i]) for line in lines) for i in range(len(head) - 1)]
    return [
        "  ".join([*(f"{cell:<{w}}" for cell, w in zip(line, widths, strict=False)), line[-1]])
        for line in lines
    ]


def read_asking() -> dict[str, dict[str, Any]]:
    """What the clear cases that still ask ask, whether rightly, and why, by case."""
    raw = yaml.safe_load((HERE / "asking.yaml").read_text(encoding="utf-8"))
    return {key: dict(entry) for key, entry in raw.items()}


def asking_rows() -> list[str]:
    """The clear cases that still ask, with the reason."""
    entries = read_asking()
    lines = [
        f"{key}   {told['asks']}, {'rightly' if told['rightly'] else 'NOT RIGHTLY'}: "
        f"{told['reason'].strip()}"
        for key, told in entries.items()
    ]
    return ["", f"Clear and still asking ({len(entries)}):", *lines]


def checked_rows(expected: Expectations, answers: Answers, words: AskWords) -> list[str]:
    """The cases that an open hazard keeps from settling, once it was looked for and not found.

    ``answers`` are all answers, those of the cases with an open hazard as given then.
    """
    settled = settled_target(expected, answers, words)
    lines = ["", "The hazards that a case names only as to be checked, looked for and not found:"]
    for key in read_open_gates():
        a = answers[key]
        kind = f"{key}{'?' if expected[key].ambiguous else ''}"
        lines.append(f"{kind:<6}  {a.verdict:<7}  {a.lead:<19}  {', '.join(a.asked)}".rstrip())
    return [*lines, f"{settled.text} then: {settled.reached} of {settled.wanted} wanted"]


def summary(expected: Expectations, answers: Answers, words: AskWords) -> list[str]:
    """Totals, splits, strawmen and targets."""
    found = splits(expected, answers, words)
    lines = ["", f"{'':<32}{'cases':>6}{'right':>7}{'wrong':>7}{'points':>8}"]
    for name, t in found.items():
        lines.append(f"{name:<32}{t.cases:>6}{t.right:>7}{t.wrong:>7}{t.points:>8.1f}")
    lines += ["", "Programs that know nothing, by the same score:"]
    for name, straw in strawmen(answers).items():
        t = splits(expected, straw, words)["all"]
        lines.append(f"{name:<32}{t.cases:>6}{t.right:>7}{t.wrong:>7}{t.points:>8.1f}")
    lines += ["", "Targets:"]
    for target in targets(expected, answers, words):
        state = "met" if target.met else "NOT MET"
        lines.append(f"{target.text:<45}{target.reached:>3} of {target.wanted:<3} {state}")
    lines += ["", f"Bar (28 right, no gate case wrong): {'met' if bar_met(found) else 'NOT MET'}"]
    return lines


def main() -> int:
    """Print the table; 0 where the bar is met, else 1."""
    pack = load_pack()
    expected, words = read_expectations(), read_ask_words()
    cases, answers = run(pack)
    print("\n".join(rows(cases, expected, answers, words)))
    print("\n".join(asking_rows()))
    checked = answers_to(with_open_gates_checked(cases, pack), pack)
    print("\n".join(checked_rows(expected, {**answers, **checked}, words)))
    print("\n".join(summary(expected, answers, words)))
    return 0 if bar_met(splits(expected, answers, words)) else 1


if __name__ == "__main__":
    sys.exit(main())
