"""Where the options of a long list stand, and what typed letters find."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.drawing.picker_layout import REST, blocks, columns, found, usual
from advisor.facts.declaration import Option

OPTIONS = (
    Option("cushion", "Seat cushion", "What one sits on", group="Seats", usual_in=("car", "bus")),
    Option("helm", "Helm seat", "At the wheel of a boat", group="Seats", usual_in=("boat",)),
    Option("rim", "Wheel rim", "The ring: leather or moulded", group="Panel"),
    Option("lid", "Console lid", "Hinged; one leans on it", group="Rests", usual_in=("car",)),
    Option("pad", "Deck pad", "Flat cushion for the sun", group="Seats", usual_in=("boat",)),
    Option("odd", "Odd thing", words=("gear knob", "Lever ball")),
)


def keys(options) -> list[str]:
    return [option.key for option in options]


def test_blocks_keep_the_order_in_which_heading_and_option_were_declared() -> None:
    assert [(block.title, block.keys) for block in blocks(OPTIONS)] == [
        ("Seats", ("cushion", "helm", "pad")), ("Panel", ("rim",)), ("Rests", ("lid",)),
        (REST, ("odd",)),
    ]


@pytest.mark.parametrize(
    ("vehicles", "expected"),
    [
        ((), ["cushion", "helm", "rim", "lid", "pad", "odd"]),
        (("car",), ["cushion", "rim", "lid", "odd"]),
        (("boat",), ["helm", "rim", "pad", "odd"]),
        (("bus", "boat"), ["cushion", "helm", "rim", "pad", "odd"]),
    ],
)
def test_what_names_no_vehicle_is_usual_in_all(vehicles, expected: list[str]) -> None:
    assert keys(usual(OPTIONS, vehicles)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("lid", ["lid"]),
        ("seat", ["cushion", "helm", "pad"]),  # title first, then a later word, then heading
        ("cush", ["cushion", "pad"]),
        ("SUN", ["pad"]),
        ("deck pad", ["pad"]),
        ("pad deck", ["pad"]),
        ("seat sun", ["pad"]),
        ("ushion", ["cushion", "pad"]),  # begins no word: looked for inside
        ("wheel", ["rim", "helm"]),
        ("knob", ["odd"]),  # what people also call it
        ("ball gear", ["odd"]),
        ("lever b", ["odd"]),
        ("ball's gear", ["odd"]),  # what is no letter parts words
        ("lid roof", ["lid"]),  # no option has both: some of the words
        ("the knobs of the gears", ["odd"]),  # endings aside
        ("flat cushions", ["pad", "cushion"]),  # the rarer word counts for more
        ("xyz", []),
    ],
)
def test_letters_find_words_that_begin_so(text: str, expected: list[str]) -> None:
    assert keys(found(OPTIONS, text)) == expected


def test_what_is_usual_in_the_vehicle_is_found_first() -> None:
    assert keys(found(OPTIONS, "seat", ["boat"])) == ["helm", "pad", "cushion"]
    assert keys(found(OPTIONS, "", ["boat"]))[-2:] == ["cushion", "lid"]


@given(
    heights=st.lists(st.integers(10, 400).map(float), max_size=8), count=st.integers(1, 5)
)
def test_columns_hold_every_block_in_order_and_are_as_low_as_can_be(
    heights: list[float], count: int
) -> None:
    laid = columns(heights, count)
    assert [index for column in laid for index in column] == list(range(len(heights)))
    assert len(laid) <= count
    if not heights:
        return
    highest = max(sum(heights[i] for i in column) for column in laid)
    cuts = (
        [0, *cut, len(heights)]
        for used in range(min(count, len(heights)))
        for cut in combinations(range(1, len(heights)), used)
    )
    best = min(
        max(sum(heights[a:b]) for a, b in pairwise(cut)) for cut in cuts
    )
    assert highest == best
