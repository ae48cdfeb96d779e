"""Amounts are read exactly, and shown without rounding."""

from __future__ import annotations

from fractions import Fraction

import pytest

from advisor.facts.faults import AnswerError
from advisor.papers.burn.exact_amount import figure, read_amount, shown


@pytest.mark.parametrize(("written", "kind", "value"), [
    ("4.2 in", "length", Fraction(10668, 100)),
    ("4 1/2 in", "length", Fraction(1143, 10)),
    ("1/8 in", "length", Fraction(127, 40)),
    ("432mm", "length", Fraction(432)),
    ('6"', "length", Fraction(1524, 10)),
    ("2 ft", "length", Fraction(6096, 10)),
    ("10.2 cm", "length", Fraction(102)),
    ("0.254 m", "length", Fraction(254)),
    ("2 1/2 min", "time", Fraction(150)),
    ("8 oz", "mass", Fraction("226.796185")),
    ("2.1 kg", "mass", Fraction(2100)),
    ("10 cm/min", "speed", Fraction(100)),
    ("1.5 mm/s", "speed", Fraction(90)),
    ("6.5 W/cm²", "heat_flux", Fraction(65)),
    ("24 h", "time", Fraction(86400)),
    ("70 degF", "temperature", Fraction(190, 9)),
    ("-40 °F", "temperature", Fraction(-40)),
    ("50 percent", "share", Fraction(50)),
    ("4.0 in/min", "speed", Fraction(1016, 10)),
    ("2.61 lb", "mass", Fraction("1183.8760857")),
    ("65 kW·min/m²", "heat", Fraction(65)),
    ("200", "number", Fraction(200)),
])  # fmt: skip
def test_read(written: str, kind: str, value: Fraction) -> None:
    """Inch and pound as agreed in 1959: 25.4 mm and 453.59237 g. CAR 3's 4 in/min: 101.6."""
    found = read_amount(written, kind, least=None)
    assert (found.value, found.written) == (value, written)


@pytest.mark.parametrize(("written", "kind", "said"), [
    ("6", "length", 'the unit is missing; found "6"; accepted: a length such as 4.2 in or 107 mm'),
    ("6,1 in", "length", 'a comma in a number; found "6,1 in"; accepted: a length such as'),
    ("-1 s", "time", 'below 0; found "-1 s"'),
    ("1/0 in", "length", 'not a number with its unit; found "1/0 in"'),
    ("3 inn", "length", "(did you mean in?)"),
    ("3 s", "length", 'not a unit for this; found "3 s"'),
    ("5..6 in", "length", "not a number with its unit"),
    ("1e3 mm", "length", "not a unit for this"),
    ("9" * 40 + " mm", "length", "not a number with its unit"),
    (None, "time", "not an amount; found nothing; accepted: a time such as 2.5 s or 24 h"),
    (["1 s"], "time", "not an amount; found a list"),
    (True, "number", "not an amount; found yes or no"),
])  # fmt: skip
def test_refused(written: object, kind: str, said: str) -> None:
    with pytest.raises(AnswerError) as caught:
        read_amount(written, kind)
    assert said in str(caught.value)


@pytest.mark.parametrize(("value", "text"), [
    (Fraction(8), "8"), (Fraction(47, 6), "7.8333..."), (Fraction(181, 30), "6.0333..."),
    (Fraction(2, 3), "0.6666..."), (Fraction(1, 8), "0.125"), (Fraction(-5, 2), "-2.5"),
    (Fraction(80000001, 10**7), "8.0000..."), (Fraction(1, 10**6), "0.000001"), (Fraction(0), "0"),
])  # fmt: skip
def test_a_figure_is_cut_and_never_rounded(value: Fraction, text: str) -> None:
    assert figure(value) == text


def test_shown_in_another_unit() -> None:
    assert shown(Fraction(457, 3), "length", "in") == "5.9973... in"
    assert shown(Fraction(190, 9), "temperature", "degF") == "70 degF"
