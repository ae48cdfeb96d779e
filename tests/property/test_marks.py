"""Marks made up at random: they come back as they were written, and no text breaks anything."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from advisor.advice.advise import advise
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.facts.faults import AnswerError
from advisor.facts.plastic_marks.mark import Filler, PlasticMark
from advisor.facts.plastic_marks.reader import read_mark
from advisor.facts.plastic_marks.symbols import FORMS, KINDS, POLYMERS
from tests.property.given_cases import PACK, cases, examples

pytestmark = pytest.mark.slow

PERCENT = st.integers(1, 30).map(lambda number: number / 100)
CODES = st.lists(st.from_regex(r"[A-Z]{3,4}", fullmatch=True), min_size=1, max_size=2)


def fillers() -> st.SearchStrategy[tuple[Filler, ...]]:
    one = st.builds(Filler, st.sampled_from(sorted(KINDS)), st.sampled_from(sorted(FORMS)), PERCENT)
    return st.lists(one, max_size=3).map(tuple)


@st.composite
def marks(draw: st.DrawFn) -> PlasticMark:
    names = draw(st.lists(st.sampled_from(sorted(POLYMERS)), min_size=1, max_size=3, unique=True))
    inside = draw(fillers())
    whole = round(sum(filler.share or 0.0 for filler in inside), 2)
    retardant = draw(st.none() | st.lists(st.sampled_from(["17", "40", "52"]), max_size=2))
    return PlasticMark(
        tuple(names), inside, whole,
        tuple(draw(CODES)) if draw(st.booleans()) else (),
        None if retardant is None else tuple(retardant),
        draw(st.none() | PERCENT),
    )  # fmt: skip


@examples(150)
@example(mark=PlasticMark(("PVC-P",), recycled=0.01))  # (REC1) is no plasticizer
@given(mark=marks())
def test_a_mark_comes_back_as_it_was_written(mark: PlasticMark) -> None:
    assert read_mark(mark.written) == (mark,)
    assert mark.words and mark.written.isascii()


@examples(75)
@given(mark=marks(), data=st.data())
def test_brackets_case_and_spaces_do_not_matter(mark: PlasticMark, data: st.DataObject) -> None:
    text = mark.written.strip("><")
    if data.draw(st.booleans()):
        text = text.lower()
    if data.draw(st.booleans()):
        text = text.replace("+", " + ")
    if data.draw(st.booleans()):
        text = f" {text}  "
    assert read_mark(text) == (mark,)


@examples(150)
@given(text=st.text(max_size=140) | st.text("PABSEDTGF+-(/), >2036", max_size=20))
def test_any_text_is_a_mark_or_a_clear_error(text: str) -> None:
    try:
        layers = read_mark(text)
    except AnswerError as error:
        assert error.problem and error.accepted
    else:
        assert all(read_mark(mark.written) == (mark,) for mark in layers if not mark.plasticizer)


@examples(100)
@given(mark=marks())
def test_a_density_lies_between_those_of_its_parts(mark: PlasticMark) -> None:
    assert PACK.plastics is not None
    density = PACK.plastics.density(mark)
    if density is None:
        return
    rules = PACK.plastics
    lightest = min(one[0] for one in (*rules.polymers.values(), *rules.fillers.values()))
    heaviest = max(one[2] for one in (*rules.polymers.values(), *rules.fillers.values()))
    assert lightest - 1e-9 <= density[0] <= density[1] <= density[2] <= heaviest + 1e-9


@examples(30)
@given(
    told=cases(started=True),
    text=st.text(min_size=1, max_size=30).filter(str.strip)
    | marks().map(lambda mark: mark.written),
)
def test_any_mark_on_any_case_is_advised(told: Case, text: str) -> None:
    case = told.with_fact("carrier.mark", text)
    advice = advise(case, PACK, 64, flips=False)
    assert PACK.as_read(PACK.as_read(case)) == PACK.as_read(case)
    if "carrier.material" not in told.facts:
        reading = PACK.reading("carrier.mark", text)
        assert reading is not None
        found = PACK.as_read(case).facts.get("carrier.material", ())
        assert found == reading.options
        said = any(reading.mark in finding for finding in advice.findings)
        assert said == bool(reading.problem)


@examples(30)
@given(
    pair=st.tuples(
        *(
            st.sampled_from(
                sorted(
                    set(PACK.facts["carrier.material"].keys) & set(PACK.facts["carrier.piece"].keys)
                )
            ),
        )
        * 2
    )
)
def test_whether_two_plastics_fuse_does_not_depend_on_which_is_the_piece(
    pair: tuple[str, str],
) -> None:
    found = set()
    for part, piece in (pair, pair[::-1]):
        told = Case("HB-1", facts={"carrier.material": (part,), "carrier.piece": (piece,)})
        worlds = SampledWorlds(told, PACK, 8)
        for node in ("carrier.piece_welds", "carrier.piece_dissolves"):
            found.add((node, float(worlds.values[node][0])))
    assert len(found) == 2
