"""``trim-advisor practice``: cases to train the choice of a method on."""

from __future__ import annotations

import random
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.cli.named_files import writing
from advisor.cli.options import PATH, json_option, load_rules, rules_option
from advisor.cli.printing import say, say_form
from advisor.wording.counts import counted

if TYPE_CHECKING:
    from advisor.practice.cases import PracticeCase
    from advisor.practice.learners import Learner, Learners
    from advisor.practice.trainer import LearnerReport
    from advisor.rulegraph.model.pack import RulePack

LEVELS = {"easy": (0.0, 0.4), "middling": (0.3, 0.7), "difficult": (0.6, 1.0), "any": (0.0, 1.0)}
learner_option = click.option("--learner", "alias", help="Alias under which rounds are kept.")


@click.group()
def practice() -> None:
    """Train the choice of a method on cases. Estimates for learning, no test result."""


@practice.command("list")
@click.option("--set", "set_file", type=PATH, help="A class set in place of the demo cases.")
@rules_option
@json_option
def list_(set_file: Path | None, rules: Path | None, as_json: bool) -> None:
    """List the cases to practise on, the topics and the learners."""
    from advisor.practice.learners import Learners
    from advisor.practice.topics import all_topics

    pack = load_rules(rules)
    cases = _stock(set_file, pack)
    topics = {key: topic.title for key, topic in all_topics().topics.items()}
    aliases = Learners().aliases()
    if as_json:
        say_form({
            "format": 1, "topics": topics, "learners": list(aliases),
            "cases": [{"case": c.name, "title": c.title, "source": c.source.value} for c in cases],
        })  # fmt: skip
        return
    say("Cases:")
    for case in cases:
        say(f"  {case.name:<12}{case.title}")
    say("Topics, for practice make and practice take:")
    for key, title in topics.items():
        say(f"  {key:<16}{title}")
    say(f"Learners: {', '.join(aliases) or 'none yet'}")


@practice.command()
@click.option("--topic", default="", help="Keep to one topic; practice list names them.")
@click.option("--count", type=click.IntRange(1, 500), default=20, show_default=True)
@click.option("--level", type=click.Choice(list(LEVELS)), default="any", show_default=True)
@click.option("--seed", type=click.IntRange(0, 999_999_999), help="The same seed, the same cases.")
@click.option(
    "--from", "source", type=click.Choice(["drawn", "casebook", "demo"]), default="drawn",
    show_default=True, help="Drawn by the program, the shop's own without customers, or demo.",
)  # fmt: skip
@click.option("--called", default="", help="Name of the set.")
@click.option("--to", "target", type=PATH, required=True, help="File to write (.yaml).")
@rules_option
def make(
    topic: str, count: int, level: str, seed: int | None, source: str, called: str, target: Path,
    rules: Path | None,
) -> None:  # fmt: skip
    """Make a set of cases for a class, as one file with its answers."""
    from advisor.practice.case_sets import CaseSet, write_set

    pack = load_rules(rules)
    _check_topic(topic)
    seed = random.SystemRandom().randrange(1_000_000) if seed is None else seed
    if source == "drawn":
        from advisor.practice.generating.generate import generate
        from advisor.practice.held_out import is_practised

        cases = generate(
            pack, count, seed, topic=topic, difficulty=LEVELS[level], kinds=is_practised,
            watch=_progress,
        ).cases  # fmt: skip
    else:
        stock = _stock(None, pack) if source == "demo" else _from_casebook(pack)
        cases = tuple(case for case in stock if not topic or topic in case.topics)[:count]
    if not cases:
        raise click.UsageError("no such case was found; try another topic, level or seed")
    found = CaseSet(called, cases, seed if source == "drawn" else None)
    with writing(target):
        write_set(target, found, pack)
    drawn = f", seed {seed}" if source == "drawn" else ""
    say(f"{target}: {counted(len(cases), 'case')}{drawn}")
    if len(cases) < count:
        say(f"{count - len(cases)} fewer than asked for: no more were found")


@practice.command()
@click.argument("name", required=False)
@learner_option
@click.option("--set", "set_file", type=PATH, help="A class set made by practice make.")
@click.option("--topic", default="", help="Keep to one topic.")
@click.option("--test", "test", type=click.Choice(["before", "after_40", "after_80"]),
              help="A case of a transfer test, without showing what was right.")  # fmt: skip
