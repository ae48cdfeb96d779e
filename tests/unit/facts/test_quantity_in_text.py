"""Quantities inside the sentences of the questions, for readers of other units."""

from __future__ import annotations

import pytest

from advisor.facts.quantity import System, also_in


@pytest.mark.parametrize(
    ("text", "also"),
    [
        ("over a 50 mm bar?", "over a 50 mm (1.97 in) bar?"),
        ("A bank card is 0.76 mm.", "A bank card is 0.76 mm (0.0299 in)."),
        ("write 0 to 5 N if it rubs away", "write 0 to 5 N (0 to 1.12 lbf) if it rubs away"),
        ("a 2 kg weight on a 30 mm disc",
         "a 2 kg (4.41 lb) weight on a 30 mm (1.18 in) disc"),
        ("A full 2 litre bottle", "A full 2 litre (67.6 fl oz) bottle"),
        ("below -10 °C and over 60 °C", "below -10 °C (14 °F) and over 60 °C (140 °F)"),
        ("pull at 0.5 N/mm", "pull at 0.5 N/mm (2.86 lbf/in)"),
        ("pull for 10 to 30 seconds", "pull for 10 to 30 seconds"),
        ("5 mmHg, 3 Nm, 2 kgf, 4 mm2", "5 mmHg, 3 Nm, 2 kgf, 4 mm2"),
        ("", ""),
    ],
)  # fmt: skip
def test_quantities_in_a_sentence(text: str, also: str) -> None:
    assert also_in(text, System.METRIC) == text
    assert also_in(text, System.IMPERIAL) == also
