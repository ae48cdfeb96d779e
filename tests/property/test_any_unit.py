"""The unit in which a quantity is told never changes the answer.

The factors stand here once more, exact by the definitions of the units (inch, pound and
standard gravity by the international agreement of 1959 and CGPM 1901; a year of 365.25
days), so that the program's own conversion has something to be held against.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction as Exact

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.advice.advise import advise
from advisor.advice.result import Advice
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.quantity import parse_quantity
from tests.property.given_cases import PACK, demo, examples, interviews

pytestmark = pytest.mark.slow

POUND_FORCE = Exact("0.45359237") * Exact("9.80665")
INCH = Exact("25.4")
#: Unit to its size in the canonical unit, and for temperatures the offset.
UNITS: Mapping[str, Mapping[str, Exact | tuple[Exact, Exact]]] = {
    "number": {"": Exact(1)},
    "length": {"mm": Exact(1), "cm": Exact(10), "m": Exact(1000), "in": INCH, "inches": INCH,
               "ft": 12 * INCH, "mil": INCH / 1000},
    "area": {"mm2": Exact(1), "cm2": Exact(100), "sq in": INCH**2},
    "force": {"N": Exact(1), "lbf": POUND_FORCE, "kgf": Exact("9.80665"), "ozf": POUND_FORCE / 16},
    "line_force": {"N/mm": Exact(1), "N/cm": Exact(1, 10), "lbf/in": POUND_FORCE / INCH},
    "pressure": {"MPa": Exact(1), "kPa": Exact(1, 1000), "bar": Exact(1, 10),
                 "psi": POUND_FORCE / INCH**2},
    "mass": {"kg": Exact(1), "g": Exact(1, 1000), "lb": Exact("0.45359237")},
    "temperature": {"degC": Exact(1), "degF": (Exact(5, 9), Exact(-160, 9)),
                    "K": (Exact(1), Exact("-273.15"))},
    "time": {"min": Exact(1), "h": Exact(60), "s": Exact(1, 60)},
    "age": {"yr": Exact(1), "months": Exact(1, 12), "weeks": 7 / Exact("365.25")},
    "rate": {"mm/yr": Exact(1), "in/yr": INCH},
    "volume": {"l": Exact(1), "ml": Exact(1, 1000), "fl oz": Exact("0.0295735295625")},
    "per_year": {"per year": Exact(1), "per week": Exact("365.25") / 7},
}  # fmt: skip


def quantities() -> list[FactDecl]:
    return [decl for decl in PACK.facts.values() if decl.kind is Kind.QUANTITY]


def size_and_offset(decl: FactDecl, unit: str) -> tuple[Exact, Exact]:
    found = UNITS[decl.dimension][unit]
    return found if isinstance(found, tuple) else (found, Exact(0))


def written(decl: FactDecl, span: Span, unit: str, digits: int) -> tuple[str, Span]:
    """A span as one would write it in a unit, and exactly what that says in the canonical one.

    Rounded to so many digits; told in the canonical unit, unrounded, where rounding would
    leave what is possible.
    """
    size, offset = size_and_offset(decl, unit)
    numbers = [f"{float((Exact(x) - offset) / size):.{digits}g}" for x in (span.low, span.high)]
    exact = [Exact(number) * size + offset for number in numbers]
    if not all(span.low <= x <= span.high or decl.low <= x <= decl.high for x in exact) or (
        decl.high_by and exact[1] > Exact(span.high)
    ):
        unit, exact = decl.unit.removesuffix("1"), [Exact(span.low), Exact(span.high)]
        numbers = [repr(span.low), repr(span.high)]
    text = numbers[0] if numbers[0] == numbers[1] else f"{numbers[0]} to {numbers[1]}"
    return f"{text} {unit}".rstrip(), Span(float(exact[0]), float(exact[1]))


def figures(advice: Advice) -> dict[str, float]:
    """The numbers of an advice, by what they are of: equals have no order."""
    found = {"settled": advice.settled, "worlds": advice.effective_worlds}
    found |= {f"worth {question.fact}": question.value for question in advice.ask}
    spans = {f"{load.site} {load.duration}": load.value for load in advice.loads}
    for method in advice.methods:
        found[f"{method.method} holds"] = method.hold_probability
        spans[f"{method.method} minutes"], spans[f"{method.method} price"] = (
            method.minutes, method.price,
        )  # fmt: skip
        if method.usage is not None:
            spans[f"{method.method} usage"] = method.usage
    if advice.plan is not None and advice.plan.expected_cost is not None:
        found["cost"] = advice.plan.expected_cost
        spans["plan price"], spans["plan minutes"] = advice.plan.price, advice.plan.minutes
    # No price and no minutes while a hazard is open.
    for name, span in ((name, span) for name, span in spans.items() if span is not None):
        found |= {f"{name} low": span.low, name: span.typical, f"{name} high": span.high}
    return found


def same_answer(one: Advice, two: Advice, rel: float) -> None:
    assert one.verdict is two.verdict
    assert {(m.method, m.status) for m in one.methods} == {
        (m.method, m.status) for m in two.methods
    }
    assert (one.plan and one.plan.methods) == (two.plan and two.plan.methods)
    assert figures(one) == pytest.approx(figures(two), rel=rel, abs=1e-9)


def test_every_quantity_is_in_the_table() -> None:
    assert {decl.dimension for decl in quantities()} <= set(UNITS)


@examples(30)
@given(told=interviews(safe=True), data=st.data())
def test_a_case_told_in_any_units_is_the_same_case(
    told: Case, data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Every quantity of a case file in a unit of its own, single or from one to another."""
    lines, exact = ["format: 1", f"case: {told.name}", "facts:"], {}
    for name, value in told.facts.items():
        decl = PACK.facts[name]
        if isinstance(value, Span):
            unit = data.draw(st.sampled_from(sorted(UNITS[decl.dimension])), label=name)
            text, exact[name] = written(decl, value, unit, data.draw(st.sampled_from([3, 6])))
        else:
            keys = [*value] if isinstance(value, tuple) else value
            text, exact[name] = keys, value
        lines.append(f"  {name}: {json.dumps(text)}")
    path = tmp_path_factory.mktemp("units") / "case.yaml"
    path.write_text("\n".join(lines), encoding="utf-8")
    read = read_case(path, PACK.facts)
    for name, value in exact.items():
        got = read.facts[name]
        if isinstance(value, Span):
            assert isinstance(got, Span)
            assert (got.low, got.high) == pytest.approx((value.low, value.high), rel=1e-9, abs=1e-9)
        else:
            assert got == value
    there = replace(told, facts=exact, earlier_repairs=None)
    one, two = (advise(case, PACK, 53, flips=False) for case in (read, there))
    same_answer(one, two, rel=1e-6)


