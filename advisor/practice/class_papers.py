"""On paper: a quiz for a class with its answers on the last page, and a sheet for a learner."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from advisor.advice.advise import advise_quick
from advisor.advice.result import Status
from advisor.drawing.section_layers import layers_of
from advisor.facts.case import DAMAGE
from advisor.practice.answers import Belief, Help
from advisor.practice.calibration import over_time_in_words
from advisor.practice.cases import PracticeCase, choices_of
from advisor.practice.mastery import Mastery
from advisor.practice.reveal import Reveal
from advisor.practice.round import Round
from advisor.practice.topics import DECLINE, REFER, all_topics
from advisor.practice.trainer import NOTE, CommonMistake, LearnerReport
from advisor.report.blocks import (
    Block,
    Box,
    Column,
    Document,
    Item,
    Items,
    Row,
    Section,
    SectionCut,
    Table,
    Text,
    Tone,
)
from advisor.report.formats.any_form import checked_suffix, write_document
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.wording.counts import counted, percent
from advisor.wording.money import money_text
from advisor.wording.sentences import lowered, sentence

#: Simulated cases behind a quiz.
WORLDS = 1024
#: Repairs to choose from in a question, the right one among them.
CHOICES = 6
LETTERS = "ABCDEFGH"
LINE = "_" * 44
INTRO = (
    "For each part: write the hazards to clear, draw the forces on the section (longest arrow "
    "first; solid: all the time, dashed: at every use, double: at the hardest moment), ring the "
    "repair, and say how sure you are, 5 to 100 %."
)


def worked(case: PracticeCase, pack: RulePack) -> Reveal:
    """What is right in a case, as after a round in which the right choice was made."""
    one = Round(case, pack, help=Help.WORKED, worlds=WORLDS)
    one.prepare()
    one.decide(Belief(one.truth.right, 1.0))
    return one.reveal()


def quiz(
    cases: Sequence[PracticeCase], pack: RulePack, title: str = "", day: date | None = None
) -> Document:
    """A quiz; some tenths of a second a case. Raises BadInput where one cannot be calculated."""
    shown = [worked(case, pack) for case in cases]
    front = [Section("", (Text(INTRO),))]
    front += [_question(n, one, pack) for n, one in enumerate(shown, start=1)]
    answers = Table(
        (Column("", 0.4), Column("Right", 2.0), Column("What decides", 2.0),
         Column("Hazards", 2.2), Column("Remember", 4.4, under=True)),
        tuple(_answer(n, one, pack) for n, one in enumerate(shown, start=1)),
    )  # fmt: skip
    return Document(
        language="en", heading="Quiz on choosing a repair", subtitle=title or "For a class",
        meta=(("Name", LINE), ("Date", f"{day or date.today():%d.%m.%Y}")), stamp="",
        stamp_text="", front=tuple(front), working_apart=True, working_heading="Answers",
        working_intro="Cut this off before the quiz is handed out.",
        working=(Section("", (answers, Text(NOTE, Tone.SMALL))),),
        footer="Estimates for learning. Not an approval.",
        footer_detail=f"Rules {pack.version} ({pack.digest[:12]})", author="trim-advisor",
        working_on_new_page=True,
    )  # fmt: skip


def options_of(one: Reveal, pack: RulePack) -> tuple[str, ...]:
    """Repairs to choose from, in the order in which they always stand."""
    ranks = {Status.FAILS: 0, Status.HOLDS: 1}
    others = sorted(one.wrong, key=lambda wrong: ranks.get(wrong.status, 2))
    words = [wrong.method for wrong in others]
    # Where a hazard closes the job no method was compared: those that would be thought of.
    words += [method_word(m.method) for m in one.advice.methods if m.status in ranks]
    words += [method_word(m.method) for m in one.advice.methods if m.meets]
    # Where few are for such a damage: any others, or the list would give the answer away.
    words += [DECLINE, *(method_word(m.method) for m in one.advice.methods), *pack.methods]
    offered = choices_of(pack)
    wrong = [w for w in dict.fromkeys(words) if w in offered and w not in (one.right, REFER)]
    wrong = wrong[: CHOICES - len({one.right, REFER})]
    taken = {one.right, REFER, *wrong}
    return tuple(key for key in offered if key in taken)


def _question(number: int, one: Reveal, pack: RulePack) -> Section:
    intake = one.case.intake
    advice = advise_quick(intake, pack, 64, rough=True).advice
    told = "   ·   ".join(f"{title}: {answer}" for title, answer in _look(one, pack))
    titles = choices_of(pack)
    choices = "   ·   ".join(
        f"{letter}  {titles[key]}"
        for letter, key in zip(LETTERS, options_of(one, pack), strict=False)
    )
    blocks: tuple[Block, ...] = (
        Text(told),
        SectionCut(
            layers_of(advice, pack), "Draw the forces above it. * not told: drawn as it usually is"
        ),
        Text(f"Hazards to clear first: {LINE}{LINE[:22]}"),
        Text(f"One question you would ask: {LINE}{LINE[:18]}"),
        Text(f"Repair:   {choices}"),
        Text(f"What decides: {LINE}      How sure: ________ %"),
    )
    return Section(f"{number}. {sentence(one.case.title).removesuffix('.')}", blocks, keep=True)


def _look(one: Reveal, pack: RulePack) -> list[tuple[str, str]]:
    seen = Round(one.case, pack, worlds=WORLDS).look
    return [(item.title, lowered(item.answer)) for item in seen]


def _answer(number: int, one: Reveal, pack: RulePack) -> Row:
    options = options_of(one, pack)
    letter = LETTERS[options.index(one.right)] if one.right in options else ""
    closing = [hazard.title for hazard in one.hazards if hazard.closes]
    count = f"{len(one.hazards)} to ask about" if one.hazards else "None"
    stops = f"; stops the job: {lowered(', '.join(closing))}" if closing else "; none stops the job"
    return Row((
        str(number), f"{letter}  {one.right_title}".strip(),
        sentence(one.forces.governing_title or "No force decides"),
        count + (stops if one.hazards else ""), one.remember,
    ))  # fmt: skip


# -- a learner's sheet ---------------------------------------------------------


def learner_sheet(report: LearnerReport, pack: RulePack, day: date | None = None) -> Document:
    """One learner on one page, to talk over: topics by weakness, hazards, certainty."""
    topics = {key: topic.title for key, topic in all_topics().topics.items()}
    rows = tuple(
        Row((topics.get(row.topic, row.topic), mastered(row.mastery), str(row.mastery.answers),
             "" if row.regret is None else money_text(row.regret, pack.currency)))
        for row in report.topics
    )  # fmt: skip
    sections = [Section("", (_in_short(report, pack),))]
    if report.missed:
        sections.append(Section("Hazards missed", (Items(tuple(
            Item(f"{_gate(one.hazard, pack)}: case {one.case}, {one.at:%d.%m.%Y}")
            for one in report.missed)),)))  # fmt: skip
    if rows:
        columns = (Column("Topic, the weakest first", 3.0), Column("Good in 100 such cases", 3.0),
                   Column("Answers", 1.0, right=True), Column("Lost a case", 1.2, right=True))
        sections.append(Section("Topics", (Table(columns, rows),)))  # fmt: skip
    if report.mistakes:
        sections.append(Section("Commonest wrong choice", (Items(tuple(
            Item(mistake_words(one, pack)) for one in report.mistakes)),)))  # fmt: skip
    sections.append(Section("How sure, how right", (
        Text(f"{report.certainty.words}."),
        Items(tuple(Item(f"{text}.") for text in (
            *(group.words for group in report.certainty.groups),
            over_time_in_words(report.certainty_over_time)) if text)),
    )))  # fmt: skip
    sections.append(Section("Tests on unseen cases", (Items(tuple(
        Item(text) for text in tests_in_words(report)) or (Item("None yet."),)),)))  # fmt: skip
    sections.append(Section("", (Text(NOTE, Tone.SMALL),)))
    return Document(
        language="en", heading="Practice: learner's sheet", subtitle=report.alias or "All together",
        meta=(("Date", f"{day or date.today():%d.%m.%Y}"), ("Rounds", str(report.rounds))),
        stamp="", stamp_text="", front=tuple(sections), working_apart=False, working_heading="",
        working_intro="", working=(), footer="Estimates for learning, no test result.",
        footer_detail=f"Rules {pack.version} ({pack.digest[:12]})", author="trim-advisor",
    )  # fmt: skip


def _in_short(report: LearnerReport, pack: RulePack) -> Box:
    lost = "" if report.loss is None else f", {money_text(report.loss, pack.currency)} lost a case"
    both = report.twins
    pairs = counted(both.pairs, "pair")
    twins = f" Both cases right in {both.both_good} of {pairs}." if both.pairs else ""
    grown = ""
    if report.trend.answers:
        grown = " Improved." if report.trend.improved else " No change that is more than luck yet."
    text = (
        f"{report.good} of {counted(report.rounds, 'round')} good{lost}. Hazards missed: "
        f"{len(report.missed)} of {report.closed} that close a job; referrals that were not "
        f"needed: {report.needless_referrals}.{twins}{grown}"
    )
    return Box("In short", text, Tone.WARN if report.missed else Tone.PLAIN)


def mastered(found: Mastery) -> str:
    """The share good with its interval; that there are too few answers where there are."""
    if not found.enough:
        return "too few answers"
    low, high = found.interval
    return f"{percent(found.chance)} ({percent(low)} to {percent(high)})"


def _gate(key: str, pack: RulePack) -> str:
    return pack.gates[key].title if key in pack.gates else key


def mistake_words(one: CommonMistake, pack: RulePack) -> str:
    """The commonest wrong method at a kind of damage, and the load that was overlooked."""
    titles, kinds = choices_of(pack), {o.key: o.title for o in pack.facts[DAMAGE].options}
    load = f"; overlooked: {lowered(pack.title_of(one.overlooked))}" if one.overlooked else ""
    return (
        f"{kinds.get(one.damage, one.damage)}: wrong in {one.wrong} of {one.rounds}, mostly "
        f"“{lowered(titles.get(one.method, one.method))}” instead of "
        f"“{lowered(titles.get(one.right_mostly, one.right_mostly))}”{load}."
    )


def tests_in_words(report: LearnerReport) -> list[str]:
    """Tests on unseen cases, and what changed between them."""
    names = {"before": "Before", "after_40": "After 40 rounds", "after_80": "After 80 rounds"}
    said = [
        f"{names.get(one.test, one.test)}: {one.good} of {one.answers} good, hazards missed "
        f"{one.hazards_missed} of {one.hazards_closed}; {one.unseen} of a damage and part never "
        "practised."
        for one in report.tests
    ]
    return said + [f"Since the first: {lowered(change.words)}." for change in report.changes]


def write_paper(document: Document, path: Path) -> None:
    """Write a paper: .pdf, .html or .txt by suffix, whole or not at all.

    Raises ValueError for another suffix, OSError where the folder cannot be written to.
    """
    checked_suffix(path)
    write_document(document, path)
