"""One round of practice in a terminal: everything by number and short words."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import replace

import click

from advisor.advice.result import Status
from advisor.cli.printing import say
from advisor.practice.answers import Belief, Help
from advisor.practice.forces import DIRECTION_TITLES, WHEN_TITLES, Direction, DrawnForce, When
from advisor.practice.reveal import Reveal
from advisor.practice.round import OutOfOrder, Round, Step
from advisor.wording.figures import to_digits
from advisor.wording.money import money_text

WIDTH = 88
#: What is typed for a direction and for when a force acts.
WAYS = {"a": Direction.APART, "t": Direction.TOGETHER, "o": Direction.OUT, "i": Direction.IN}
TIMES = {"all": When.ALWAYS, "each": When.EACH_USE, "max": When.HARDEST}


def play(one: Round) -> Reveal:
    """Ask everything of a round, and show what was right."""
    answer_only(one)
    shown = one.reveal()
    say("")
    _say(shown.headline)
    if shown.twin is not None:  # asked before anything is explained
        _twin(shown)
    show(shown)
    return shown


def disagreed(one: Round, shown: Reveal) -> Reveal:
    """What was shown, with the learner's objection to it where there is one."""
    why = _typed("do you disagree with the rules here? Say why, or Enter")
    return replace(shown, answer=one.disagreeing(why)) if why else shown


def answer_only(one: Round) -> None:
    """Ask everything of a round, and show nothing of what was right."""
    one.prepare()
    say(f"\n{one.case.title or one.case.name}")
    _table([(seen.title, seen.answer) for seen in one.look])
    if one.help <= Help.COMPLETE:
        _worked(one)
    else:
        _hazards(one)
        one.choose_first(_belief(one, "At the first look: what would you do?"))
        _ask(one)
    if one.step is Step.FORCES:
        _forces(one)
    _hint(one)
    one.decide(_belief(one, "What do you do?", one.first))


def _worked(one: Round) -> None:
    worked = one.help is Help.WORKED
    say("\n" + ("Worked example: what is left is the repair." if worked else
                "The forces are given: what is left is the one that decides, and the repair."))
    if one.hazards:
        say("Hazards, answered:")
        _table([(item.title, item.answer) for item in one.hazards])
    asked = [row for row in one.observations() if row.answer]
    if asked:
        say("Worth asking here:")
        _table([(row.title, row.answer) for row in asked])
    if one.drawn:
        titles = {force.cause: force.title for force in one.forces().offered}
        say("Forces on the section, the largest first:")
        for force in sorted(one.drawn, key=lambda f: f.rank):
            way, when = DIRECTION_TITLES[force.direction], WHEN_TITLES[force.when]
            _say(f"{titles[force.cause]}: {way}, {when}", "  ")
    methods = one.worked_methods()
    if methods:
        say("Methods that could be carried out:")
        _table(methods)
    if one.governing:
        _say(f"What decides: {one.forces().governing_title}")


def _hazards(one: Round) -> None:
    _hint(one)
    while True:
        items = one.hazards
        if not items:
            say("\nNo hazard is asked about on such a part.")
            break
        say("\nHazards. Ask about: numbers, a for all, Enter to go on")
        _numbered([f"{item.title}: {item.answer or item.ask}" for item in items])
        typed = _typed("hazards")
        if not typed:
            break
        wanted = range(len(items)) if typed == "a" else _numbers(typed, len(items))
        for index in wanted:
            told = one.ask_hazard(items[index].key)
            if told.text:
                _say(f"{told.title}: {told.answer}. {told.text}", "  ")
    one.end_hazards()


def _ask(one: Round) -> None:
    _hint(one)
    while True:
        rows = one.observations()
        say(f"\nAsk or look ({one.minutes:g} min so far). Numbers, or Enter to go on")
        _numbered([
            f"{row.title} ({row.minutes:g} min)" + (f": {row.answer}" if row.answer else "")
            for row in rows
        ])  # fmt: skip
        typed = _typed("ask")
        if not typed:
            break
        for index in _numbers(typed, len(rows)):
            told = one.ask(rows[index].fact)
            _say(f"{told.title}: {told.answer}", "  ")
    one.end_asking()


def _forces(one: Round) -> None:
    offered = one.forces().offered
    say("\nForces on the section:")
    _numbered([force.title for force in offered])
    if one.help > Help.COMPLETE:
        _hint(one)
        _say("Draw each that acts: its number, direction (a apart, t together, o out, i in), rank "
             "1 to 3, when (all, each, max). As in: 2 a 1 max. Enter to go on.")  # fmt: skip
        while typed := _typed("force"):
            try:
                number, way, rank, when = typed.split()
                force = offered[_numbers(number, len(offered))[0]]
                one.draw(DrawnForce(force.cause, WAYS[way], int(rank), TIMES[when]))
            except (ValueError, KeyError, IndexError, OutOfOrder):
                _say(f"{typed}: not understood; as in: 2 a 1 max")
    while True:
        found = _numbers(_typed("which of them decides"), len(offered))
        if found:
            one.name_governing(offered[found[0]].cause)
            return