@click.option("--alone", is_flag=True, help="Without worked examples and hints.")
@click.option("--seed", type=click.IntRange(0, 999_999_999), help="Seed of a drawn case.")
@rules_option
def take(
    name: str | None, alias: str | None, set_file: Path | None, topic: str, test: str | None,
    alone: bool, seed: int | None, rules: Path | None,
) -> None:  # fmt: skip
    """Take a round in the terminal: case NAME of the list, or what comes next for the learner."""
    from advisor.cli.practice_round import disagreed, play
    from advisor.practice.answers import Help
    from advisor.practice.learners import Learners
    from advisor.practice.next_case import Task, next_task
    from advisor.practice.records import kept_round
    from advisor.practice.round import Round
    from advisor.practice.transfer import due_test

    pack = load_rules(rules)
    _check_topic(topic)
    learners = Learners()
    learner = _learner(learners, alias) if alias else None
    rounds = learner.rounds if learner else ()
    if test is not None:
        if alias is None:
            raise click.UsageError("a transfer test needs --learner: it is kept")
        _take_test(learners, alias, test, pack)
        return
    if alias and (due := due_test(rounds)):
        say(f"A transfer test is due: practice take --learner {alias} --test {due}")
    task = Task(topic) if topic or not learner else next_task(rounds, datetime.now(UTC))
    case = _chosen(name, set_file, task, seed, [one.case for one in rounds], pack)
    level = Help.ALONE if alone or not learner else task.help
    one = Round(case, pack, help=level)
    shown = play(one)
    if alias:
        learners.keep(alias, kept_round(disagreed(one, shown), one.truth))
        say(f"Kept for {alias}.")


def _take_test(learners: Learners, alias: str, test: str, pack: RulePack) -> None:
    """The next case of a transfer test that this learner has not answered yet."""
    from typing import cast

    from advisor.cli.practice_round import answer_only
    from advisor.practice.records import TestName, kept_round
    from advisor.practice.round import Round
    from advisor.practice.transfer import transfer_cases

    named = cast(TestName, test)
    done = [one.case for one in learners.open(alias).rounds if one.test == test]
    say("Preparing the test...")
    left = [case for case in transfer_cases(pack, named) if case.name not in done]
    if not left:
        say("This test is done.")
        return
    one = Round(left[0], pack)
    answer_only(one)
    learners.keep(alias, kept_round(one.reveal(), one.truth, test=named))
    say(f"Kept for {alias}. Left of this test: {counted(len(left) - 1, 'case')}.")


@practice.command()
@learner_option
@click.option("--side-by-side", is_flag=True, help="Each learner besides all together.")
@rules_option
@json_option
def report(alias: str | None, side_by_side: bool, rules: Path | None, as_json: bool) -> None:
    """What the learners can do and where they go wrong."""
    from advisor.practice.learners import Learners
    from advisor.practice.trainer import NOTE, class_report, learner_report, report_json

    learners, now = Learners(), datetime.now(UTC)
    if alias:
        reports = [learner_report(learners.open(alias), now)]
    else:
        every = learners.all()
        reports = [class_report(every, now)]
        reports += [learner_report(one, now) for one in every] if side_by_side else []
    if as_json:
        say_form(report_json(reports))
        return
    pack = load_rules(rules)
    for one in reports:
        _say_report(one, pack)
    if not alias and not every:
        say("No learner yet: practice take --learner ALIAS makes one.")
    say(NOTE)


@practice.command()
@click.argument("alias")
def erase(alias: str) -> None:
    """Erase a learner with all rounds from this machine."""
    from advisor.practice.learners import Learners

    Learners().erase(alias)
    say(f"{alias} is erased. Copies that were made elsewhere are not.")


def _progress(doing: str) -> None:
    """How far it is, on a terminal that somebody looks at."""
    if sys.stderr.isatty():
        click.echo(f"\r{doing} ", nl=False, err=True)


def _stock(set_file: Path | None, pack: RulePack) -> tuple[PracticeCase, ...]:
    if set_file is None:
        from advisor.practice.demo import demo_cases

        return demo_cases(pack)
    from advisor.practice.case_sets import read_set

    found = read_set(set_file, pack)
    for name, why in found.set_aside:
        say(f"{name} is set aside: {why}")
    return found.cases


