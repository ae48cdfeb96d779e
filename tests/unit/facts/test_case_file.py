from __future__ import annotations

import os
import re
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.facts import case_writer, whole_file
from advisor.facts.case import Case, EarlierRepair, Span, Value
from advisor.facts.case_file import case_text, read_case, write_case
from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.faults import AnswerError, BadInput
from tests.unit.facts.declared_facts import DECLARED

Facts = Mapping[str, FactDecl]
Put = Callable[[str | bytes], Path]
METHODS = ("adhesive_bond", "hand_stitch", "backing_patch")

FULL = """\
format: 1
case: HB-2041
title: Split armrest seam, harbour shuttle
facts:
  part.kind: armrest
  skin.material: [leather, vinyl_coated_fabric]
  damage.edges_meet: yes
  damage.length: 4.5 in
  skin.hardness: 60
  damage.closing_pull: 3..4 lbf
  site.temperature: -20 to -5 degC
  hazard.airbag_near: no
  damage.remark: "12"
earlier_repairs:
  - {method: adhesive_bond, what: 2, result: opened, lasted: 3 weeks}
photos: [front.jpg, 7.jpg]
note: |
  Driver leans on it.

  Cold mornings: it opens.
"""


def said(path: Path, facts: Facts, **kwargs: Any) -> list[str]:
    with pytest.raises(BadInput) as caught:
        read_case(path, facts, **kwargs)
    return str(caught.value).replace(f"{path.parent}{os.sep}", "").splitlines()


def test_a_full_case(put: Put, facts: Facts) -> None:
    case = read_case(put(FULL), facts, methods=METHODS)
    assert case == Case(
        name="HB-2041",
        title="Split armrest seam, harbour shuttle",
        facts={
            "part.kind": ("armrest",),
            "skin.material": ("leather", "vinyl_coated_fabric"),
            "damage.edges_meet": ("yes",),
            "damage.length": Span(114.3, 114.3),
            "skin.hardness": Span(60, 60),
            "damage.closing_pull": Span(13.3446648458, 17.792886461),
            "site.temperature": Span(-20, -5),
            "hazard.airbag_near": False,
            "damage.remark": "12",
        },
        earlier_repairs=(EarlierRepair("adhesive_bond", "2", "opened", "3 weeks"),),
        photos=("front.jpg", "7.jpg"),
        note="Driver leans on it.\n\nCold mornings: it opens.\n",
    )
    length = case.facts["damage.length"]
    assert isinstance(length, Span) and length.written == "4.5 in"


def test_the_least_case(put: Put, facts: Facts) -> None:
    case = read_case(put("format: 1\ncase: 0041\nfacts:\n"), facts)
    assert case == Case(name="0041")
    assert case.earlier_repairs is None
    again = read_case(put("format: 1\ncase: 2041\nearlier_repairs: []\n"), facts)
    assert again == Case(name="2041", earlier_repairs=())


def test_words_that_yaml_takes_for_something_else(put: Put, facts: Facts) -> None:
    text = "format: 1\ncase: 1e5\ntitle: Yes\nnote: 1.50\nphotos: [no]\n"
    case = read_case(put(text), facts)
    assert case == Case("1e5", title="Yes", note="1.50", photos=("no",))


WRONG = """\
format: 1
case: a/b
titel: x
facts:
  part.kind: armrest
  skin.materal: leather
  skin.material: [leather, lether]
  damage.length: 9 m
  damage.length: 1 mm
  damage.closing_pull: 3 lb
  hazard.airbag_near: maybe
  site.temperature:
  damage.remark: [a]
earlier_repairs:
  - {method: adhesive}
  - {wat: x}
  - none
photos: front.jpg
note: {a: b}
"""


