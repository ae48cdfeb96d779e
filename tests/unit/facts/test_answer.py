from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.answer import check_name, check_text, check_value
from advisor.facts.case import Span, Value
from advisor.facts.declaration import FactDecl, Kind, Stage
from advisor.facts.faults import AnswerError
from tests.unit.facts.declared_facts import DECLARED

Facts = Mapping[str, FactDecl]
MATERIALS = "one of leather, vinyl_coated_fabric, unsupported_vinyl, woven_cloth"
LENGTHS = "a length such as 120 mm, 12 cm, 4.5 in"
COUNT = FactDecl("n", Kind.QUANTITY, Stage.DAMAGE, "", "", "", low=1, high=60, whole=True)


@pytest.mark.parametrize(
    ("name", "raw", "value"),
    [
        ("skin.material", "leather", ("leather",)),
        ("skin.material", ["leather", "woven_cloth"], ("leather", "woven_cloth")),
        ("skin.material", ("leather",), ("leather",)),
        ("damage.edges_meet", True, ("yes",)),
        ("damage.edges_meet", [False, "unknown"], ("no", "unknown")),
        ("damage.length", "120 mm", Span(120, 120)),
        ("damage.length", "10000 mm", Span(10_000, 10_000)),
        ("skin.hardness", 60, Span(60, 60)),
        ("skin.hardness", "55..65", Span(55, 65)),
        ("hazard.airbag_near", True, True),
        ("hazard.airbag_near", "No", False),
        ("damage.remark", "wet\r\nfoam", "wet\nfoam"),
        ("damage.remark", 12, "12"),
    ],
)
def test_accepted(facts: Facts, name: str, raw: object, value: Value) -> None:
    assert check_value(facts[name], raw) == value


@pytest.mark.parametrize(
    ("name", "raw", "message"),
    [
        ("skin.material", "lether", f'not one of the answers; found "lether"; accepted: {MATERIALS}'
         " (did you mean leather?)"),
        ("skin.material", "Woven Cloth", 'not one of the answers; found "Woven Cloth"; accepted: '
         f"{MATERIALS} (did you mean woven_cloth?)"),
        ("skin.material", ["leather", "leather"],
         'the same answer is given twice; found "leather"; accepted: each answer once'),
        ("skin.material", [],
         f"an empty list says nothing; accepted: {MATERIALS}, or leave it out"),
        ("skin.material", None, f"no answer is given; accepted: {MATERIALS}, or leave it out"),
        ("skin.material", {}, f"not one of the answers; found a mapping; accepted: {MATERIALS}"),
        ("skin.material", [["leather"]],
         f"not one of the answers; found a list; accepted: {MATERIALS}"),
        ("skin.material", True, f'not one of the answers; found "yes"; accepted: {MATERIALS}'),
        ("damage.length", "9 m", None),
        ("damage.length", "11 m", 'outside what is possible; found "11 m" (11000 mm); '
         "accepted: 0 to 10000 mm"),
        ("damage.length", "-1 mm",
         'outside what is possible; found "-1 mm"; accepted: 0 to 10000 mm'),
        ("damage.length", "9000..11000 mm", 'outside what is possible; found "9000..11000 mm" '
         "(9000 to 11000 mm); accepted: 0 to 10000 mm"),
        ("damage.length", True, f'not a length; found "yes"; accepted: {LENGTHS}'),
        ("damage.length", ["1 mm"], f"not a length; found a list; accepted: {LENGTHS}"),
        ("damage.length", None, f"no answer is given; accepted: {LENGTHS}, or leave it out"),
        ("damage.length", "120 kg",
         f'not a length; found "120 kg" (a mass); accepted: {LENGTHS}'),
        ("skin.hardness", "60 Shore", 'a plain number is wanted, without a unit; '
         'found "60 Shore"; accepted: a plain number such as 3, 0.5, 3..5'),
        ("skin.hardness", 9, 'outside what is possible; found "9"; accepted: 10 to 100'),
        ("hazard.airbag_near", "yess", 'not a yes or no; found "yess"; accepted: yes or no '
         "(did you mean yes?)"),
        ("hazard.airbag_near", 1, 'not a yes or no; found "1"; accepted: yes or no'),
        ("hazard.airbag_near", None,
         "no answer is given; accepted: yes or no, or leave it out"),
        ("hazard.airbag_near", [], "not a yes or no; found a list; accepted: yes or no"),
        ("damage.remark", "  ", "no answer is given; accepted: text of at most 2,000 characters, "
         "or leave it out"),
        ("damage.remark", "x" * 2_001, 'the text is too long: 2,001 characters; found "'
         + "x" * 60 + '..."; accepted: text of at most 2,000 characters'),
        ("damage.remark", "a\0", 'a control character (U+0000) is in the text; found "a\\x00"; '
         "accepted: text of at most 2,000 characters"),
        ("damage.remark", ["a"],
         "not text; found a list; accepted: text of at most 2,000 characters"),
        ("damage.remark", True,
         'not text; found "yes"; accepted: text of at most 2,000 characters'),
    ],
)  # fmt: skip
def test_messages(facts: Facts, name: str, raw: object, message: str | None) -> None:
    if message is None:
        check_value(facts[name], raw)
        return
    with pytest.raises(AnswerError) as caught:
        check_value(facts[name], raw)
    assert str(caught.value) == message


