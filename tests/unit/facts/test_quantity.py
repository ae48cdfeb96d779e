from __future__ import annotations

import math
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.case import Span
from advisor.facts.declaration import CANONICAL_UNITS
from advisor.facts.quantity import (
    QuantityError,
    System,
    accepted_text,
    back,
    convert,
    parse_quantity,
    plain_number,
    show,
    shown_unit,
    with_words,
)
from advisor.facts.units import EXAMPLES, unit_names
from advisor.wording.amounts import for_people

DIMENSIONS = tuple(CANONICAL_UNITS)
LENGTHS = "; accepted: a length such as 120 mm, 12 cm, 4.5 in"
FORCES = "; accepted: a force such as 14 N, 3 lbf, 1.5 kgf"


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "dimension", "low", "high"),
    [
        ("120 mm", "length", 120, 120),
        ("120mm", "length", 120, 120),
        ("  120   mm ", "length", 120, 120),
        ("120 MM", "length", 120, 120),
        ("12 cm", "length", 120, 120),
        ("4.5 in", "length", 114.3, 114.3),
        ('4.5"', "length", 114.3, 114.3),
        ("4 1/2 in", "length", 114.3, 114.3),
        ("1/8 in", "length", 3.175, 3.175),
        ("1 in.", "length", 25.4, 25.4),
        ("40 mil", "length", 1.016, 1.016),
        ("120..130 mm", "length", 120, 130),
        ("120 .. 130 mm", "length", 120, 130),
        ("120 to 130 mm", "length", 120, 130),
        ("120mm to 130mm", "length", 120, 130),
        ("120-130 mm", "length", 120, 130),
        ("120–130 mm", "length", 120, 130),
        ("9 mm to 1.2 cm", "length", 9, 12),
        ("1 1/2 to 2 in", "length", 38.1, 50.8),
        ("1e2 mm", "length", 100, 100),
        ("1e-2 mm", "length", 0.01, 0.01),
        ("1e-2-2e-2 mm", "length", 0.01, 0.02),
        ("14 N", "force", 14, 14),
        ("-5 degC", "temperature", -5, -5),
        ("−5 °C", "temperature", -5, -5),
        ("-20 to -5 degC", "temperature", -20, -5),
        ("-20..-5 degC", "temperature", -20, -5),
        ("-20--5 degC", "temperature", -20, -5),
        ("-5 to 5 C", "temperature", -5, 5),
        ("23 °F", "temperature", -5, -5),
        ("32 degF", "temperature", 0, 0),
        ("14 to 23 F", "temperature", -10, -5),
        ("273.15 K", "temperature", 0, 0),
        ("8 years", "age", 8, 8),
        ("18 months", "age", 1.5, 1.5),
        ("90 s", "time", 1.5, 1.5),
        ("0.35 N/mm", "line_force", 0.35, 0.35),
        ("0.35 N per mm", "line_force", 0.35, 0.35),
        ("3.5 N/cm", "line_force", 0.35, 0.35),
        ("400 mm²", "area", 400, 400),
        ("400 mm^2", "area", 400, 400),
        ("4 cm2 to 500 mm2", "area", 400, 500),
        ("200 kPa", "pressure", 0.2, 0.2),
        ("0.2 N/mm2", "pressure", 0.2, 0.2),
        ("250 per year", "per_year", 250, 250),
        ("250 a year", "per_year", 250, 250),
        ("250 1/yr", "per_year", 250, 250),
        ("1 per month", "per_year", 12, 12),
        ("600 ml", "volume", 0.6, 0.6),
        ("2 mm a year", "rate", 2, 2),
        ("3", "number", 3, 3),
        (3, "number", 3, 3),
        (2.5, "number", 2.5, 2.5),
        ("3..5", "number", 3, 5),
        ("3-5", "number", 3, 5),
        ("-0", "number", 0, 0),
    ],
)
def test_accepted_forms(text: str | float, dimension: str, low: float, high: float) -> None:
    span = parse_quantity(text, dimension)
    assert (span.low, span.high) == (low, high)
    assert span.written == (text.strip() if isinstance(text, str) else plain_number(text))


