"""The quiz and the learner's sheet on paper, read back from the PDF."""

from __future__ import annotations

from datetime import UTC, datetime
from io import BytesIO

import pytest
from pypdf import PdfReader

from advisor.facts.case_file import read_case
from advisor.paths import demo_folder
from advisor.practice.cases import CaseSource, PracticeCase
from advisor.practice.class_papers import (
    CHOICES,
    learner_sheet,
    options_of,
    quiz,
    worked,
    write_paper,
)
from advisor.practice.demo import as_practice
from advisor.practice.generating.generate import generate
from advisor.practice.learners import Learner
from advisor.practice.topics import REFER
from advisor.practice.trainer import learner_report
from advisor.report.formats.pdf import render
from advisor.report.formats.text import render as as_text
from advisor.rulegraph.model.pack import RulePack
from tests.unit.practice.rounds import START, kept


@pytest.fixture(scope="module")
def cases(pack: RulePack) -> tuple[PracticeCase, ...]:
    return tuple(
        one for name in ("split_armrest", "airbag_seam", "cracked_panel")
        for one in as_practice(read_case(demo_folder() / f"{name}.yaml", pack.facts), pack,
                               CaseSource.DEMO)
    )  # fmt: skip


def test_answers_stand_on_the_last_page_and_nowhere_else(
    cases: tuple[PracticeCase, ...], pack: RulePack
) -> None:
    document = quiz(cases, pack, "Harbour class")
    pages = [page.extract_text() for page in PdfReader(BytesIO(render(document))).pages]
    remember = [worked(case, pack).remember for case in cases]
    for text in remember:
        words = text.split()[:3]
        assert all(word in pages[-1] for word in words)
    assert "Answers" in pages[-1]
    for page in pages[:-1]:
        assert "Answers" not in page and "would not hold" not in page
    for number, case in enumerate(cases, start=1):
        assert any(f"{number}. {case.title}" in page for page in pages[:-1])


def test_the_right_repair_is_among_those_offered_and_not_always_in_the_same_place(
    cases: tuple[PracticeCase, ...], pack: RulePack
) -> None:
    places = set()
    for case in cases:
        one = worked(case, pack)
        options = options_of(one, pack)
        assert one.right in options and REFER in options
        assert 3 <= len(options) <= CHOICES
        places.add(options.index(one.right))
    assert len(places) > 1


def test_the_same_quiz_is_the_same_file(
    cases: tuple[PracticeCase, ...], pack: RulePack, tmp_path
) -> None:
    document = quiz(cases[:1], pack)
    assert render(document) == render(quiz(cases[:1], pack))
    write_paper(document, tmp_path / "quiz.html")
    assert "Hand stitch" in (tmp_path / "quiz.html").read_text("utf-8")
    with pytest.raises(ValueError, match=r"\.docx"):
        write_paper(document, tmp_path / "quiz.docx")


def test_a_sheet_says_hazards_first_and_topics_with_their_interval(pack: RulePack) -> None:
    rounds = [kept(n, good=n % 3 > 0) for n in range(12)]
    rounds.append(kept(12, good=False, hazards_closed=1, hazards_missed=("airbag",),
                       topics=("hazards",), choice="adhesive_bond"))  # fmt: skip
    report = learner_report(Learner("Gull", START, tuple(rounds)), datetime(2026, 6, 1, tzinfo=UTC))
    text = " ".join(as_text(learner_sheet(report, pack)).split())
    heads = text.casefold()
    assert heads.index("hazards missed") < heads.index("topics") < heads.index("how sure")
    assert pack.gates["airbag"].title in text
    low, high = next(row.mastery.interval for row in report.topics if row.topic == "seams")
    assert f"({100 * low:.0f} % to {100 * high:.0f} %)" in text
    assert "too few answers" in text, "one round on hazards is no rank"
    assert "mostly “glue” instead of “hand stitch" in text
    assert "no test result" in text


def test_a_quiz_offers_six_repairs_where_few_are_for_the_damage(pack: RulePack) -> None:
    (case,) = generate(pack, 1, 33, topic="padding").cases
    one = worked(case, pack)
    assert len({wrong.method for wrong in one.wrong}) < CHOICES - 2, "few are for such a damage"
    offered = options_of(one, pack)
    assert len(offered) == CHOICES and {one.right, REFER} <= set(offered)
