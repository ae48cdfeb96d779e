"""What must hold of any burn record: worse is never better, order, unit and blanks.

Own rules of this project; the factors between units are exact by definition (inch and pound
by the international agreement of 1959).
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from hypothesis import assume, event, given
from hypothesis import strategies as st

from advisor.facts.faults import BadInput
from advisor.papers.burn.judge import Judged, Verdict
from advisor.papers.burn.rule_sets import shipped_rules
from tests.burn_records import AIRCRAFT_AIR, ROAD_AIR, judged
from tests.property.given_cases import examples

RULES = shipped_rules()
#: Every rule set, item and test that has limits.
BASES = [
    (rule_set, item, test)
    for rule_set, rules in RULES.sets.items()
    for item, known in rules.items.items()
    for test, asked in known.tests.items()
    if asked.limits
]
#: Reading to its unit and a figure some way over every limit there is for it.
READ = {
    "burn_length": ("in", 10), "flame_time": ("s", 20), "drip_flame_time": ("s", 7),
    "glow_time": ("s", 13), "weight_loss": ("%", 13), "heat_peak": ("kW/m2", 80),
    "heat_total": ("kW min/m2", 80), "smoke_density": ("", 260),
}  # fmt: skip
#: A unit, another one, and how much of the other one it is.
OTHERS = {
    "in": ("mm", Fraction("25.4")), "s": ("min", Fraction(1, 60)),
    "kW/m2": ("W/cm2", Fraction(1, 10)), "kW min/m2": ("W min/cm2", Fraction(1, 10)),
    "mm": ("cm", Fraction(1, 10)), "lb": ("oz", Fraction(16)), "h": ("min", Fraction(60)),
    "mm/min": ("cm/min", Fraction(1, 10)), "in/min": ("mm/min", Fraction("25.4")),
}  # fmt: skip


@st.composite
def specimens(draw: st.DrawFn, reads: tuple[str, ...]) -> dict[str, Any]:
    one: dict[str, Any] = {}
    for quantity in reads:
        if quantity in ("penetration", "cotton_lit"):
            one[quantity] = draw(st.booleans())
        elif quantity == "rate":
            one |= draw(burning())
        elif quantity == "cushion_burn_length":
            one |= {"burn_length": f"{draw(st.integers(100, 200)) / 10} in"}
            one["far_side_reached"] = draw(st.booleans())
        elif quantity == "weight_loss" and draw(st.booleans()):
            after = f"{draw(st.integers(26, 30)) / 10} lb"
            one |= {"weight_before": "3.0 lb", "weight_after": after}
        else:
            unit, most = READ[quantity]
            one[quantity] = f"{draw(st.integers(0, most * 10)) / 10} {unit}".strip()
    return one


def burning() -> st.SearchStrategy[dict[str, Any]]:
    went_out = st.sampled_from(["before_last_mark", "did_not"])
    distances = st.sampled_from(["10 in", "254 mm", "51 mm", "52 mm", "300 mm"])
    times = st.integers(200, 4000).map(lambda tenth: f"{tenth / 10} s")
    rates = st.integers(1, 1200).map(lambda tenth: f"{tenth / 10} mm/min")
    return st.one_of(
        st.just({"went_out": "before_first_mark"}),
        st.fixed_dictionaries({"went_out": went_out, "rate": rates}),
        st.fixed_dictionaries({"went_out": went_out, "distance": distances, "time": times}),
    )


@st.composite
def records(draw: st.DrawFn) -> dict[str, Any]:
    """Complete records, along one or two directions."""
    rule_set, item, test = draw(st.sampled_from(BASES))
    known = RULES.tests[test]
    least = known.specimens.least
    directional = known.directions and draw(st.booleans())
    names = ("warp", "fill") if directional else ("any",)
    listed = st.lists(specimens(known.reads), min_size=least, max_size=least + 2)
    air = ROAD_AIR if test.endswith(("302", "3795", "r118")) else AIRCRAFT_AIR
    return {
        "format": 1, "record": "HB-BURN-1", "rule_set": rule_set, "item": item, "test": test,
        "passengers": 40, "agreed_limit": "100 mm/min", "directional": directional,
        "conditioning": dict(air), "specimens": {name: draw(listed) for name in names},
    }  # fmt: skip


def outcome(found: Judged) -> tuple[Any, ...]:
    """What a verdict comes to, whatever the units shown and the order of specimens."""
    compared = sorted(
        (one.limit.quantity, one.limit.judged, one.direction, str(one.at_most), str(one.mean),
         str(one.worst), one.meeting or -1, str(one.within))
        for one in found.compared
    )  # fmt: skip
    return found.verdict, compared, sorted(one.kind for one in found.findings)


def speed(one: Mapping[str, Any]) -> Fraction:
    """The rate of a specimen in mm/min."""
    if "rate" in one:
        return Fraction(one["rate"].split()[0])
    if "distance" not in one:
        return Fraction(0)
    (distance, unit), (time, _) = one["distance"].split(), one["time"].split()
    return Fraction(distance) * (Fraction("25.4") if unit == "in" else 1) * 60 / Fraction(time)


def worse(group: list[dict[str, Any]], test: str, by_far: bool) -> dict[str, Any]:
    """A specimen that is in every reading as bad as the worst of ``group``, or worse by far."""
    one: dict[str, Any] = {}
    reads = RULES.tests[test].reads
    if "rate" in reads:
        fastest = max(group, key=speed)
        told = {"rate": "5000 mm/min"} if by_far or not speed(fastest) else fastest
        return {**told, "went_out": "did_not"}
    for name in {"burn_length", *reads} & set(READ) - {"weight_loss"}:
        if any(name in specimen for specimen in group):
            unit, most = READ[name]
            worst = max(Fraction(specimen[name].split()[0]) for specimen in group)
            one[name] = f"{float(most * 3 if by_far else worst)} {unit}".strip()
    for name in ("penetration", "cotton_lit", "far_side_reached"):
        if any(name in specimen for specimen in group):
            one[name] = by_far or any(specimen[name] for specimen in group)
    if "weight_loss" in reads:
        one["weight_loss"] = "30 %"
    return one


@given(records(), st.data())
@examples(60)
def test_a_worse_specimen_never_turns_fail_into_anything_else(
    content: dict[str, Any], data: st.DataObject
) -> None:
    before = judged(content).verdict
    event(before.value)
    assume(before is Verdict.FAIL)
    changed = copy.deepcopy(content)
    group = changed["specimens"][data.draw(st.sampled_from(sorted(changed["specimens"])))]
    group.append(worse(group, content["test"], data.draw(st.booleans())))
    assert judged(changed).verdict is Verdict.FAIL


@given(records(), st.data())
@examples(60)
def test_a_worse_reading_never_turns_fail_into_pass(
    content: dict[str, Any], data: st.DataObject
) -> None:
    """One specimen in place of another that was better or as good."""
    assume(judged(content).verdict is Verdict.FAIL)
    changed = copy.deepcopy(content)
    group = changed["specimens"][data.draw(st.sampled_from(sorted(changed["specimens"])))]
    place = data.draw(st.integers(0, len(group) - 1))
    group[place] = worse(group, content["test"], data.draw(st.booleans()))
    assert judged(changed).verdict is Verdict.FAIL


@given(records(), st.randoms(use_true_random=False))
@examples(60)
def test_order_never_matters(content: dict[str, Any], random: Any) -> None:
    changed = copy.deepcopy(content)
    groups = list(changed["specimens"].items())
    random.shuffle(groups)
    for _, group in groups:
        random.shuffle(group)
    changed["specimens"] = dict(groups)
    assert outcome(judged(changed)) == outcome(judged(content))


def other_unit(value: Any) -> Any:
    """The same amount in another unit, as a fraction where a decimal would not end."""
    if isinstance(value, Mapping):
        return {key: other_unit(inside) for key, inside in value.items()}
    if isinstance(value, list):
        return [other_unit(inside) for inside in value]
    figure, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
    if unit == "degF":
        return fraction_text((Fraction(figure) - 32) * Fraction(5, 9), "degC")
    if unit == "degC":
        return fraction_text(Fraction(figure) * Fraction(9, 5) + 32, "degF")
    if unit not in OTHERS:
        return value
    other, factor = OTHERS[unit]
    return fraction_text(Fraction(figure) * factor, other)


def fraction_text(value: Fraction, unit: str) -> str:
    if 10**6 % value.denominator == 0:
        return f"{value.numerator * (10**6 // value.denominator) / 10**6:.6f} {unit}"
    whole, rest = divmod(value.numerator, value.denominator)
    return f"{whole} {rest}/{value.denominator} {unit}"


@given(records(), st.booleans())
@examples(60)
def test_the_unit_never_changes_a_verdict(content: dict[str, Any], all_of_it: bool) -> None:
    changed = copy.deepcopy(content)
    changed["specimens"] = other_unit(changed["specimens"])
    if all_of_it:
        for key in ("conditioning", "agreed_limit"):
            changed[key] = other_unit(changed[key])
    assert changed != content or not all_of_it
    assert outcome(judged(changed)) == outcome(judged(content))


@given(records(), st.data())
@examples(60)
def test_a_blank_is_never_zero(content: dict[str, Any], data: st.DataObject) -> None:
    """Whatever the verdict on the whole record, one blank reading leaves it open."""
    changed = copy.deepcopy(content)
    group = changed["specimens"][data.draw(st.sampled_from(sorted(changed["specimens"])))]
    one = group[data.draw(st.integers(0, len(group) - 1))]
    name = data.draw(st.sampled_from(sorted(one)))
    one[name] = None
    assert judged(changed).verdict is Verdict.INCOMPLETE
    del one[name]
    assert judged(changed).verdict is Verdict.INCOMPLETE


@given(records(), st.data())
@examples(60)
def test_what_is_not_told_of_the_test_is_never_taken_for_good(
    content: dict[str, Any], data: st.DataObject
) -> None:
    names = ["rule_set", "item", "test", "conditioning", "specimens"]
    name = data.draw(st.sampled_from(names))
    assert judged({**content, name: None}).verdict is Verdict.INCOMPLETE


ODD = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 10**20) | st.floats(allow_nan=False)
    | st.sampled_from(["", "no drips", "3", "1/0 in", "6,1 in", "-1 s", "4 in/min", "part_25",
                       "any", "9" * 60 + " mm", "1 in\u2028", "did_not"])
    | st.text(max_size=6),
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(st.text(max_size=6), inside,
                                                                  max_size=3),
    max_leaves=4,
)  # fmt: skip


def places(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a record where something stands."""
    inside = value.items() if isinstance(value, dict) else ()
    inside = enumerate(value) if isinstance(value, list) else inside
    return [at, *(place for key, one in inside for place in places(one, (*at, key)))]


@given(records(), st.data())
@examples(150)
def test_whatever_stands_in_a_record_is_judged_or_refused(
    content: dict[str, Any], data: st.DataObject
) -> None:
    """Never a fault of the program; a fault that is told has its line."""
    *way, last = data.draw(st.sampled_from(places(content)[1:]))
    changed = copy.deepcopy(content)
    holder: Any = changed
    for key in way:
        holder = holder[key]
    holder[last] = data.draw(ODD)
    try:
        assert judged(changed).verdict in Verdict
    except BadInput as bad:
        assert all(fault.line for fault in bad.faults)
