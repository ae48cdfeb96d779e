"""YAML laid out for reading: what it looks like, that nothing is lost, that it is stable."""

from __future__ import annotations

import string
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import marked_text
from advisor.facts.yaml_layout import comment_words, laid_out

#: What is written, and how it is formatted.
LAID_OUT = {
    "a short mapping stays on its line": (
        "a: {low: 1, high: 2.50}\n",
        "a: {low: 1, high: 2.50}\n",
    ),
    "a mapping longer than a line": (
        "a: {title: Strength of bonded polyester thread, unit: N, draw: {low: 38, typical: 48.9, "
        "high: 53}, source: tables}\n",
        "a:\n  title: Strength of bonded polyester thread\n  unit: N\n"
        "  draw: {low: 38, typical: 48.9, high: 53}\n  source: tables\n",
    ),
    "three deep": (
        "a: {b: {c: {d: 1}}}\n",
        "a:\n  b: {c: {d: 1}}\n",
    ),
    "a list of mappings": (
        "all: [{fact: a, is: b}, {not: {fact: c, is: yes}}]\n",
        "all:\n  - {fact: a, is: b}\n  - not: {fact: c, is: yes}\n",
    ),
    "a long list of words": (
        f"a: [{', '.join(f'word_{i}' for i in range(20))}]\n",
        "a: [word_0, word_1, word_2, word_3, word_4, word_5, word_6, word_7, word_8, word_9, "
        "word_10,\n    word_11, word_12, word_13, word_14, word_15, word_16, word_17, word_18, "
        "word_19]\n",
    ),
    "a long text": (
        f'- "{"Sew on. " * 16}End."\n'.replace("- ", "a: "),
        "a: >-\n  " + "Sew on. " * 11 + "Sew on.\n  " + "Sew on. " * 4 + "End.\n",
    ),
    "a text of several lines": ('a: "one\\ntwo\\n"\n', "a: |\n  one\n  two\n"),
    "marks only where they are needed": (
        "a: \"25 mm\"\nb: \"1\"\nc: \"yes\"\nd: 'x: y'\ne: {f: \"a, b\", g: 'c'}\n",
        'a: 25 mm\nb: "1"\nc: "yes"\nd: "x: y"\ne: {f: "a, b", g: c}\n',
    ),
    "empty ones": ("a: []\nb: {}\nc:\n", "a: []\nb: {}\nc: null\n"),
    "a list in a list": ("a:\n- - x\n  - {y: 1, z: 2}\n", "a:\n  - - x\n    - {y: 1, z: 2}\n"),
    "comments": (
        "# head\n\n# of a\na: 1  # beside\nb:\n  # of c\n  c: {x: 1}  # of x\n  # end of b\n"
        "\n\n# of d\nd: 2\n# the end\n",
        "# head\n\n# of a\na: 1  # beside\n\nb:\n  # of c\n  c: {x: 1}  # of x\n  # end of b\n"
        "\n# of d\nd: 2\n# the end\n",
    ),
    "a comment inside brackets": (
        "a: {x: 1,  # first\n  # then\n  y: 2}\n",
        "a:  # first\n  x: 1\n  # then\n  y: 2\n",
    ),
    "a comment beside a text": (
        "a: >-  # why\n  Text.\n- b\n".replace("- b\n", "b: 1\n"),
        "a: Text.  # why\nb: 1\n",
    ),
    "a comment longer than a line": (
        f"# {'word ' * 30}\na: 1\n",
        f"# {'word ' * 18}word\n# {'word ' * 10}word\na: 1\n",
    ),
    "other line ends": ("a: 1\r\nb: [x,\r\n  y]\r\n", "a: 1\nb: [x, y]\n"),
    "a fixed order": ("# head\nb: 1\na: 2\nc: 3\n", "# head\na: 2\nb: 1\nc: 3\n"),
}  # fmt: skip


@pytest.mark.parametrize("what", LAID_OUT)
def test_how_it_is_laid_out(what: str) -> None:
    before, after = LAID_OUT[what]
    order = ("a", "b") if what == "a fixed order" else ()
    assert laid_out(before, order) == after
    assert laid_out(after, order) == after
    assert marked_text(before, "f").data == marked_text(after, "f").data
    assert comment_words(before) == comment_words(after)


LETTERS = string.ascii_letters + string.digits + " :#-'\",[]{}&*!|>%@`?~=\\/.\n\téß°"
WORDS = st.text(LETTERS, max_size=30)
LONG = st.lists(WORDS, max_size=12).map(" ".join)
SCALARS = st.one_of(
    st.none(), st.booleans(), st.integers(-1000, 1000), st.floats(-10, 10, width=16),
    WORDS, LONG, st.sampled_from(["yes", "no", "1.50", "null", "~", "2026-01-01", "- a", "25 mm"]),
)  # fmt: skip
DATA = st.dictionaries(
    WORDS,
    st.recursive(
        SCALARS,
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS, inner, max_size=4),
        max_leaves=8,
    ),
    min_size=1, max_size=4,
)  # fmt: skip


def commented(text: str, places: list[int]) -> str:
    """Comments beside and between the lines, where the text still reads the same with them."""
    lines = text.split("\n")
    for number, place in enumerate(places):
        tried = list(lines)
        at = place % len(lines)
        pad = " " * (place % 7)
        if place % 3:
            tried.insert(at, f"{pad}# note {number} word" + " long" * (place % 30))
        else:
            tried[at] += f"  # note {number} word"
        lines = tried if _reads_alike("\n".join(tried), text) else lines
    return "\n".join(lines)


def _reads_alike(text: str, other: str) -> bool:
    try:
        return bool(yaml.safe_load(text) == yaml.safe_load(other))
    except yaml.YAMLError:
        return False


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(DATA, st.booleans(), st.integers(20, 120), st.lists(st.integers(0, 2000), max_size=5))
def test_any_data_keeps_what_it_says(
    data: dict[str, Any], flow: bool, width: int, places: list[int]
) -> None:
    written = yaml.safe_dump(
        data, default_flow_style=flow, allow_unicode=True, width=width, sort_keys=False
    )
    text = commented(written, places)
    try:
        before = marked_text(text, "f").data
    except BadInput:  # YAML 1.2 takes a name for a number that YAML 1.1 leaves a text
        reject()
    after = laid_out(text)
    assert marked_text(after, "f").data == before
    assert comment_words(after) == comment_words(text)
    assert laid_out(after) == after