def test_all_faults_at_once(put: Put, facts: Facts) -> None:
    assert said(put(WRONG), facts, methods=METHODS) == [
        'harbour.yaml:2:7: case: a character that a file name cannot hold; found "a/b"; '
        'accepted: 1 to 80 characters such as HB-2041, without / \\ : * ? " < > |',
        "harbour.yaml:3:1: titel: no such entry; accepted: one of format, case, title, facts, "
        "earlier_repairs, photos, note (did you mean title?)",
        "harbour.yaml:6:3: skin.materal: no such fact; accepted: a fact that the rules declare "
        "(did you mean skin.material?)",
        'harbour.yaml:7:18: skin.material: not one of the answers; found "lether"; accepted: '
        "one of leather, vinyl_coated_fabric, unsupported_vinyl, woven_cloth "
        "(did you mean leather?)",
        'harbour.yaml:8:18: damage.length: not possible on an armrest; found "9 m" (9000 mm); '
        "accepted: 0 to 600 mm on an armrest",
        "harbour.yaml:9:3: damage.length: given twice, first in line 8, column 3; "
        "accepted: each name once",
        'harbour.yaml:10:24: damage.closing_pull: not a force; found "3 lb" (a mass); '
        "accepted: a force such as 14 N, 3 lbf, 1.5 kgf (did you mean 3 lbf?)",
        'harbour.yaml:11:23: hazard.airbag_near: not a yes or no; found "maybe"; '
        "accepted: yes or no",
        "harbour.yaml:12:20: site.temperature: no answer is given; accepted: a temperature such "
        "as -5 degC, 23 degF, or leave it out",
        "harbour.yaml:13:18: damage.remark: not text; found a list; "
        "accepted: text of at most 2,000 characters",
        'harbour.yaml:15:14: earlier_repairs[0].method: no such method; found "adhesive"; '
        "accepted: one of adhesive_bond, backing_patch, hand_stitch "
        "(did you mean adhesive_bond?)",
        "harbour.yaml:16:5: earlier_repairs[1].method: the method is missing; accepted: "
        "one of adhesive_bond, backing_patch, hand_stitch",
        "harbour.yaml:16:6: earlier_repairs[1].wat: no such entry; accepted: one of method, what, "
        "result, lasted (did you mean what?)",
        'harbour.yaml:17:5: earlier_repairs[2]: not a repair; found "none"; accepted: '
        "a mapping with method, what, result, lasted",
        'harbour.yaml:18:9: photos: not a list; found "front.jpg"; accepted: a list of file names',
        "harbour.yaml:19:7: note: not text; found a mapping; "
        "accepted: text of at most 2,000 characters",
    ]


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        ("format: 2\ncase: a\n",
         ['harbour.yaml:1:9: format: made by a newer program; found "2"; accepted: format: 1']),
        ("format: 2\ncase: a/b\ncolour: red\nfacts: none\n",
         ['harbour.yaml:1:9: format: made by a newer program; found "2"; accepted: format: 1']),
        ("format: 1\ncase: a\n2: x\n",
         ['harbour.yaml:3:1: a name that is not text; found "2" (a number); accepted: text; '
          "put quotation marks around it"]),
        ("format: 1\ncase: !!seq [a]\n",
         ['harbour.yaml:2:7: tags are not accepted; found "!!seq"; accepted: plain values']),
        ("format: one\ncase: a\n",
         ['harbour.yaml:1:9: format: not a format number; found "one"; accepted: format: 1']),
        ("format: 0\ncase: a\n",
         ['harbour.yaml:1:9: format: not a format number; found "0"; accepted: format: 1']),
        ("format: [1]\ncase: a\n",
         ["harbour.yaml:1:9: format: not a format number; found a list; accepted: format: 1"]),
        ("case: a\n", ["harbour.yaml:1:1: format: the file does not say which format it has; "
         "accepted: format: 1"]),
        ("format: 1\n", ["harbour.yaml:1:1: case: the case has no name; accepted: 1 to 80 "
         'characters such as HB-2041, without / \\ : * ? " < > |']),
        ("format: 1\ncase: a\nfacts: [x]\n", ["harbour.yaml:3:8: facts: not a mapping; "
         "found a list; accepted: fact names, each with its answer"]),
        ("format: 1\ncase: a\nfacts: none\n", ['harbour.yaml:3:8: facts: not a mapping; '
         'found "none"; accepted: fact names, each with its answer']),
        ("format: 1\ncase: a\nearlier_repairs: {method: x}\n",
         ["harbour.yaml:3:18: earlier_repairs: not a list; found a mapping; accepted: a list of "
          "repairs, or [] where nothing was tried"]),
        ("format: 1\ncase: a\nphotos: [[]]\n",
         ["harbour.yaml:3:10: photos[0]: not text; found a list; "
          "accepted: text of at most 2,000 characters"]),
        ("format: 1\ncase: a\nearlier_repairs: [{method: [x]}]\n",
         ["harbour.yaml:3:28: earlier_repairs[0].method: not text; found a list; "
          "accepted: text of at most 2,000 characters"]),
    ],
)  # fmt: skip
def test_messages(put: Put, facts: Facts, text: str, messages: list[str]) -> None:
    assert said(put(text), facts) == messages


