"""Every relation says what it takes, in which unit, where it holds and who says so."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest

import advisor.mechanics  # noqa: F401  (registers every relation)
from advisor.mechanics.relation import RELATIONS, Relation, relation

ENTRY = re.compile(r"^(\w+): (.*)$")
LABELS = ("Result", "Valid", "Source")


def entries(doc: str) -> dict[str, str]:
    """Labelled paragraphs of a docstring, continuation lines joined."""
    found: dict[str, str] = {}
    label = ""
    for line in inspect.cleandoc(doc).splitlines():
        match = ENTRY.match(line)
        if match:
            label = match.group(1)
            found[label] = match.group(2)
        elif label and line.startswith(" "):
            found[label] += " " + line.strip()
        else:
            label = ""
    return found


def last_unit(text: str) -> str:
    """The last thing in square brackets."""
    units = re.findall(r"\[([^\]]+)\]", text)
    return units[-1] if units else ""


everyone = pytest.mark.parametrize("one", RELATIONS.values(), ids=lambda one: one.name)


def test_the_package_registers_its_relations() -> None:
    assert len(RELATIONS) > 70


def test_a_relation_that_nothing_calls_is_listed_with_what_will() -> None:
    """In the rules by name, in another module as a call, or in DEVELOPERS.md as one to come."""
    root = Path(__file__).parents[3]
    rules = "\n".join(path.read_text("utf-8") for path in (root / "rules").rglob("*.yaml"))
    code = [path.read_text("utf-8") for path in (root / "advisor").rglob("*.py")]
    called = {
        name
        for name in RELATIONS
        if re.search(rf"relation: {name}\b", rules)
        or sum(len(re.findall(rf"\b{name}\b(?!`)", text)) for text in code) > 1
    }
    (listed,) = re.findall(
        r"Relations that no rule names yet(.*)", (root / "DEVELOPERS.md").read_text("utf-8")
    )
    assert set(RELATIONS) - called == set(re.findall(r"`(\w+)`", listed))


@everyone
def test_inputs_are_the_signature(one: Relation) -> None:
    assert list(one.inputs) == list(inspect.signature(one.function).parameters)


@everyone
def test_docstring_names_each_argument_with_its_unit(one: Relation) -> None:
    found = entries(one.function.__doc__ or "")
    described = {name: last_unit(text) for name, text in found.items() if name not in LABELS}
    assert described == dict(one.inputs)
    assert list(described) == list(one.inputs), "described in another order than taken"
    assert last_unit(found["Result"]) == one.result


@everyone
def test_docstring_has_its_parts_in_order(one: Relation) -> None:
    doc = inspect.cleandoc(one.function.__doc__ or "")
    sentence, formula, _ = doc.split("\n\n", 2)
    assert sentence.endswith(".") and "\n" not in sentence
    assert formula.startswith("``")
    assert [label for label in entries(doc) if label in LABELS] == list(LABELS)
    assert one.title == sentence[:-1]


@everyone
def test_valid_ranges_belong_to_arguments(one: Relation) -> None:
    assert set(one.valid) <= set(one.inputs)
    assert all(low < high for low, high in one.valid.values())
    assert one.source.strip()


def test_a_name_is_taken_once() -> None:
    with pytest.raises(ValueError, match="two relations are called drag_tension"):

        @relation(inputs={}, result="1", source="none")
        def drag_tension() -> float:
            return 0.0