@pytest.mark.parametrize(
    ("text", "dimension", "message"),
    [
        ("120", "length", 'the unit is missing; found "120"' + LENGTHS),
        (120, "length", 'the unit is missing; found "120"' + LENGTHS),
        ("120..130", "length", 'the unit is missing; found "120..130"' + LENGTHS),
        ("mm", "length", 'the number is missing; found "mm"' + LENGTHS),
        ("", "length", "no value is given" + LENGTHS),
        ("1,5 mm", "length", 'a comma in a number is not accepted, use a point; found "1,5 mm"'
         + LENGTHS + " (did you mean 1.5 mm?)"),
        ("1,500 mm", "length",
         'a comma in a number is not accepted, use a point; found "1,500 mm"' + LENGTHS),
        ("120 kg", "length", 'not a length; found "120 kg" (a mass)' + LENGTHS),
        ("5 min", "length", 'not a length; found "5 min" (a time)' + LENGTHS),
        ("5 weeks", "length", 'not a length; found "5 weeks" (a time)' + LENGTHS),
        ("20 fl oz", "length", 'not a length; found "20 fl oz" (a volume)' + LENGTHS),
        ("20 degF", "length", 'not a length; found "20 degF" (a temperature)' + LENGTHS),
        ("3 W", "length", 'not a length; found "3 W"' + LENGTHS),
        ("3 lb", "force", 'not a force; found "3 lb" (a mass)' + FORCES
         + " (did you mean 3 lbf?)"),
        ("1.5 kg", "force", 'not a force; found "1.5 kg" (a mass)' + FORCES
         + " (did you mean 1.5 kgf?)"),
        ("2 lb/in", "line_force", 'not a force per length; found "2 lb/in"; accepted: a force '
         "per length such as 0.35 N/mm, 2 lbf/in (did you mean 2 lbf/in?)"),
        ("12 milimeter", "length", 'the unit is not known; found "12 milimeter"' + LENGTHS
         + " (did you mean 12 millimeter?)"),
        ("3 Mpa", "pressure", 'the unit is not known; found "3 Mpa"; accepted: a pressure such '
         "as 0.2 MPa, 200 kPa, 29 psi (did you mean 3 MPa?)"),
        ("130..120 mm", "length", "the range runs backwards, the smaller value comes first; "
         'found "130..120 mm"' + LENGTHS + " (did you mean 120 to 130 mm?)"),
        ("12 cm to 90 mm", "length", "the range runs backwards, the smaller value comes first; "
         'found "12 cm to 90 mm"' + LENGTHS + " (did you mean 90 mm to 12 cm?)"),
        ("5..3", "number", 'the range runs backwards, the smaller value comes first; found "5..3"; '
         "accepted: a plain number such as 3, 0.5, 3..5 (did you mean 3 to 5?)"),
        ("3 mm", "number", 'a plain number is wanted, without a unit; found "3 mm"; '
         "accepted: a plain number such as 3, 0.5, 3..5"),
        ("nan mm", "length", 'not a finite number; found "nan mm"' + LENGTHS),
        ("-inf", "number", 'not a finite number; found "-inf"; '
         "accepted: a plain number such as 3, 0.5, 3..5"),
        (math.nan, "number", 'not a finite number; found "nan"; '
         "accepted: a plain number such as 3, 0.5, 3..5"),
        (10**400, "number", 'not a finite number; found "inf"; '
         "accepted: a plain number such as 3, 0.5, 3..5"),
        ("1e999 mm", "length", 'not a finite number; found "1e999 mm"' + LENGTHS),
        ("1/0 in", "length", 'not a finite number; found "1/0 in"' + LENGTHS),
        ("about 5 mm", "length", 'not a length; found "about 5 mm"' + LENGTHS),
        (True, "length", 'not a length; found "True"' + LENGTHS),
        ("٣ mm", "length", 'not a length; found "٣ mm"' + LENGTHS),
        ("0.2 mPa", "length", 'the unit is not known; found "0.2 mPa"' + LENGTHS),
    ],
)  # fmt: skip
def test_messages(text: object, dimension: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, dimension)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    "unit",
    [
        "9**9**9**9", "m**99999999", "__import__('os')", "m.__class__", "mm; 1", "(mm)", "mm + mm",
        "mm" * 40, "delta_degF", "1e9 mm", "//", "*", "°", "\\x", "m^-9", "m/0", "%", "''''", "é",
        "lambda x", "mm/", "/", "^2", "- mm", "a" * 99,
    ],
)  # fmt: skip
@pytest.mark.parametrize("dimension", ["length", "temperature"])
def test_strange_units_are_refused(unit: str, dimension: str) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(f"2 {unit}", dimension)