def _from_casebook(pack: RulePack) -> tuple[PracticeCase, ...]:
    from advisor.cli.casebook import opened
    from advisor.practice.shop import LATEST, OwnCases

    with opened(None, pack) as book:
        return OwnCases(pack, lambda work: work(book)).ready(LATEST, _progress)


def _check_topic(topic: str) -> None:
    from advisor.facts.faults import nearest_name
    from advisor.practice.topics import all_topics

    known = all_topics().topics
    if topic and topic not in known:
        near = nearest_name(topic, known)
        hint = f" (did you mean {near}?)" if near else ""
        raise click.UsageError(f"no topic {topic}{hint}; practice list names them")


def _learner(learners: Learners, alias: str) -> Learner:
    from advisor.practice.learners import checked_alias

    known = {one.casefold() for one in learners.aliases()}
    return learners.open(alias) if checked_alias(alias).casefold() in known else learners.add(alias)


def _chosen(
    name: str | None, set_file: Path | None, task: object, seed: int | None, seen: list[str],
    pack: RulePack,
) -> PracticeCase:  # fmt: skip
    from advisor.practice.next_case import Task, case_for

    assert isinstance(task, Task)
    stock = _stock(set_file, pack) if name or set_file else ()
    if name:
        named = {case.name: case for case in stock}
        if name not in named:
            raise click.UsageError(f"no case {name}; practice list names them")
        return named[name]
    if set_file is not None:
        fitting = [case for case in stock if not task.topic or task.topic in case.topics]
        return next((case for case in stock if case.name not in seen), (fitting or list(stock))[0])
    seed = random.SystemRandom().randrange(1_000_000) if seed is None else seed
    if task.topic:
        case = case_for(task, pack, seed, seen=seen)
    else:
        from advisor.practice.generating.generate import generate
        from advisor.practice.held_out import is_practised

        case = next(iter(generate(pack, 1, seed, kinds=is_practised).cases), None)
    if case is None:
        raise click.UsageError("no case was found; try another topic or seed")
    return case


def _say_report(one: LearnerReport, pack: RulePack) -> None:
    from advisor.practice.calibration import over_time_in_words
    from advisor.practice.class_papers import mistake_words, tests_in_words
    from advisor.practice.topics import all_topics
    from advisor.wording.money import money_text

    titles = {key: topic.title for key, topic in all_topics().topics.items()}
    say(f"{one.alias or 'All together'}: {counted(one.rounds, 'round')}, {one.good} good"
        + (f", {money_text(one.loss, pack.currency)} lost on average" if one.loss is not None
           else ""))  # fmt: skip
    say(f"  Hazards missed: {len(one.missed)} of {one.closed} that close a job")
    for missed in one.missed:
        what = pack.gates[missed.hazard].title if missed.hazard in pack.gates else missed.hazard
        say(f"    {what}: {missed.case}, {missed.at:%Y-%m-%d}, {missed.alias}")
    say(f"  Needless referrals: {one.needless_referrals}")
    say(f"  Both cases of a pair good: {one.twins.both_good} of "
        f"{counted(one.twins.pairs, 'pair')}")
    for row in one.topics:
        low, high = row.mastery.interval
        told = (f"{100 * row.mastery.chance:.0f} of 100 ({100 * low:.0f} to {100 * high:.0f})"
                if row.mastery.enough else "too few answers")  # fmt: skip
        say(f"  {titles.get(row.topic, row.topic)}: {told}, "
            f"{counted(row.mastery.answers, 'answer')}")
    for mistake in one.mistakes:
        say(f"  {mistake_words(mistake, pack)}")
    say(f"  Certainty: {one.certainty.words}")
    in_turn = over_time_in_words(one.certainty_over_time)
    if in_turn:
        say(f"  {in_turn}")
    if one.trend.answers:
        say(f"  {'Improved' if one.trend.improved else 'No change that is more than luck'} over "
            f"{counted(one.trend.answers, 'round')}")  # fmt: skip
    for told in tests_in_words(one):
        say(f"  Test on unseen cases. {told}")
    for case, why in one.disagreements:
        say(f"  Disagrees on {case}: {why}")
