"""Quantities inside the sentences of the rules, for readers of other units.

Conversions by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 lbf = 4.4482216 N,
1 fl oz = 29.5735 ml, °F = 1.8 °C + 32 (NIST Handbook 44, from memory).
"""

from __future__ import annotations

import pytest

from advisor.facts.in_text import also_in
from advisor.facts.quantity import System

TOLD = [
    ("over a 50 mm bar?", "over a 50 mm (2 in) bar?"),
    ("A bank card is 0.76 mm.", "A bank card is 0.76 mm (0.03 in)."),
    ("6 mm from the edge", "6 mm (0.24 in) from the edge"),
    ("write 0 to 5 N if it rubs away", "write 0 to 5 N (0 to 1.1 lbf) if it rubs away"),
    ("a 2 kg weight on a 30 mm disc", "a 2 kg (4.4 lb) weight on a 30 mm (1.2 in) disc"),
    ("A full 2 litre bottle", "A full 2 litre (68 fl oz) bottle"),
    ("cans of 750 ml", "cans of 750 ml (25 fl oz)"),
    ("5 g of hardener", "5 g (0.18 oz) of hardener"),
    ("below -10 °C and over 60 °C", "below -10 °C (14 °F) and over 60 °C (140 °F)"),
    ("between −10 and 5 °C", "between −10 and 5 °C (14 and 41 °F)"),
    ("warm to 62.5 °C", "warm to 62.5 °C (144.5 °F)"),
    ("Hot air can top 500 °C: look behind", "Hot air can top 500 °C (932 °F): look behind"),
    ("pull at 0.5 N/mm", "pull at 0.5 N/mm (2.9 lbf/in)"),
    ("at 60 to 90 mm a minute", "at 60 to 90 mm (2.4 to 3.5 in) a minute"),
    ("5-6 mm apart", "5-6 mm (0.2-0.24 in) apart"),
    ("a patch of 30 x 40 mm", "a patch of 30 x 40 mm (1.2 x 1.6 in)"),
    ("on a roll of 1370 mm", "on a roll of 1370 mm (53.9 in)"),
    ("2500 mm of thread", "2500 mm (98 in) of thread"),
]
LEFT = [
    "pull for 10 to 30 seconds",
    "5 mmHg, 3 Nm, 2 kgf, 4 mm2, 19 g/m2, 4 mm² and 3 N·m",
    "1,500 mm and 1/2 mm",
    "20 °C warmer than the air, 5 °C below its limit",
    "6 mm (1/4 in) from the edge",
    "2.5 yd (2.29 m)",
    "",
]


@pytest.mark.parametrize(("text", "also"), [*TOLD, *((text, text) for text in LEFT)])
def test_quantities_in_a_sentence(text: str, also: str) -> None:
    assert also_in(text, System.METRIC) == text
    assert also_in(text, System.IMPERIAL) == also


@pytest.mark.parametrize("text", [text for text, _ in TOLD])
def test_what_was_told_is_not_told_again(text: str) -> None:
    once = also_in(text, System.IMPERIAL)
    assert also_in(once, System.IMPERIAL) == once