def _hint(one: Round) -> None:
    hint = one.hint()
    if hint:
        _say(f"Hint: {hint}")


def _belief(one: Round, question: str, before: Belief | None = None) -> Belief:
    words = list(one.choices)
    say(f"\n{question}" + ("" if before is None else " Enter: as before"))
    if before is None or one.help <= Help.COMPLETE:
        _numbered(list(one.choices.values()))
    while True:
        typed = _typed("choice")
        if not typed and before is not None:
            choice = before.choice
            break
        begins = [
            place for place, (word, title) in enumerate(one.choices.items())
            if typed == word or title.lower().startswith(typed.lower())
        ]
        found = begins if len(begins) == 1 else _numbers(typed, len(words))
        if found:
            choice = words[found[0]]
            break
    while True:
        sure = _typed("how sure are you that this is the right repair, 5 to 100 %")
        if sure.isdigit() and 5 <= int(sure) <= 100:
            return Belief(choice, int(sure) / 100)
        _say(f"{sure or 'nothing'}: not understood; accepted: a number from 5 to 100")


def show(shown: Reveal) -> None:
    """What was right, and why, beside what was answered."""
    score, money = shown.score, shown.currency
    _say(f"To remember: {shown.remember}")
    for item in shown.hazards:
        if item.missed or item.closes or not item.asked:
            state = "MISSED" if item.missed else "asked" if item.asked else "not asked"
            _say(f"Hazard, {state}: {item.title}. {item.text}", "  ")
    if score.forces:
        say("Forces:")
        for force in score.forces:
            _say(f"{force.title}: {force.words}", "  ")
        _say(f"What decides: {shown.forces.governing_title}", "  ")
    if shown.wrong:
        say("Why not another:")
    for wrong in shown.wrong[:5]:
        mark = "your choice, " if wrong.chosen else ""
        used = f" (loaded to {to_digits(wrong.usage)} times its limit)" if (
            wrong.usage is not None and wrong.status is Status.FAILS and "oaded to" not in wrong.why
        ) else ""  # fmt: skip
        _say(f"{mark}{wrong.title}: {wrong.why}{used}", "  ")
    for settling in shown.settling[:3]:
        value = money_text(settling.value, money)
        price = money_text(settling.price, money)
        state = "asked" if settling.asked else "not asked"
        _say(f"Worth asking, {state}: {settling.title} (saves {value}, costs {price})", "  ")
    if score.loss is not None:
        part = ""
        if score.share_of_guessing is not None:
            share = 100 * score.share_of_guessing
            part = (f"; {share:.0f} % of the way from guessing to perfect" if share > 0
                    else "; guessing would have lost no more")  # fmt: skip
        _say(f"Lost: {money_text(score.loss, money)}, of that {money_text(score.asking, money)} "
             f"by asking{part}")  # fmt: skip
    _say(f"Certainty (0 best, 2 worst): {score.certainty_first:.2f} at the first look, "
         f"{score.certainty_final:.2f} after asking")  # fmt: skip


def _twin(shown: Reveal) -> None:
    assert shown.twin is not None
    twin = shown.twin
    say(f"\nThe same part with one fact changed; there this is right: {twin.right_title}.")
    say("What made the difference?")
    _numbered([title for _, title in twin.differences])
    found = _numbers(_typed("difference"), len(twin.differences))
    right = bool(found) and twin.differences[found[0]][0] == twin.fact
    _say(f"{'Right' if right else 'No'}: {twin.title}, here “{twin.was}”, there “{twin.is_now}”.")
    say("")


def _typed(what: str) -> str:
    return str(click.prompt(what, default="", show_default=False)).strip()


def _numbers(typed: str, most: int) -> list[int]:
    """Indexes of the numbers typed; empty, and a word about it, where one is none of them."""
    words = typed.replace(",", " ").split()
    if all(word.isdigit() and 1 <= int(word) <= most for word in words) and words:
        return [int(word) - 1 for word in words]
    _say(f"{typed or 'nothing'}: not understood; accepted: numbers from 1 to {most}")
    return []


def _numbered(rows: Sequence[str]) -> None:
    for number, row in enumerate(rows, start=1):
        _say(row, f"{number:3d}  ")


def _table(rows: Sequence[tuple[str, str]]) -> None:
    for title, answer in rows:
        _say(f"{title}: {answer}", "  ")


def _say(text: str, lead: str = "") -> None:
    say(textwrap.fill(text, WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead)))
