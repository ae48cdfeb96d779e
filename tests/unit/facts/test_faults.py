from __future__ import annotations

import pickle

from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.faults import AnswerError, BadInput, Fault, nearest_name, one_of, printable


def test_one_line_with_place_field_and_dimension() -> None:
    fault = Fault(
        "harbour.yaml", 12, 17, "damage.length", "not a length", "120 kg",
        "a length such as 120 mm, 12 cm, 4.5 in", found_is="a mass",
    )  # fmt: skip
    assert fault.text == (
        'harbour.yaml:12:17: damage.length: not a length; found "120 kg" (a mass); '
        "accepted: a length such as 120 mm, 12 cm, 4.5 in"
    )


def test_nearest_is_a_question() -> None:
    fault = Fault("a.yaml", 1, 2, "skin", "no such fact", "", "a fact", "skin.feel")
    assert fault.text == (
        "a.yaml:1:2: skin: no such fact; accepted: a fact (did you mean skin.feel?)"
    )


def test_unknown_place_and_empty_parts_are_left_out() -> None:
    assert Fault("a.yaml", 0, 0, "", "there is no such file", "", "").text == (
        "a.yaml: there is no such file"
    )
    assert Fault("a.yaml", 3, 0, "", "odd", "", "", found_is="a list").text == (
        "a.yaml:3: odd; found a list"
    )


def test_a_value_already_quoted_is_not_quoted_again() -> None:
    assert Fault("a", 0, 0, "", "p", '"x"', "").text == 'a: p; found "x"'


def test_long_and_unprintable_values_stay_on_one_line() -> None:
    text = Fault("a", 1, 1, "f\x1b[2J", "p", "x\ny\0" + "z" * 500, "").text
    assert text == 'a:1:1: f\\x1b[2J: p; found "x\\ny\\x00' + "z" * 56 + '..."'


@given(st.text())
def test_printable_never_holds_a_line_end_or_control(text: str) -> None:
    shown = printable(text)
    assert len(shown.splitlines()) <= 1
    assert not any(ord(c) < 32 or ord(c) == 127 for c in shown)
    shown.encode("utf-8")


def test_bad_input_sorts_and_lists_all() -> None:
    late = Fault("a", 9, 1, "x", "late", "", "")
    early = Fault("a", 2, 5, "x", "early", "", "")
    bad = BadInput([late, early])
    assert bad.faults == (early, late)
    assert str(bad) == "a:2:5: x: early\na:9:1: x: late"
    assert BadInput(late).faults == (late,)
    assert pickle.loads(pickle.dumps(bad)).faults == bad.faults


def test_nearest_name() -> None:
    names = ("skin.thickness", "skin.material", "core.state")
    assert nearest_name("skin.thicknes", names) == "skin.thickness"
    assert nearest_name("Core State", ("core_state",)) == "core_state"
    assert nearest_name("harbour", names) == ""
    assert nearest_name("x" * 1_000_000, names) == ""


def test_one_of_cuts_a_long_list() -> None:
    assert one_of(["a"]) == "a"
    assert one_of(["a", "b"]) == "one of a, b"
    assert one_of([str(i) for i in range(15)]).endswith("11 and 3 more")


def test_answer_error_keeps_its_parts_and_takes_a_place() -> None:
    error = AnswerError("p", "f", "a", "n", found_is="w")
    assert str(error) == 'p; found "f" (w); accepted: a (did you mean n?)'
    assert error.at("x.yaml", 3, 4, "g").text == f"x.yaml:3:4: g: {error}"
    assert str(pickle.loads(pickle.dumps(error))) == str(error)
