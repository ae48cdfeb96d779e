"""Marks on plastic parts: what is read from them, however they were copied off the part."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.facts.case import Case
from advisor.facts.case_file import read_case, write_case
from advisor.facts.declaration import FactDecl, Kind, Stage
from advisor.facts.faults import AnswerError, BadInput
from advisor.facts.plastic_marks.mark import Filler, PlasticMark, mark_words
from advisor.facts.plastic_marks.reader import LONGEST, read_mark
from advisor.facts.plastic_marks.symbols import ALIASES, FORMS, KINDS, POLYMERS, base_of

ACCEPTED = (
    "accepted: a mark such as >ABS<, >PC+ABS<, >PP-TD20<, >PP+EPDM-TD20<, >PA66-(GF25+MD15)<"
)
TALC = PlasticMark(("PP", "EPDM"), (Filler("T", "D", 0.2),), 0.2)


def one(text: str) -> PlasticMark:
    (mark,) = read_mark(text)
    return mark


@pytest.mark.parametrize("text", [
    ">PP+EPDM-TD20<", "PP+EPDM-TD20", "pp+epdm-td20", "> PP + EPDM - TD 20 <", "PP/EPDM TD20",
    "PP EPDM TD20", "›PP+EPDM–TD20‹", "＞ＰＰ+ＥＰＤＭ-ＴＤ２０＜",
    "at the back >PP+EPDM-TD20<, clear",
    "PP+EPDM(TD20)", "PP+EPDM-(TD20)", "PP + EPDM-TD20 %", "PP+EPDMTD20", "\tPP+EPDM\n-TD20 ",
])  # fmt: skip
def test_one_mark_written_in_many_ways(text: str) -> None:
    assert one(text) == TALC


@pytest.mark.parametrize(("text", "written", "words"), [
    ("PP-T20", ">PP-T20<", "PP, 20 % talc"),
    ("pptd20", ">PP-TD20<", "PP, 20 % talc powder"),
    ("PP-T", ">PP-T<", "PP, talc (amount not marked)"),
    ("PA66 GF30", ">PA66-GF30<", "PA66, 30 % glass fibre"),
    ("PA 6.6-GF30", ">PA66-GF30<", "PA66, 30 % glass fibre"),
    ("PA6/66", ">PA6/66<", "PA6/66"),
    ("PA6-(GF15/M25)", ">PA6-(GF15+M25)<", "PA6, 15 % glass fibre, 25 % mineral"),
    ("PA66-(GF+MD)40", ">PA66-(GF+MD)40<",
     "PA66, 40 % glass fibre and mineral powder together"),
    ("PA66-(GF+MD)", ">PA66-(GF+MD)<",
     "PA66, glass fibre and mineral powder (amount not marked)"),
    ("E/P", ">E/P<", "E/P"),
    ("PP+E/P-TD15", ">PP+E/P-TD15<", "PP with E/P, 15 % talc powder"),
    ("TPO", ">TPO<", "TPO"),
    ("HDPE", ">PE-HD<", "PE-HD"),
    ("PE HD", ">PE-HD<", "PE-HD"),
    ("PVC U", ">PVC-U<", "PVC-U"),
    ("PVC-P(DOP+DBP)", ">PVC-P(DOP+DBP)<", "PVC-P, softened with DOP and DBP"),
    ("ABS-P(DBP)", ">ABS-P(DBP)<", "ABS, softened with DBP"),
    ("PC ABS", ">PC+ABS<", "PC with ABS"),
    ("ABS-PC", ">ABS+PC<", "ABS with PC"),
    ("PC+ABS-FR(40+50)", ">PC+ABS-FR(40+50)<", "PC with ABS, flame retardant 40 and 50"),
    ("PC-FR", ">PC-FR<", "PC, flame retardant"),
    ("PP-TD20+REC50", ">PP-TD20(REC50)<", "PP, 20 % talc powder, 50 % recycled"),
    ("PP-PD30", ">PP-PD30<", "PP, 30 % mica powder"),
    ("PVDF-C10", ">PVDF-C10<", "PVDF, 10 % carbon"),
])  # fmt: skip
def test_what_is_read_and_said(text: str, written: str, words: str) -> None:
    mark = one(text)
    assert (mark.written, mark.words) == (written, words)
    assert read_mark(mark.written) == (mark,)


def test_layers_are_read_the_visible_one_first() -> None:
    layers = read_mark(">PVC-P,PUR,ABS-GF20<")
    assert [mark.written for mark in layers] == [">PVC-P<", ">PUR<", ">ABS-GF20<"]
    assert mark_words(layers) == "3 layers: PVC-P; PUR; ABS, 20 % glass fibre"


@pytest.mark.parametrize(("text", "filled"), [
    ("PP", 0.0), ("PP-TD20", 0.2), ("PP-T", None), ("PA6-(GF25+MD15)", 0.4),
    ("PA6-(GF25+MD)", None), ("PA6-(GF+MD)40", 0.4), ("PA6-GF25-MD15", 0.4),
])  # fmt: skip
def test_share_of_all_fillers(text: str, filled: float | None) -> None:
    assert one(text).filled == filled


@pytest.mark.parametrize(("text", "message"), [
    ("ABX", f'no such plastic; found "ABX"; {ACCEPTED} (did you mean ABS?)'),
    ("P0M", f'no such plastic; found "P0M"; {ACCEPTED} (did you mean POM?)'),
    ("TD20", f'no such plastic; found "TD20"; {ACCEPTED}'),
    ("PP-20", f'this does not belong in a mark; found "20"; {ACCEPTED}'),
    ("PP-TD20 B", f'this does not belong in a mark; found "B"; {ACCEPTED}'),
    ("PP-(TD20+J5)", f'no such filler; found "J5"; {ACCEPTED}'),
    ("ABS+", f'the mark breaks off; found "ABS+"; {ACCEPTED}'),
    ("PP-(TD20", f'a bracket is not closed; found "PP-(TD20"; {ACCEPTED}'),
    ("PP-TD120", 'not a share of the mass; found "120"; accepted: 1 to 99 %'),
    ("PP-TD0", 'not a share of the mass; found "0"; accepted: 1 to 99 %'),
    ("PA6-(GF60+MD40)",
     'the fillers come to more than the whole; found "100 %"; accepted: 99 % at most'),
    ("ABS+ABS", 'ABS is named twice; found "ABS+ABS"; accepted: each plastic once'),
    (">PP<>ABS<", 'more than one mark; found ">PP<>ABS<"; accepted: the mark of one piece'),
    ("><", f'the mark is empty; found "><"; {ACCEPTED}'),
    (">PP,<", f"no such plastic; {ACCEPTED}"),
    (">,<", f"no such plastic; {ACCEPTED}"),
])  # fmt: skip
def test_what_is_no_mark_is_told_with_what_is_accepted(text: str, message: str) -> None:
    with pytest.raises(AnswerError) as caught:
        read_mark(text)
    assert str(caught.value) == message


def test_a_tale_is_no_mark() -> None:
    with pytest.raises(AnswerError, match="too long for a mark"):
        read_mark("A" * (LONGEST + 1))


def test_the_lists_of_symbols_fit_together() -> None:
    assert set(ALIASES.values()) <= POLYMERS.keys()
    assert not ALIASES.keys() & POLYMERS.keys()
    assert all(base_of(symbol) in POLYMERS for symbol in POLYMERS)
    assert base_of("PE-LLD") == "PE" and base_of("PA66-HI") == "PA" and base_of("E/P") == "E/P"
    assert all(len(code) <= 2 and code.isupper() for code in (*KINDS, *(f for f in FORMS if f)))


MARK = FactDecl("carrier.mark", Kind.TEXT, Stage.PART, "Mark", "?", "", reads="carrier.material")


def test_a_mark_in_a_case_file_comes_back_in_quotation_marks(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    for text in (">PP+EPDM-TD20<", "pp: td20", "| ABS", "PP-TD20 # back"):
        write_case(Case("HB-1", facts={MARK.name: text}), {MARK.name: MARK}, path)
        assert read_case(path, {MARK.name: MARK}).facts == {MARK.name: text}


def test_a_mark_without_quotation_marks_is_told(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text("format: 1\ncase: HB-1\nfacts:\n  carrier.mark: >ABS<\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_case(path, {MARK.name: MARK})
    assert str(caught.value) == (
        f"{path}:4:18: not valid YAML: put quotation marks around text that begins with > or |"
    )


@pytest.mark.parametrize("symbol", [*POLYMERS, *ALIASES])
def test_every_symbol_is_read_alone_and_with_a_filler(symbol: str) -> None:
    meant = ALIASES.get(symbol, symbol)
    assert one(f">{symbol}<").components == (meant,)
    assert one(f"{symbol.lower()} gf 30") == PlasticMark((meant,), (Filler("G", "F", 0.3),), 0.3)