@pytest.mark.parametrize("before", ["", "facts:\n"])
def test_a_flood_of_faults_is_cut(put: Put, facts: Facts, before: str) -> None:
    names = "".join(f"{' ' if before else ''}name_{i}: 1\n" for i in range(20_000))
    began = time.perf_counter()
    told = said(put(f"format: 1\ncase: a\n{before}{names}"), facts)
    assert time.perf_counter() - began < 10.0
    assert len(told) == 101
    assert told[-1].endswith("more is wrong from here on")


def test_all_methods_are_named_where_one_is_wrong(put: Put, facts: Facts) -> None:
    methods = [f"method_{letter}" for letter in "abcdefghijklmnopq"]
    (told,) = said(put("format: 1\ncase: a\nearlier_repairs: [{method: glue}]\n"), facts,
                   methods=methods)  # fmt: skip
    assert told.endswith(", ".join(methods))


def test_a_wrong_part_kind_does_not_hide_the_other_faults(put: Put, facts: Facts) -> None:
    text = "format: 1\ncase: a\nfacts:\n  damage.length: 9 m\n  part.kind: armrst\n"
    assert said(put(text), facts) == [
        'harbour.yaml:5:14: part.kind: not one of the answers; found "armrst"; accepted: one of '
        "armrest, seat_cushion, door_panel (did you mean armrest?)"
    ]


def test_any_method_goes_where_none_are_known(put: Put, facts: Facts) -> None:
    path = put("format: 1\ncase: a\nearlier_repairs: [{method: prayer}]\n")
    assert read_case(path, facts).earlier_repairs == (EarlierRepair("prayer"),)
    assert said(path, facts, methods=METHODS) == [
        'harbour.yaml:3:28: earlier_repairs[0].method: no such method; found "prayer"; '
        "accepted: one of adhesive_bond, backing_patch, hand_stitch"
    ]


WRITTEN = """\
format: 1
case: HB-2041
title: "Split armrest seam, harbour shuttle"
facts:
  part.kind: armrest
  skin.material: [leather, vinyl_coated_fabric]
  damage.edges_meet: "yes"
  damage.length: 4.5 in
  skin.hardness: 60
  damage.closing_pull: 3..4 lbf
  site.temperature: -20 to -5 degC
  hazard.airbag_near: no
  damage.remark: "12"
earlier_repairs:
  - method: adhesive_bond
    what: "2"
    result: opened
    lasted: 3 weeks
photos:
  - front.jpg
  - 7.jpg
note: "Driver leans on it.\\n\\nCold mornings: it opens.\\n"
"""


def test_the_text_written(put: Put, facts: Facts) -> None:
    case = read_case(put(FULL), facts)
    assert case_text(case, facts) == WRITTEN
    shuffled = Case(
        case.name, case.title, dict(reversed(case.facts.items())), case.earlier_repairs,
        case.photos, case.note,
    )  # fmt: skip
    assert case_text(shuffled, facts) == WRITTEN


def test_a_note_of_several_lines_reads_as_typed(facts: Facts) -> None:
    case = Case("a", note='He said: "cold".\n\n  - twice # a day')
    assert case_text(case, facts) == (
        'format: 1\ncase: a\nnote: |-\n  He said: "cold".\n\n    - twice # a day\n'
    )