@given(st.text(max_size=60), st.sampled_from(DIMENSIONS))
def test_any_text_gives_a_span_or_a_message(text: str, dimension: str) -> None:
    try:
        span = parse_quantity(text, dimension)
    except QuantityError as error:
        assert str(error)
    else:
        assert math.isfinite(span.low) and math.isfinite(span.high) and span.low <= span.high


UNITISH = st.text(alphabet="mMkgNnlbfindegCFPas°µ/ *^²0123456789.-'\"", max_size=12)


@given(st.floats(-1e6, 1e6), UNITISH, st.sampled_from(DIMENSIONS))
def test_any_unit_gives_a_span_or_a_message(value: float, unit: str, dimension: str) -> None:
    try:
        span = parse_quantity(f"{value!r} {unit}", dimension)
    except QuantityError as error:
        assert str(error)
    else:
        assert span.low <= span.high


@given(st.integers() | st.floats() | st.booleans() | st.none() | st.lists(st.integers()))
def test_any_object_gives_a_span_or_a_message(raw: object) -> None:
    try:
        span = parse_quantity(raw, "number")
    except QuantityError as error:
        assert str(error)
    else:
        assert isinstance(raw, (int, float))
        assert span.low == span.high == float(raw)


@given(st.floats(allow_nan=False, allow_infinity=False), st.sampled_from(DIMENSIONS))
def test_a_canonical_unit_keeps_every_bit(value: float, dimension: str) -> None:
    unit = "" if dimension == "number" else CANONICAL_UNITS[dimension]
    span = parse_quantity(f"{plain_number(value)} {unit}", dimension)
    assert span.low == span.high == value


@pytest.mark.parametrize("dimension", DIMENSIONS)
def test_every_example_shown_is_accepted(dimension: str) -> None:
    for example in EXAMPLES[dimension]:
        parse_quantity(example, dimension)
        assert example in accepted_text(dimension)


@pytest.mark.parametrize("dimension", [d for d in DIMENSIONS if d != "number"])
def test_every_listed_spelling_is_accepted(dimension: str) -> None:
    for name in unit_names(dimension):
        parse_quantity(f"2 {name}", dimension)
        parse_quantity(f"2 to 3 {name}", dimension)


