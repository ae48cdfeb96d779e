"""Reports on learners as rich text: one, all together, or each beside the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from advisor.gui import theme
from advisor.practice.calibration import over_time_in_words
from advisor.practice.class_papers import mastered, mistake_words, tests_in_words
from advisor.practice.topics import all_topics
from advisor.practice.trainer import NOTE, LearnerReport, TopicRow
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.counts import counted
from advisor.wording.money import money_text
from advisor.wording.sentences import lowered

ALL = "All together"
NOBODY_YET = "Nobody practises under an alias yet. Add one under Rounds."
NONE_ALONE = "None answered alone or with hints yet."


def report_html(report: LearnerReport, pack: RulePack) -> str:
    """A report: hazards first, then topics by weakness."""
    parts = [f"<h2>{escape(report.alias or ALL)}</h2>", f"<p>{escape(_rounds(report, pack))}.</p>"]
    parts.append(f"<h3>Hazards missed: {_missed(report)} that close a job</h3>")
    parts += _list(
        f"{pack.gates[one.hazard].title if one.hazard in pack.gates else one.hazard}: case "
        f"{one.case}, {one.at:%d.%m.%Y}, {one.alias}" for one in report.missed
    )  # fmt: skip
    if report.twins.pairs:
        parts.append(f"<p>{escape(_both(report))}</p>")
    parts.append("<h3>Topics, the weakest first</h3>")
    if report.topics:
        rows = [
            (_topic(row.topic), mastered(row.mastery), str(row.mastery.answers),
             "" if row.regret is None else money_text(row.regret, pack.currency))
            for row in report.topics
        ]  # fmt: skip
        parts.append(_table(("Topic", "Good in 100", "Answers", "Lost a case"), rows))
    else:
        parts.append(f"<p>{NONE_ALONE}</p>")
    if report.mistakes:
        parts.append("<h3>Commonest wrong choice for each damage</h3>")
    parts += _list(mistake_words(one, pack) for one in report.mistakes)
    parts.append("<h3>How sure, how right</h3>")
    parts.append(f"<p>{escape(report.certainty.words)}.</p>")
    parts += _list(group.words for group in report.certainty.groups)
    in_turn = over_time_in_words(report.certainty_over_time)
    parts += [f"<p>{escape(in_turn)}.</p>"] if in_turn else []
    tests = tests_in_words(report)
    if tests:
        parts.append("<h3>Tests on unseen cases</h3>")
    parts += _list(tests)
    if report.disagreements:
        parts.append("<h3>Disagrees with the rules</h3>")
    parts += _list(f"{case}: {why}" for case, why in report.disagreements)
    if report.trend.answers:
        parts.append(f"<p>{_grown(report)} over {counted(report.trend.answers, 'round')}.</p>")
    return _page(parts)


def beside_html(reports: Sequence[LearnerReport], pack: RulePack) -> str:
    """Each learner in a column of its own, by alias; nobody is ranked."""
    if not reports:
        return _page([f"<p>{NOBODY_YET}</p>"])
    by_topic = [{row.topic: row for row in one.topics} for one in reports]
    rows = [
        ("Rounds, good of all", *(f"{one.good} of {one.rounds}" for one in reports)),
        ("Lost a case", *("" if one.loss is None else money_text(one.loss, pack.currency)
                          for one in reports)),
        ("Hazards missed", *(_missed(one) for one in reports)),
        ("Needless referrals", *(str(one.needless_referrals) for one in reports)),
        ("Both of a pair right", *(f"{one.twins.both_good} of {one.twins.pairs}"
                                   for one in reports)),
        ("Certainty", *(one.certainty.words for one in reports)),
        ("Over the rounds", *(_grown(one) if one.trend.answers else "" for one in reports)),
        ("Tests on unseen cases", *(" ".join(tests_in_words(one)) or "none yet"
                                     for one in reports)),
        ("Due again", *(str(one.due) for one in reports)),
    ]  # fmt: skip
    rows += [
        (topic.title, *(_cell(rows, key) for rows in by_topic))
        for key, topic in all_topics().topics.items() if any(key in rows for rows in by_topic)
    ]
    head = ("By alias, no order of merit", *(one.alias for one in reports))
    return _page(["<h2>Side by side</h2>", _table(head, rows)])


def standing_text(report: LearnerReport, pack: RulePack) -> str:
    """Where a learner stands, for the first page; empty before the first round."""
    if not report.rounds and not report.tests:
        return ""
    said = [f"{_rounds(report, pack)}. Hazards missed: {_missed(report)} that close a job."]
    if report.twins.pairs:
        said.append(_both(report))
    weak = [_topic(row.topic).lower() for row in report.topics[:3] if row.mastery.enough]
    if weak:
        said.append(f"Weakest so far: {', '.join(weak)}.")
    if report.due:
        said.append(f"Due again: {report.due}.")
    if report.trend.answers:
        said.append(f"{_grown(report)} over {counted(report.trend.answers, 'round')}.")
    said += tests_in_words(report)
    said.append(f"How sure, how right: {lowered(report.certainty.words)}.")
    in_turn = over_time_in_words(report.certainty_over_time)
    return "\n".join([*said, f"{in_turn}."] if in_turn else said)


def _rounds(report: LearnerReport, pack: RulePack) -> str:
    lost = "" if report.loss is None else f", {money_text(report.loss, pack.currency)} lost a case"
    return f"{report.good} of {counted(report.rounds, 'round')} good{lost}"


def _missed(report: LearnerReport) -> str:
    return f"{len(report.missed)} of {report.closed}"


def _both(report: LearnerReport) -> str:
    pairs = counted(report.twins.pairs, "pair")
    return f"Both cases of a pair right: {report.twins.both_good} of {pairs}."


def _grown(report: LearnerReport) -> str:
    return "Improved" if report.trend.improved else "No change that is more than luck"


def _topic(key: str) -> str:
    topics = all_topics().topics
    return topics[key].title if key in topics else key


def _cell(rows: dict[str, TopicRow], key: str) -> str:
    return f"{mastered(rows[key].mastery)}, {rows[key].mastery.answers}" if key in rows else ""


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    top = "".join(f'<th align="left">{escape(one)}</th>' for one in head)
    lines = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return f'<table cellpadding="5" cellspacing="0"><tr>{top}</tr>{lines}</table>'


def _list(lines: Iterable[str]) -> Iterator[str]:
    found = [f"<li>{escape(line)}</li>" for line in lines]
    if found:
        yield f"<ul>{''.join(found)}</ul>"


def _page(parts: Sequence[str]) -> str:
    style = (
        f"<style>p, li, td, h2, h3 {{ color: {theme.INK}; }} "
        f"th {{ color: {theme.QUIET}; font-size: {theme.SMALL}px; }}</style>"
    )
    note = f'<p style="color:{theme.QUIET}">{escape(NOTE)}</p>'
    return style + "\n".join([*parts, note])