def test_what_is_possible_on_this_part(facts: Facts) -> None:
    decl = facts["damage.length"]
    assert check_value(decl, "600 mm", "armrest") == Span(600, 600)
    assert check_value(decl, "9 m", "seat_cushion") == Span(9_000, 9_000)
    with pytest.raises(AnswerError) as caught:
        check_value(decl, "9 m", "armrest")
    assert str(caught.value) == (
        'not possible on an armrest; found "9 m" (9000 mm); accepted: 0 to 600 mm on an armrest'
    )


def test_a_part_not_known_for_sure_has_the_loosest_bound(facts: Facts) -> None:
    decl = facts["damage.length"]
    assert check_value(decl, "1200 mm", ("armrest", "door_panel")) == Span(1_200, 1_200)
    assert check_value(decl, "9 m", ("armrest", "seat_cushion")) == Span(9_000, 9_000)
    with pytest.raises(AnswerError) as caught:
        check_value(decl, "2 m", ("armrest", "door_panel"))
    assert str(caught.value) == (
        'not possible on an armrest or door panel; found "2 m" (2000 mm); '
        "accepted: 0 to 1500 mm on an armrest or door panel"
    )


def test_a_bound_in_another_unit_is_inside() -> None:
    decl = FactDecl(
        "x", Kind.QUANTITY, Stage.DAMAGE, "", "", "", dimension="length", low=2.54, high=609.6
    )
    assert check_value(decl, "0.1 in") and check_value(decl, "24 in") and check_value(decl, "2 ft")
    with pytest.raises(AnswerError):
        check_value(decl, "24.001 in")


def test_no_bounds_declared() -> None:
    decl = FactDecl("x", Kind.QUANTITY, Stage.DAMAGE, "", "", "", dimension="number")
    assert check_value(decl, "-1e9") == Span(-1e9, -1e9)


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=6,
)


@given(st.sampled_from(DECLARED), ANYTHING, st.sampled_from([None, "armrest", ("a", "armrest")]))
def test_anything_gives_a_value_or_a_message(
    decl: FactDecl, raw: object, part: str | tuple[str, ...] | None
) -> None:
    try:
        value = check_value(decl, raw, part)
    except AnswerError as error:
        assert "\n" not in str(error)
    else:
        assert isinstance(value, (bool, Span, str, tuple))


@pytest.mark.parametrize("name", ["HB-2041", "Fähre 3", "a", "x" * 80, "B_7 (left)", "2041"])
def test_good_names(name: str) -> None:
    assert check_name(name) == name


@pytest.mark.parametrize(
    ("raw", "problem"),
    [
        (None, "the case has no name"),
        ("", "the case has no name"),
        ([], "not a name"),
        ("x" * 81, "the name is too long: 81 characters"),
        ("../etc", "a character that a file name cannot hold"),
        ("a\\b", "a character that a file name cannot hold"),
        ("a:b", "a character that a file name cannot hold"),
        ("a\nb", "a character that a file name cannot hold"),
        (" a", "a name may not begin or end with a space or a point"),
        (".a", "a name may not begin or end with a space or a point"),
        ("..", "a name may not begin or end with a space or a point"),
        ("CON", "a name that some systems keep for devices"),
        ("nul.txt", "a name that some systems keep for devices"),
    ],
)
def test_bad_names(raw: object, problem: str) -> None:
    with pytest.raises(AnswerError) as caught:
        check_name(raw)
    assert caught.value.problem == problem
    assert 'accepted: 1 to 80 characters such as HB-2041, without / \\ : * ? " < > |' in str(
        caught.value
    )


def test_text_limit_can_be_set() -> None:
    assert check_text("abc", 3) == "abc"
    with pytest.raises(AnswerError):
        check_text("abcd", 3)


@pytest.mark.parametrize(("raw", "span"), [(3, Span(3, 3)), ("2..4", Span(2, 4))])
def test_a_count_in_whole_numbers(raw: object, span: Span) -> None:
    assert check_value(COUNT, raw) == span


@pytest.mark.parametrize("raw", [2.5, "2.5", "2..3.5"])
def test_half_a_crack_is_refused(raw: object) -> None:
    with pytest.raises(AnswerError) as caught:
        check_value(COUNT, raw)
    assert (caught.value.problem, caught.value.found) == ("not a whole number", str(raw))