@pytest.mark.parametrize(
    ("text", "dimension", "pint_unit", "canonical"),
    [
        ("7.3 in", "length", "inch", "mm"),
        ("7.3 ft", "length", "foot", "mm"),
        ("7.3 yd", "length", "yard", "mm"),
        ("7.3 thou", "length", "thou", "mm"),
        ("7.3 µm", "length", "micrometer", "mm"),
        ("7.3 sq ft", "area", "foot**2", "mm**2"),
        ("7.3 in2", "area", "inch**2", "mm**2"),
        ("7.3 lbf", "force", "lbf", "N"),
        ("7.3 kgf", "force", "kgf", "N"),
        ("7.3 kN", "force", "kN", "N"),
        ("7.3 ozf", "force", "force_ounce", "N"),
        ("7.3 lbf/in", "line_force", "lbf/inch", "N/mm"),
        ("7.3 kN/m", "line_force", "kN/m", "N/mm"),
        ("7.3 lbf/ft", "line_force", "lbf/ft", "N/mm"),
        ("7.3 psi", "pressure", "psi", "MPa"),
        ("7.3 bar", "pressure", "bar", "MPa"),
        ("7.3 inHg", "pressure", "inHg", "MPa"),
        ("7.3 oz", "mass", "ounce", "kg"),
        ("7.3 stone", "mass", "stone", "kg"),
        ("7.3 degF", "temperature", "degF", "degC"),
        ("-40 degF", "temperature", "degF", "degC"),
        ("7.3 degR", "temperature", "degR", "degC"),
        ("7.3 h", "time", "hour", "minute"),
        ("7.3 weeks", "age", "week", "year"),
        ("7.3 fortnights", "age", "fortnight", "year"),
        ("7.3 in/yr", "rate", "inch/year", "mm/year"),
        ("7.3 mm/week", "rate", "mm/week", "mm/year"),
        ("7.3 fl oz", "volume", "fluid_ounce", "liter"),
        ("7.3 gal", "volume", "gallon", "liter"),
        ("7.3 in^3", "volume", "inch**3", "liter"),
        ("7.3 per day", "per_year", "1/day", "1/year"),
    ],
)
def test_against_pint(
    registry: pint.UnitRegistry, text: str, dimension: str, pint_unit: str, canonical: str
) -> None:
    number = float(text.split()[0])
    want = registry.Quantity(number, pint_unit).to(canonical).magnitude
    assert parse_quantity(text, dimension).low == pytest.approx(want, rel=1e-11, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "dimension", "want", "tolerance"),
    [
        # Factors as in NIST SP 811 (2008), appendix B; values from memory. The first two
        # are exact by definition, the others are printed there to six or seven digits.
        ("1 in", "length", 25.4, 0.0),
        ("1 lbf", "force", 4.4482216152605, 1e-11),
        ("1 lbf/in", "line_force", 0.17512683, 1e-7),
        ("1 psi", "pressure", 0.006894757, 1e-6),
        ("1 lb", "mass", 0.45359237, 1e-12),
        ("1 fl oz", "volume", 0.02957353, 1e-6),
        ("1 kgf", "force", 9.80665, 1e-12),
        ("212 degF", "temperature", 100.0, 1e-12),
        ("-459.67 degF", "temperature", -273.15, 1e-12),
    ],
)
def test_against_published_factors(
    text: str, dimension: str, want: float, tolerance: float
) -> None:
    assert parse_quantity(text, dimension).low == pytest.approx(want, rel=tolerance, abs=0.0)


@pytest.mark.parametrize(
    ("value", "dimension", "metric", "imperial"),
    [
        (120, "length", "120 mm", "4.72 in"),
        (1.1, "length", "1.1 mm", "0.0433 in"),
        (9000, "length", "9000 mm", "354 in"),
        (1234.4, "length", "1234 mm", "48.6 in"),
        (9.996, "length", "10 mm", "0.394 in"),
        (0.0, "length", "0 mm", "0 in"),
        (-0.0, "length", "0 mm", "0 in"),
        (Span(120, 130), "length", "120 to 130 mm", "4.72 to 5.12 in"),
        (Span(120, 120), "length", "120 mm", "4.72 in"),
        (0.35, "line_force", "0.35 N/mm", "2.00 lbf/in"),
        (-5, "temperature", "-5 °C", "23 °F"),
        (21, "temperature", "21 °C", "69.8 °F"),
        (-0.01, "temperature", "0 °C", "32 °F"),
        (Span(-20, -5), "temperature", "-20 to -5 °C", "-4 to 23 °F"),
        (0.6, "volume", "0.6 l", "20.3 fl oz"),
        (0.2, "pressure", "0.2 MPa", "29.0 psi"),
        (400, "area", "400 mm²", "0.620 in²"),
        (14, "force", "14 N", "3.15 lbf"),
        (1.5, "mass", "1.5 kg", "3.31 lb"),
        (20, "time", "20 min", "20 min"),
        (8, "age", "8 yr", "8 yr"),
        (0.5, "rate", "0.5 mm/yr", "0.0197 in/yr"),
        (250, "per_year", "250 per year", "250 per year"),
        (0.333333, "number", "0.333", "0.333"),
        (math.nan, "force", "not known N", "not known lbf"),
        (1e-9, "length", "1e-09 mm", "3.94e-11 in"),
    ],
)
def test_show(value: float | Span, dimension: str, metric: str, imperial: str) -> None:
    assert show(value, dimension, System.METRIC) == metric
    assert show(value, dimension, System.IMPERIAL) == imperial


