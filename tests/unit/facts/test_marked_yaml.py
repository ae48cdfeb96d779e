from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.facts import marked_yaml
from advisor.facts.faults import BadInput, Fault
from advisor.facts.marked_yaml import dotted, read_marked

Put = Callable[[str | bytes], Path]

GOOD = """\
format: 1
facts:
  damage.length: 120 mm
  list: [a, {b: 2.5}]
  seen: 2024-05-01
  yes_no: yes
  off: off
  nothing: ~
note: |
  two
  lines
"""


@pytest.fixture(params=["fast", "plain"])
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Each test that takes this runs with libyaml and with the parser in Python."""
    if request.param == "plain":
        monkeypatch.setattr(marked_yaml, "_LOADER", yaml.SafeLoader)
    elif not hasattr(yaml, "CSafeLoader"):
        pytest.skip("PyYAML without libyaml")
    yield


def said(path: Path) -> str:
    with pytest.raises(BadInput) as caught:
        read_marked(path)
    return str(caught.value).replace(f"{path.parent}{os.sep}", "")


@pytest.mark.usefixtures("loader")
def test_data_and_marks(put: Put) -> None:
    marked = read_marked(put(GOOD))
    assert marked.data == {
        "format": 1,
        "facts": {
            "damage.length": "120 mm", "list": ["a", {"b": 2.5}], "seen": "2024-05-01",
            "yes_no": True, "off": "off", "nothing": None,
        },
        "note": "two\nlines\n",
    }  # fmt: skip
    assert marked.mark(("facts", "damage.length")) == (3, 18)
    assert marked.key_mark(("facts", "damage.length")) == (3, 3)
    assert marked.mark(("facts", "list", 1, "b")) == (4, 17)
    assert marked.key_mark(("facts", "list", 1)) == (4, 13)
    assert marked.mark(("facts", "list", 7, "none")) == marked.mark(("facts", "list")) == (4, 9)
    assert marked.mark(("nowhere",)) == (1, 1)
    assert marked.written(("facts", "list", 1, "b")) == "2.5"
    assert marked.written(("facts",)) == ""


def test_fault_helper_names_the_path(put: Put) -> None:
    marked = read_marked(put(GOOD))
    fault = marked.fault(("facts", "list", 1), "odd", found="x", at_key=True)
    assert (fault.line, fault.column, fault.field) == (4, 13, "facts.list[1]")
    assert dotted(("a", 0, 1, "b")) == "a[0][1].b"


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1", 1), ("-7", -7), ("+3", 3), ("0", 0), ("007", "007"), ("0x1F", "0x1F"),
        ("1_000", "1_000"), ("12:30", "12:30"), ("1.5", 1.5), (".5", 0.5), ("5.", 5.0),
        ("1e3", 1000.0), ("1.5e-3", 0.0015), (".inf", ".inf"), (".nan", ".nan"),
        ("1e999", "1e999"), ("9" * 30, "9" * 30), ("true", True), ("No", False), ("NULL", None),
        ("yEs", "yEs"), ("y", "y"), ("'1'", "1"), ('"yes"', "yes"), ("''", ""),
        ("2001-12-14t21:59:43.10-05:00", "2001-12-14t21:59:43.10-05:00"), ("<<", "<<"),
    ],
)  # fmt: skip
def test_scalars(put: Put, text: str, value: object) -> None:
    found = read_marked(put(f"a: {text}\n")).data["a"]
    assert found == value
    assert type(found) is type(value)


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "harbour.yaml: the file is empty; accepted: a mapping of names to values"),
        ("# only this\n",
         "harbour.yaml: the file is empty; accepted: a mapping of names to values"),
        ("- a\n- b\n", "harbour.yaml:1:1: not a mapping at the top level; found a list; "
         "accepted: names, each with a colon and a value"),
        ("just words", "harbour.yaml:1:1: not a mapping at the top level; found text; "
         "accepted: names, each with a colon and a value"),
        ("a: &x 1\n", "harbour.yaml:1:4: anchors and aliases are not accepted"),
        ("a: &x [1]\n", "harbour.yaml:1:4: anchors and aliases are not accepted"),
        ("a: *x\n", "harbour.yaml:1:4: anchors and aliases are not accepted"),
        ("a: !thing 1\n",
         'harbour.yaml:1:4: tags are not accepted; found "!thing"; accepted: plain values'),
        ("a: !!python/object:os.system [x]\n", "harbour.yaml:1:4: tags are not accepted; "
         'found "!!python/object:os.system"; accepted: plain values'),
        ("a: 1\nb:\n  c: 1\n  d: 2\n  c: {x: 3}\n", "harbour.yaml:5:3: b.c: given twice, "
         "first in line 3, column 3; accepted: each name once"),
        ("b:\n  1: x\n", 'harbour.yaml:2:3: b: a name that is not text; found "1" (a number); '
         "accepted: text; put quotation marks around it"),
        ("? [a]\n: 1\n", "harbour.yaml:1:3: a name that is not text; found a list; "
         "accepted: text as the name"),
        ("? {a: 1}\n: 1\n", "harbour.yaml:1:3: a name that is not text; found a mapping; "
         "accepted: text as the name"),
        ("a: 1\n---\nb: 2\n", "harbour.yaml:2:1: a second document begins here; accepted: one"),
        ("a: 1\n\tb: 2\n",
         "harbour.yaml:2:1: not valid YAML: a tab is where spaces are needed"),
        ("a: b: c\n",
         "harbour.yaml:1:5: not valid YAML: a second colon on this line; put the text in "
         "quotation marks"),
        ("a: 1\nb: \x07\n", "harbour.yaml:2:4: a control character (U+0007) is in the text; "
         "accepted: text in UTF-8"),
    ],
)  # fmt: skip
def test_messages(put: Put, text: str, message: str) -> None:
    assert said(put(text)) == message


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ('a: 1\nb: "x\nc: 1\n', "2:4", "a quotation mark is not closed"),
        ("a: {b: c\n", "2:1",
         "a comma or the closing } is missing in what begins in line 1, column 4"),
        ("a: [b, c\nd: 1\n", "2:2",
         "a comma or the closing ] is missing in what begins in line 1, column 4"),
        ("a: %x\n", "1:4", "put quotation marks around text that begins with %"),
        ("a: @x\n", "1:4", "put quotation marks around text that begins with @"),
        ("a: *\n", "1:5", "put quotation marks around text that begins with & or *"),
        ('a: "C:\\photos"\n', "1:4",
         "a backslash between double quotation marks has a meaning; use single ones"),
        ("a: 1\nb\nc: 1\n", "2:1", "no colon behind the name, or no value"),
        ("a: 1\n b: 2\n", "2:3",
         "this line begins further right than the names it belongs to"),
        ("a:\n  b: 1\n c: 2\n", "3:2",
         "this line begins neither where those above it do nor inside one of them"),
        ("a: 'it's'\n", "1:8", "text goes on behind the closing quotation mark or bracket"),
        ("a: - b\n", "1:4", "a list begins on a line of its own, or is written [a, b]"),
        ("a: ]\n", "1:4", "a value is missing, or a bracket is too many"),
        ("a: >PP<\n", "1:5", "put quotation marks around text that begins with > or |"),
    ],
)  # fmt: skip
def test_a_slip_is_told_in_plain_words(put: Put, text: str, place: str, words: str) -> None:
    assert said(put(text)) == f"harbour.yaml:{place}: not valid YAML: {words}"


@pytest.mark.usefixtures("loader")
def test_unclosed_list_says_where(put: Put) -> None:
    text = said(put("a: [1, 2\nb: 3\n"))
    assert text.startswith("harbour.yaml:2:2: not valid YAML: ")


@pytest.mark.usefixtures("loader")
def test_all_duplicates_are_named(put: Put) -> None:
    text = said(put("a: 1\nb: 2\na: 3\nb: 4\nyes: 5\n"))
    assert [line.split(": ")[0] for line in text.splitlines()] == [
        "harbour.yaml:3:1", "harbour.yaml:4:1", "harbour.yaml:5:1",
    ]  # fmt: skip


def test_the_first_of_a_pair_is_kept_where_the_caller_collects(put: Put) -> None:
    faults: list[Fault] = []
    marked = read_marked(put("a: {x: 1}\na: {x: 2, y: 3}\nb: 1\n"), faults=faults)
    assert marked.data == {"a": {"x": 1}, "b": 1}
    assert marked.mark(("a", "x")) == (1, 8)
    assert len(faults) == 1


def test_a_flood_of_faults_is_cut(put: Put) -> None:
    assert len(said(put("a: 1\n" * 50_000)).splitlines()) == 100


def test_missing_folder_and_unusable_names(tmp_path: Path) -> None:
    assert said(tmp_path / "none.yaml") == "none.yaml: there is no such file"
    (tmp_path / "folder").mkdir()
    assert said(tmp_path / "folder") == "folder: this is a folder; accepted: a text file"
    assert "cannot be read" in said(tmp_path / ("x" * 5000))
    assert "cannot be read: not a usable file name" in said(tmp_path / "a\0b")


def test_a_device_is_not_read() -> None:
    if not Path("/dev/zero").exists():
        pytest.skip("no such device here")
    assert "not a regular file" in said(Path("/dev/zero"))


def test_unreadable(put: Put, monkeypatch: pytest.MonkeyPatch) -> None:
    path = put("a: 1\n")

    def refuse(*args: object, **kwargs: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert said(path) == "harbour.yaml: cannot be read: Permission denied"


def test_size_is_checked_before_reading(put: Put, monkeypatch: pytest.MonkeyPatch) -> None:
    path = put(b"a: " + b"x" * 2_000_000)

    def never(*args: object, **kwargs: object) -> None:
        raise AssertionError("the file was opened")

    monkeypatch.setattr(Path, "open", never)
    assert said(path) == (
        "harbour.yaml: too large: 2,000,003 bytes; accepted: at most 2,000,000 bytes"
    )


def test_binary_and_other_encodings(put: Put) -> None:
    assert said(put(b"\x89PNG\0\0")) == (
        "harbour.yaml: this is not a text file; accepted: text in UTF-8"
    )
    assert said(put("a: 1\nb: caf\xe9\n".encode("latin-1"))) == (
        "harbour.yaml:2:7: this is not UTF-8 text; accepted: text in UTF-8"
    )
    assert said(put("a: 1\n".encode("utf-16"))) == (
        "harbour.yaml: this is UTF-16 text; accepted: text in UTF-8; save it anew as UTF-8"
    )
    assert "not a text file" in said(put("a: 1\n".encode("utf-16-le")))


def test_byte_order_mark_and_windows_line_ends(put: Put) -> None:
    marked = read_marked(put(b"\xef\xbb\xbfa: 1\r\nb: \xc3\xa9 x\r\n"))
    assert marked.data == {"a": 1, "b": "é x"}
    assert marked.mark(("b",)) == (2, 4)


def test_columns_count_characters(put: Put) -> None:
    assert read_marked(put("{é𝄞: 1, b: 2}\n")).mark(("b",)) == (1, 12)


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize("unit", ["[", "{a: ", "- ", "a:\n", "? "])
def test_depth_never_ends_in_a_traceback(put: Put, unit: str) -> None:
    started = time.perf_counter()
    text = said(put(unit * (1_000_000 // len(unit))))
    assert text.startswith("harbour.yaml:")
    assert time.perf_counter() - started < 20.0


def test_depth_limit(put: Put) -> None:
    inner = marked_yaml.MAX_DEPTH - 1
    assert read_marked(put("a: " + "[" * inner + "]" * inner)).data
    assert said(put("a: " + "[" * (inner + 1) + "]" * (inner + 1))) == (
        "harbour.yaml:1:43: nested too deep; accepted: at most 40 levels"
    )


def test_number_of_values_is_limited(put: Put) -> None:
    assert "too many values; accepted: at most 200,000 values in a file" in said(
        put("a: [" + "1," * 300_000 + "]")
    )


def test_an_expanding_file_is_refused_at_once(put: Put) -> None:
    bomb = "a: &a [x, x]\n" + "".join(
        f"{b}: &{b} [*{a}, *{a}, *{a}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    assert said(put(bomb)) == "harbour.yaml:1:4: anchors and aliases are not accepted"


def test_speed(put: Put) -> None:
    if not hasattr(yaml, "CSafeLoader"):
        pytest.skip("PyYAML without libyaml")
    path = put("".join(f"k{i}:\n  value: {i}.5\n  unit: mm\n" for i in range(800)))
    times = []
    for _ in range(7):
        started = time.perf_counter()
        read_marked(path)
        times.append(time.perf_counter() - started)
    assert min(times) < 0.05


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=400))
def test_random_bytes_never_crash(put: Put, content: bytes) -> None:
    try:
        assert isinstance(read_marked(put(content)).data, dict)
    except BadInput as bad:
        assert str(bad)


PIECES = st.sampled_from(
    ["a", ": ", "\n", "  ", "- ", "[", "]", "{", "}", ",", "&x", "*x", "!t ", "|\n", "'", '"',
     "? ", "#", "---\n", "...\n", "%YAML 1.1\n", "\t", "1", "yes", "~", "\\", "<<", ">", "é", "@"]
)  # fmt: skip


@settings(max_examples=600, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(PIECES, max_size=40).map("".join), st.sampled_from(["CSafeLoader", "SafeLoader"]))
def test_random_yaml_never_crashes(put: Put, text: str, loader: str) -> None:
    before = marked_yaml._LOADER
    marked_yaml._LOADER = getattr(yaml, loader, yaml.SafeLoader)
    try:
        marked = read_marked(put(text))
        assert all(line >= 1 and column >= 1 for line, column in marked.marks.values())
    except BadInput as bad:
        assert all(fault.text for fault in bad.faults)
    finally:
        marked_yaml._LOADER = before


TREE = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**17), 10**17) | st.text(max_size=20)
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=4)
    | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=15,
)  # fmt: skip


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.text(max_size=8), TREE, min_size=1, max_size=5))
def test_what_another_writer_dumps_is_read_back(put: Put, tree: dict[str, object]) -> None:
    """PyYAML's dump as an independent writer; shared containers become aliases, so none."""

    class NoAlias(yaml.SafeDumper):
        def ignore_aliases(self, data: object) -> bool:
            return True

    # Quoted, for "0E0" is text to YAML 1.1 and a number here.
    NoAlias.add_representer(
        str, lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", text, style='"')
    )
    text = yaml.dump(tree, Dumper=NoAlias, allow_unicode=False)
    assert read_marked(put(text)).data == tree
