"""What customers say: each word finds its damage in the list, or is named as missing."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from advisor.drawing.picker_layout import found
from advisor.facts.case import DAMAGE, PART
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.field.week_cases import Strict, Words, read_week

FIXING = "fixing.kind"
TOP = 3


class Said(Strict):
    """Words for one damage of one kind of job."""

    row: int
    damage: str
    fixing: str = ""
    parts: Words
    words: Words = ()
    missing: Words = ()


RAW = yaml.safe_load((Path(__file__).parent / "customer_words.yaml").read_text(encoding="utf-8"))
SAID = [Said.model_validate(entry) for entry in RAW]
WANTED = read_week().wanted


@pytest.fixture(scope="module")
def pack() -> RulePack:
    return load_pack()


def finds(pack: RulePack, said: Said, word: str) -> bool:
    """Whether a word typed into the list of damages or of fixings finds what it stands for."""
    return any(
        key in [option.key for option in found(pack.facts[fact].options, word)[:TOP]]
        for fact, key in ((DAMAGE, said.damage), (FIXING, said.fixing))
        if key
    )


def test_every_kind_of_job_has_words_and_none_stands_twice() -> None:
    assert {said.row for said in SAID} == {row.row for row in read_week().rows}
    every = [word for said in SAID for word in (*said.words, *said.missing)]
    assert len(every) == len(set(every))
    assert all(said.words or said.missing for said in SAID)


@pytest.mark.parametrize("said", SAID, ids=lambda said: f"{said.row}-{said.damage}-{said.fixing}")
def test_they_stand_for_answers_of_today_or_wanted_ones(pack: RulePack, said: Said) -> None:
    for fact, keys in ((DAMAGE, [said.damage]), (FIXING, [said.fixing]), (PART, said.parts)):
        known = {"", *pack.facts[fact].keys, *WANTED[fact].answers}
        assert known.issuperset(keys)


@pytest.mark.parametrize("said", SAID, ids=lambda said: f"{said.row}-{said.damage}-{said.fixing}")
def test_each_word_finds_its_damage_or_is_listed_as_missing(pack: RulePack, said: Said) -> None:
    lost = [word for word in said.words if not finds(pack, said, word)]
    assert not lost, "no longer found"
    won = [word for word in said.missing if finds(pack, said, word)]
    assert not won, "found now: take them from missing to words"