def test_words_that_no_longer_fit_are_not_written(facts: Facts) -> None:
    """A written text that says something else than the figures would change the case."""
    text = case_text(Case("a", facts={"damage.length": Span(120, 130, "4.5 in")}), facts)
    assert "damage.length: 120 to 130 mm\n" in text
    text = case_text(Case("a", facts={"damage.length": Span(0.1, 0.1, "nonsense")}), facts)
    assert "damage.length: 0.1 mm\n" in text


def test_a_fact_the_rules_no_longer_know_is_kept_at_the_end(put: Put, facts: Facts) -> None:
    case = Case("a", facts={"old.fact": Span(1, 1, "1 mm"), "part.kind": ("armrest",)})
    text = case_text(case, facts)
    assert text.endswith("  part.kind: armrest\n  old.fact: 1 mm\n")
    assert said(put(text), facts)[0].startswith("harbour.yaml:5:3: old.fact: no such fact")


@pytest.mark.parametrize(
    "case",
    [Case("a/b"), Case("a", note="x" * 2_001), Case("a", title="\0"), Case("a", photos=("",)),
     Case("a", earlier_repairs=(EarlierRepair(""),)), Case("a", facts={"damage.remark": "\ud800"})],
)  # fmt: skip
def test_what_could_not_be_read_back_is_not_written(
    tmp_path: Path, facts: Facts, case: Case
) -> None:
    with pytest.raises(AnswerError):
        write_case(case, facts, tmp_path / "a.yaml")
    assert not list(tmp_path.iterdir())


def test_write_replaces_whole_and_leaves_nothing_behind(tmp_path: Path, facts: Facts) -> None:
    path = tmp_path / "a.yaml"
    write_case(Case("a"), facts, path)
    path.chmod(0o640)
    write_case(Case("b"), facts, path)
    assert read_case(path, facts).name == "b"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.yaml"]
    assert path.stat().st_mode & 0o777 == 0o640


def test_write_follows_a_link(tmp_path: Path, facts: Facts) -> None:
    (tmp_path / "real").mkdir()
    link = tmp_path / "link.yaml"
    link.symlink_to(tmp_path / "real" / "a.yaml")
    write_case(Case("a"), facts, link)
    assert link.is_symlink() and read_case(tmp_path / "real" / "a.yaml", facts).name == "a"


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_failed_write_keeps_the_old_file(
    tmp_path: Path, facts: Facts, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    path = tmp_path / "a.yaml"
    write_case(Case("old"), facts, path)

    def fail(*args: object) -> None:
        raise OSError(28, "No space left on device")

    if step == "fsync":
        monkeypatch.setattr(whole_file.os, "fsync", fail)
    else:
        monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(BadInput) as caught:
        write_case(Case("new"), facts, path)
    assert str(caught.value) == f"{path}: cannot be written: No space left on device"
    assert read_case(path, facts).name == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.yaml"]


def test_the_file_is_on_disk_before_it_takes_the_name(
    tmp_path: Path, facts: Facts, monkeypatch: pytest.MonkeyPatch
) -> None:
    order: list[str] = []
    sync, rename = os.fsync, Path.replace

    def fsync(handle: int) -> None:
        order.append("fsync")
        sync(handle)

    def replace(self: Path, target: Path) -> Path:
        order.append("replace")
        assert self.parent == target.parent
        return rename(self, target)

    monkeypatch.setattr(whole_file.os, "fsync", fsync)
    monkeypatch.setattr(Path, "replace", replace)
    write_case(Case("a"), facts, tmp_path / "a.yaml")
    assert order[:2] == ["fsync", "replace"]


def test_no_such_folder(tmp_path: Path, facts: Facts) -> None:
    path = tmp_path / "none" / "a.yaml"
    with pytest.raises(BadInput) as caught:
        write_case(Case("a"), facts, path)
    assert str(caught.value) == f"{path}: cannot be written: No such file or directory"


STORED = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")) | st.sampled_from("\n\t\x85"),
    min_size=1, max_size=60,
).filter(lambda text: bool(text.strip()) and not re.search("[\ufffe\uffff]", text))  # fmt: skip
TRICKY = st.sampled_from(
    ["yes", "No", "~", "null", "1", "1.50", "1e5", "0x1F", "1_000", "12:30", "2024-05-01", "a: b",
     "a #b", "- a", "? a", "[a]", "{a}", "'a'", '"a"', "a\\nb", "|", ">", "&a", "*a", "!a", "%a",
     "@a", "`a", " a", "a ", "a\n", "\na", "a\n\nb", "a\n b", " a\nb", "a \nb", "---", "...", "<<",
     "on", "=", ",", "a,b", "é", "\ufeffa", "a\u2028b", ":a", "a:", "-", "--- a\nb", "# a\nb"]
)  # fmt: skip
TEXTS = STORED | TRICKY
NAMES = (
    st.text(st.characters(codec="utf-8", categories=("L", "N", "Pd")) | st.sampled_from("_ ()."),
            min_size=1, max_size=20) | TRICKY
).filter(lambda name: not _refused(name))  # fmt: skip