def told_with(**answers: str) -> Case:
    """The split armrest, with these quantities as a technician wrote them."""
    told = demo("split_armrest")
    for name, text in answers.items():
        fact = name.replace("__", ".")
        told = told.with_fact(fact, parse_quantity(text, PACK.facts[fact].dimension))
    return told


@pytest.mark.parametrize(
    ("fact", "metric", "other"),
    [
        ("damage__length", "127 mm", "5 in"),
        ("damage__length", "120 mm", "12 cm"),
        ("damage__length", "100..130 mm", "0.1 m to 13 cm"),
        ("skin__thickness", "1.27 mm", "50 mil"),
        ("place__peak_temperature", "60 degC", "140 degF"),
        ("vehicle__age", "1.5 yr", "18 months"),
        ("damage__closing_pull", "9.80665 N", "1 kgf"),
    ],
)
def test_the_unit_told_changes_nothing(fact: str, metric: str, other: str) -> None:
    one, two = (advise(told_with(**{fact: w}), PACK, 256, flips=False) for w in (metric, other))
    same_answer(one, two, rel=1e-9)


@examples(10)
@given(inches=st.floats(0.5, 30.0))
def test_any_length_in_inches(inches: float) -> None:
    told = told_with(damage__length=f"{inches!r} in")
    exact = told.with_fact("damage.length", Span(inches * 25.4, inches * 25.4))
    one, two = (advise(case, PACK, 64, flips=False) for case in (told, exact))
    same_answer(one, two, rel=1e-6)


def test_rounded_inches_are_nearly_the_same() -> None:
    """120 mm is 4.7244 in to four digits."""
    one, two = (
        advise(told_with(damage__length=w), PACK, 256, flips=False) for w in ("120 mm", "4.7244 in")
    )
    same_answer(one, two, rel=1e-4)


def test_every_quantity_has_a_unit_that_can_be_told() -> None:
    for decl in quantities():
        for unit in UNITS[decl.dimension]:
            size, offset = size_and_offset(decl, unit)
            number = float((Exact(decl.high) - offset) / size)
            span = parse_quantity(f"{number:.9g} {unit}".rstrip(), decl.dimension)
            assert span.high == pytest.approx(decl.high, rel=1e-6)
