"""Faults of a burn record: all at once, each with its place, what was found, what is accepted."""

from __future__ import annotations

import pytest

from advisor.facts.faults import BadInput
from advisor.papers.burn.record import BurnRecord, burn_record_in
from advisor.papers.burn.rule_sets import shipped_rules

HEAD = "format: 1\nrecord: HB-1\nrule_set: part_25\nitem: panel\ntest: vertical_60\n"


def read(text: str) -> BurnRecord:
    return burn_record_in(text, "r.yaml", shipped_rules())


def faults(text: str) -> list[str]:
    with pytest.raises(BadInput) as caught:
        read(text)
    return [fault.text for fault in caught.value.faults]


def test_all_faults_are_told_at_once() -> None:
    said = faults(
        "format: 2\nrecord: HB-1\nrule_set: part25\ntest: vertical_6\npassengers: 1.5\n"
        "directional: maybe\nconditioning: {temperature: 70, humidity: 50 degC, tim: 24 h}\n"
        "specimens:\n  wrap: []\n  any:\n    - {burn_length: 6.1, flame_time: -1 s}\n    - 4\n"
    )
    wanted = [
        "r.yaml:1:9: format: not one of the accepted words; found \"2\"; accepted: '1'",
        'r.yaml:3:11: rule_set: no such rule set; found "part25"; accepted: one of car_3, ',
        'r.yaml:4:7: test: no such test; found "vertical_6"; accepted: one of vertical_60, ',
        'r.yaml:5:13: passengers: not a whole number; found "1.5"; accepted: a whole number such',
        'r.yaml:6:14: directional: not yes or no; found "maybe"; accepted: yes or no',
        'r.yaml:7:29: conditioning.temperature: the unit is missing; found "70"; accepted: a temp',
        'r.yaml:7:43: conditioning.humidity: not a unit for this; found "50 degC"; accepted: a ',
        'r.yaml:7:52: conditioning.tim: unknown key; found "tim"; accepted: equilibrium, ',
        'r.yaml:9:3: specimens.wrap: not one of the accepted words; found "wrap"; accepted: ',
        'r.yaml:11:21: specimens.any.0.burn_length: the unit is missing; found "6.1"; accepted: ',
        'r.yaml:11:38: specimens.any.0.flame_time: below 0; found "-1 s"; accepted: a time such',
        'r.yaml:12:7: specimens.any.1: not a mapping; found "4"; accepted: keys with values: ',
    ]
    assert len(said) == len(wanted), said
    for line, words in zip(said, wanted, strict=True):
        assert line.startswith(words), line


@pytest.mark.parametrize(("test", "specimen", "said"), [
    ("horizontal", "rate: 3 in/min, distance: 3 in",
     "the rate is given twice; found \"rate with distance or time\"; accepted: rate, or distance "
     "and time"),
    ("horizontal", "went_out: before_first_mark, rate: 3 in/min",
     "a flame that went out before the first mark has no rate; "),
    ("horizontal", "distance: 3 in, time: 0 s",
     'a rate or share cannot be calculated from it; found "0 s"; accepted: more than 0'),
    ("horizontal", "went_out: yes", "not one of the accepted words"),
    ("cushion_burner", "weight_loss: 3 %, weight_after: 3 lb", "the loss of weight is given twice"),
    ("cushion_burner", "weight_before: 2 lb, weight_after: 3 lb",
     'heavier after the test; found "3 lb"; accepted: to 2 lb'),
    ("vertical_60", "glow_time: 3 s",
     "not read in this test; accepted: burn_length, flame_time, drip_flame_time"),
    ("vertical_60", "drip_flame_time: none",
     'not a number with its unit; found "none"; accepted: a time such as 2.5 s or 24 h, or: no '
     "drips"),
])  # fmt: skip
def test_a_specimen_that_says_too_much(test: str, specimen: str, said: str) -> None:
    text = HEAD.replace("vertical_60", test) + f"specimens:\n  any:\n    - {{{specimen}}}\n"
    (line,) = faults(text)
    assert line.startswith("r.yaml:8:") and said in line


def test_an_item_of_another_rule_set() -> None:
    (line,) = faults(HEAD.replace("panel", "panle"))
    assert line.startswith('r.yaml:4:7: item: no such item in part_25; found "panle"; accepted: ')
    assert line.endswith("(did you mean panel?)")


def test_blanks_are_nothing_and_numbers_stay_as_written() -> None:
    record = read(
        HEAD + "certificate: 0042\nmaterial: {batch: 1.50}\nconditioning:\n"
        "specimens:\n  any:\n    - {burn_length: , flame_time: 0.10 s}\n  warp:\n"
    )
    assert (record.certificate, record.material.batch) == ("0042", "1.50")
    assert record.conditioning.temperature is None
    (one,) = record.specimens["any"]
    assert one.burn_length is None
    assert one.flame_time is not None and one.flame_time.written == "0.10 s"
    assert record.specimens["warp"] == ()


def test_one_weight_alone_is_a_blank_and_no_fault() -> None:
    text = HEAD.replace("vertical_60", "cushion_burner").replace("panel", "cushion")
    (one,) = read(text + "specimens:\n  any:\n    - weight_after: 2 lb\n").specimens["any"]
    assert one.weight_before is None and one.weight_after is not None


def test_a_record_needs_its_format_and_its_name() -> None:
    assert [line.split(": ", 1)[1] for line in faults("title: a\n")] == [
        "format is missing", "record is missing",
    ]  # fmt: skip


def test_a_list_where_a_name_belongs() -> None:
    """Told, and nothing that depends on the name is."""
    said = faults("format: 1\nrecord: [a]\nrule_set: [a]\nitem: {a: b}\ntest: [a]\n")
    assert [line.split(": ", 1)[1] for line in said] == [
        f"{name}: not a text; found {what}; accepted: a text"
        for name, what in (("record", "a list"), ("rule_set", "a list"), ("item", "a mapping"),
                           ("test", "a list"))
    ]  # fmt: skip


def test_a_key_given_twice_is_told_beside_the_rest() -> None:
    said = faults(HEAD + "test: horizontal\npassengers: many\n")
    assert len(said) == 2 and "given twice" in said[0] and "passengers" in said[1]
