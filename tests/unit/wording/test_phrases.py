"""Quantities inside the sentences of the rules, for readers of other units.

Conversions by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 lbf = 4.4482216 N,
1 fl oz = 29.5735 ml, °F = 1.8 °C + 32 (NIST Handbook 44, from memory).
"""

from __future__ import annotations

import json
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.quantity import System
from advisor.wording.phrases import filled, in_units, joined, named, read_phrase
from advisor.wording.sentences import listed, lowered, sentence

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
    assert in_units(read_phrase(text), System.METRIC) == text
    assert in_units(read_phrase(text), System.IMPERIAL) == also


@pytest.mark.parametrize("text", [text for text, _ in TOLD])
def test_what_was_told_is_not_told_again(text: str) -> None:
    once = in_units(read_phrase(text), System.IMPERIAL)
    assert in_units(read_phrase(once), System.IMPERIAL) == once


def test_a_text_is_only_searched_when_it_is_read() -> None:
    assert in_units("over a 50 mm bar", System.IMPERIAL) == "over a 50 mm bar"


BAR = read_phrase("over a 50 mm bar")


@pytest.mark.parametrize(
    ("text", "also"),
    [
        ("Pull " + BAR, "Pull over a 50 mm (2 in) bar"),
        (BAR + ".", "over a 50 mm (2 in) bar."),
        (sentence(BAR), "Over a 50 mm (2 in) bar."),
        (lowered(sentence(BAR)).rstrip("."), "over a 50 mm (2 in) bar"),
        (sentence(f"  {BAR} ") + " " + BAR, "Over a 50 mm bar. over a 50 mm (2 in) bar"),
        ((" " + BAR + " ").strip(), "over a 50 mm (2 in) bar"),
        (joined("; ", ("Pull", BAR, BAR)),
         "Pull; over a 50 mm (2 in) bar; over a 50 mm (2 in) bar"),
        (filled("{}: {}.", "Pull", BAR), "Pull: over a 50 mm (2 in) bar."),
        (listed(("first", "then", BAR)), "first, then and over a 50 mm (2 in) bar"),
        (filled("Between {}", named("5 to 100", "mm")), "Between 5 to 100 mm (0.2 to 3.9 in)"),
        (named("3", "yr"), "3 yr"),
        (BAR[5:], "a 50 mm (2 in) bar"),
        (BAR[:9], "over a 50"),
        (BAR[9:], " mm bar"),
    ],
)  # fmt: skip
def test_amounts_go_along_with_what_is_made_of_a_sentence(text: str, also: str) -> None:
    assert in_units(text, System.IMPERIAL) == also
    assert in_units(text, System.METRIC) == text


def test_a_template_wants_as_many_parts_as_it_has_places() -> None:
    with pytest.raises(ValueError):
        filled("{}: {}.", BAR)


@given(st.text(), st.text(), st.sampled_from([text for text, _ in TOLD]))
def test_a_phrase_is_a_string_like_any_other(before: str, after: str, text: str) -> None:
    whole = before + read_phrase(text) + after
    plain = before + text + after
    assert whole == plain and hash(whole) == hash(plain)
    assert whole.strip() == plain.strip()
    assert whole[3:-2] == plain[3:-2] and whole[::2] == plain[::2]
    assert sentence(whole) == sentence(plain)


def test_a_phrase_is_kept_with_its_amounts() -> None:
    kept = pickle.loads(pickle.dumps(BAR))
    assert kept == BAR and in_units(kept, System.IMPERIAL) == "over a 50 mm (2 in) bar"
    assert json.dumps(BAR) == '"over a 50 mm bar"'