@given(
    st.floats(1e-6, 1e7), st.floats(1e-6, 1e7), st.sampled_from(DIMENSIONS), st.sampled_from(System)
)
def test_what_is_shown_reads_back(a: float, b: float, dimension: str, system: System) -> None:
    span = Span(min(a, b), max(a, b))
    again = parse_quantity(show(span, dimension, system), dimension)
    slack = 0.06 if dimension == "temperature" else 0.0
    assert again.low == pytest.approx(span.low, rel=0.0051, abs=slack)
    assert again.high == pytest.approx(span.high, rel=0.0051, abs=slack)


@given(st.floats(-1e6, 1e6), st.sampled_from(DIMENSIONS), st.sampled_from(System))
def test_back_undoes_convert(value: float, dimension: str, system: System) -> None:
    again = back(convert(value, dimension, system), dimension, system)
    assert again == pytest.approx(value, rel=1e-10, abs=2e-9)


def test_shown_unit() -> None:
    assert shown_unit("length", System.METRIC) == "mm"
    assert shown_unit("length", System.IMPERIAL) == "in"
    assert shown_unit("number", System.IMPERIAL) == ""
    assert {shown_unit(d, s) for d in DIMENSIONS for s in System} >= {"°F", "lbf/in", "MPa"}


def test_with_words_changes_the_words_only() -> None:
    span = parse_quantity("120 mm", "length")
    assert with_words(span, "length", System.IMPERIAL).written == "4.72 in"
    assert with_words(span, "length", System.IMPERIAL) == span


def test_metric_work_does_not_load_pint() -> None:
    code = (
        "import sys\n"
        "from advisor.facts.quantity import System, parse_quantity, show, convert, QuantityError\n"
        "from advisor.facts.declaration import CANONICAL_UNITS\n"
        "for d, u in CANONICAL_UNITS.items():\n"
        "    span = parse_quantity('1 to 2 ' + ('' if d == 'number' else u), d)\n"
        "    parse_quantity(show(span, d, System.METRIC), d)\n"
        "    convert(1.0, d, System.METRIC)\n"
        "for text in ('2 kg', '2', 'x', '2 °C', '1,5 mm'):\n"
        "    try: parse_quantity(text, 'length')\n"
        "    except QuantityError: pass\n"
        "assert 'pint' not in sys.modules, 'pint was loaded'\n"
        "parse_quantity('1 in', 'length')\n"
        "assert 'pint' in sys.modules\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("62 degC", "62 °C"), ("-20 to -5 degC", "-20 to -5 °C"), ("23 degF", "23 °F"),
        ("5 deg f", "5 °F"), ("degC", "°C"), ("62 °C", "62 °C"), ("120 mm", "120 mm"),
        ("50 degrees C", "50 degrees C"), ("decdegC", "decdegC"), ("degCelsius", "degCelsius"),
    ],
)
def test_degrees_for_people(text: str, said: str) -> None:
    assert for_people(text) == said