def _refused(name: str) -> bool:
    try:
        case_writer.check_name(name)
    except AnswerError:
        return True
    return False


def _answers(decl: FactDecl) -> st.SearchStrategy[Value]:
    if decl.kind is Kind.CHOICE:
        return st.lists(st.sampled_from(decl.keys), min_size=1, unique=True).map(tuple)
    if decl.kind is Kind.YES_NO:
        return st.booleans()
    if decl.kind is Kind.TEXT:
        return TEXTS
    high = min([decl.high, *decl.high_by.values()])
    value = st.floats(decl.low, high)
    return st.tuples(value, value).map(lambda ends: Span(min(ends), max(ends))) | value.map(
        lambda v: Span(v, v)
    )


CASES = st.builds(
    Case,
    name=NAMES,
    title=st.just("") | TEXTS,
    facts=st.fixed_dictionaries({}, optional={d.name: _answers(d) for d in DECLARED}),
    earlier_repairs=st.none()
    | st.lists(
        st.builds(EarlierRepair, TEXTS, *[st.just("") | TEXTS] * 3),
        max_size=3,
    ).map(tuple),
    photos=st.lists(TEXTS, max_size=3).map(tuple),
    note=st.just("")
    | TEXTS
    | st.lists(TEXTS, max_size=4)
    .map("\n".join)
    .filter(lambda note: not note or bool(note.strip())),
)


@settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck))
@given(CASES)
def test_round_trip(tmp_path: Path, facts: Facts, case: Case) -> None:
    path = tmp_path / "case.yaml"
    text = case_text(case, facts)
    path.write_text(text, encoding="utf-8", newline="")
    again = read_case(path, facts)
    assert again == case
    assert case_text(again, facts) == text


@settings(max_examples=200, deadline=None)
@given(CASES)
def test_another_reader_sees_the_same_texts(case: Case) -> None:
    seen = yaml.safe_load(case_text(case, {decl.name: decl for decl in DECLARED}))
    assert (seen["case"], seen.get("title", ""), seen.get("note", "")) == (
        case.name, case.title, case.note,
    )  # fmt: skip


WRITTEN_FORMS = st.sampled_from(
    ["4.5 in", '4.5"', "4 1/2 in", "12 cm", "1'", "120..130 mm", "120 to 130 mm", "120-130 mm",
     "9 mm to 1.2 cm", "0.5 ft", "120mm", "120–130 mm"]
)  # fmt: skip


@given(WRITTEN_FORMS)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_quantities_stay_as_written(put: Put, facts: Facts, written: str) -> None:
    quoted = written.replace('"', '\\"')
    case = read_case(put(f'format: 1\ncase: a\nfacts:\n  damage.length: "{quoted}"\n'), facts)
    again = read_case(put(case_text(case, facts)), facts)
    assert again == case
    span = again.facts["damage.length"]
    assert isinstance(span, Span) and span.written == written


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(FULL.splitlines(keepends=True) + WRONG.splitlines(keepends=True))))
def test_shuffled_lines_give_a_case_or_messages(put: Put, facts: Facts, lines: list[str]) -> None:
    try:
        read_case(put("format: 1\ncase: a\n" + "".join(lines)), facts, methods=METHODS)
    except BadInput as bad:
        assert all(fault.line for fault in bad.faults)
