"""Words of a customer: endings aside, and said one for another. Common use, no source."""

from __future__ import annotations

import pytest

from advisor.facts.alike_words import SAID_FOR_ANOTHER, alike, same_word, stem


@pytest.mark.parametrize(
    ("one", "other"),
    [("sagged", "sags"), ("ripped", "rips"), ("zips", "zip"), ("hinges", "hinged"),
     ("snapped", "snap"), ("peeling", "peels")],
)  # fmt: skip
def test_an_ending_makes_no_other_word(one: str, other: str) -> None:
    assert same_word(one, other) and same_word(other, one)


@pytest.mark.parametrize(("one", "other"), [("bin", "big"), ("seat", "seam"), ("rip", "rim")])
def test_words_that_only_look_alike_stay_apart(one: str, other: str) -> None:
    assert not same_word(one, other) and not alike(one, other)


def test_what_is_said_one_for_another_is_alike_in_every_form() -> None:
    assert alike("kinked", "creases") and alike("sick", "vomit") and not alike("kinked", "vomit")


def test_no_two_words_of_a_group_are_one() -> None:
    for group in SAID_FOR_ANOTHER:
        stems = [stem(word) for word in group.split()]
        assert len(stems) > 1 and len(set(stems)) == len(stems), group
