"""What the validator finds, as faults with file, line, what was found and what is accepted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import TypeAdapter, ValidationError

from advisor.facts.faults import AnswerError, Fault, nearest_name
from advisor.facts.marked_yaml import kind_of
from advisor.rulegraph.reading.pack_files import Loc, PackFile
from advisor.rulegraph.schema.rule_files import CONTENTS, CURRENCY

Item = Mapping[str, Any]

#: Kind of finding to the problem and what is accepted.
_WORDS = {
    "float_type": ("not a number", "a number"),
    "float_parsing": ("not a number", "a number"),
    "finite_number": ("not a finite number", "a number"),
    "int_type": ("not a whole number", "a whole number"),
    "int_parsing": ("not a whole number", "a whole number"),
    "int_from_float": ("not a whole number", "a whole number"),
    "bool_type": ("not yes or no", "yes or no"),
    "bool_parsing": ("not yes or no", "yes or no"),
    "string_type": ("not a text", "a text"),
    "string_too_long": ("too long a text", "a shorter one"),
    "string_too_short": ("an empty text", "at least one letter"),
    "tuple_type": ("not a list", "a list, such as [a, b]"),
    "list_type": ("not a list", "a list, such as [a, b]"),
    "dict_type": ("not a mapping", "keys with values"),
    "model_type": ("not a mapping", "keys with values"),
}
#: Kind of finding to the words before its limit.
_LIMITS = {
    "greater_than": "more than",
    "greater_than_equal": "at least",
    "less_than": "less than",
    "less_than_equal": "at most",
}
#: Keys of a figure with its source, by which it is recognised.
_FIGURE = {"typical", "value", "source", "status"}
_ADAPTERS: dict[str, TypeAdapter[Any]] = {}


def kind_of_file(name: str) -> str:
    """The key of `CONTENTS` for a file of the pack: its own name, or its folder."""
    return name if name in CONTENTS else name.split("/")[0] + "/"


def adapter(name: str) -> TypeAdapter[Any]:
    """The validator of a file of the pack, built on first use for each kind of file."""
    known = kind_of_file(name)
    if known not in _ADAPTERS:
        _ADAPTERS[known] = TypeAdapter(CONTENTS[known])
    return _ADAPTERS[known]


def existing(data: Any, loc: Loc) -> Loc:
    """The parts of a location of the validator that lead to something in ``data``."""
    return _parted(data, loc)[0]


def faults_of(
    file: PackFile, error: ValidationError, form: TypeAdapter[Any] | None = None
) -> list[Fault]:
    """The validator's findings as faults, one for each thing that is wrong.

    ``form`` is the validator, where it is not that of a file of the pack.
    """
    form = form or adapter(file.name)
    data = file.marked.data
    faults: dict[tuple[Loc, str], Fault] = {}
    for item in _meant(data, error.errors(include_url=False)):
        loc = existing(data, item["loc"])
        fault = _fault(file, loc, item, form)
        faults.setdefault((loc, fault.problem), fault)
    return list(faults.values())


def _fault(file: PackFile, loc: Loc, item: Item, form: TypeAdapter[Any]) -> Fault:
    kind = item["type"]
    given = item["input"]
    found, found_is = _shown(given, file.marked.written(loc))
    problem, accepted, nearest = item["msg"].removeprefix("Value error, "), "", ""
    at_key = kind == "extra_forbidden" or item["loc"][-1:] == ("[key]",)
    if kind == "extra_forbidden":
        siblings = _keys_inside(form, loc[:-1])
        problem, found, found_is = "unknown key", str(loc[-1]), ""
        accepted, nearest = ", ".join(siblings), nearest_name(found, siblings)
    elif kind == "missing":
        problem, found, found_is = f"{item['loc'][-1]} is missing", "", ""
    elif kind == "value_error":
        said = item["ctx"]["error"]
        found, found_is = "", ""
        if isinstance(said, AnswerError):
            problem, accepted, nearest = said.problem, said.accepted, said.nearest
            found, found_is = said.found, said.found_is
    elif kind == "string_too_short" and item["ctx"]["min_length"] > 1:
        problem, accepted = "too short a text", f"at least {item['ctx']['min_length']} letters"
    elif kind.startswith("date"):
        problem, accepted = "not a date", "year, month and day, such as 2026-11-30"
    elif kind == "too_short":
        problem, found, found_is = "nothing is listed", "", ""
    elif kind == "literal_error":
        problem, accepted = "not one of the accepted words", str(item["ctx"]["expected"])
        words = accepted.replace("'", "").replace(" or ", ", ").split(", ")
        nearest = nearest_name(str(given), words)
    elif kind == "string_pattern_mismatch":
        problem = "not a name"
        accepted = "small letters, digits, _ and . such as skin.thickness"
        if item["ctx"]["pattern"] == CURRENCY:
            problem, accepted = "not a currency", "three capital letters such as EUR"
    elif kind == "no_form":
        accepted = item["accepted"]
    elif kind in _WORDS:
        problem, accepted = _WORDS[kind]
        keys = _keys_inside(form, loc) if kind == "model_type" else []
        accepted += f": {', '.join(keys)}" if keys else ""
        if set(keys) >= _FIGURE and isinstance(given, int | float):
            problem = "one number is not enough here"
            accepted = f"such as {{value: {given:g}, source: practice, status: common_practice}}"
    elif kind in _LIMITS:
        limit = next(iter(item["ctx"].values()))
        problem, accepted = "outside the range", f"{_LIMITS[kind]} {limit:g}"
    return file.fault(loc, problem, found, accepted, nearest, at_key=at_key, found_is=found_is)


# -- one finding where a value may have several forms ----------------------------------------


def _meant(data: Any, items: Iterable[Item]) -> list[Item]:
    """Of the findings for each form a value may have, those for the form that was meant.

    That is the form of the same shape: a mapping, a list, a number. Where no form has the
    shape of the value, one finding names them all.
    """
    kept: list[Item] = []
    forms: dict[Loc, dict[str | int, list[Item]]] = {}
    for item in items:
        place, form = _parted(data, item["loc"])[1:]
        if form is None or (item["type"] == "missing" and form == item["loc"][-1]):
            kept.append(item)
        else:
            forms.setdefault(place, {}).setdefault(form, []).append(item)
    for place, tried in forms.items():
        fitting = [found for found in tried.values() if not _of_other_shape(data, place, found)]
        kept += fitting[0] if fitting else [_no_form(place, tried.values())]
    return kept


def _of_other_shape(data: Any, place: Loc, items: Iterable[Item]) -> bool:
    return any(
        existing(data, item["loc"]) == place and item["type"].endswith(("_type", "_parsing"))
        for item in items
    )


def _no_form(place: Loc, tried: Iterable[list[Item]]) -> Item:
    first = [items[0] for items in tried]
    *others, last = dict.fromkeys(_WORDS[item["type"]][1] for item in first)
    accepted = f"{', '.join(others)} or {last}" if others else last
    return {
        "type": "no_form", "loc": place, "input": first[0]["input"],
        "msg": "not in an accepted form", "accepted": accepted,
    }  # fmt: skip


def _parted(data: Any, loc: Loc) -> tuple[Loc, Loc, str | int | None]:
    """The parts of a location that exist, where they first break off, and the part there.

    The validator puts the name of a form between the key of a value and what is inside it.
    """
    place: Loc = ()
    broken: tuple[Loc, str | int | None] | None = None
    for part in loc:
        known = isinstance(data, dict) and part in data
        if known or (isinstance(data, list) and isinstance(part, int) and part < len(data)):
            data = data[part]
            place = (*place, part)
        elif part != "[key]":
            broken = broken or (place, part)
    return (place, *(broken or (place, None)))


def _keys_inside(form: TypeAdapter[Any], loc: Loc) -> list[str]:
    """Keys that the schema accepts in the mapping at ``loc``; none where any may stand there."""
    definitions = form.json_schema(by_alias=True)
    node: Any = definitions
    for part in loc:
        node = _step(_resolve(node, definitions), part)
        if node is None:
            return []
    return sorted(_resolve(node, definitions).get("properties", {}))


def _resolve(node: Any, definitions: Any) -> Any:
    while isinstance(node, dict):
        if "$ref" in node:
            node = definitions["$defs"][node["$ref"].rsplit("/", 1)[1]]
        elif "anyOf" in node:
            forms = sorted(node["anyOf"], key=lambda form: "$ref" not in form)
            node = next((form for form in forms if form.get("type") != "null"), {})
        else:
            return node
    return {}


def _step(node: Any, part: str | int) -> Any:
    if isinstance(part, int):
        return node.get("items")
    inside = node.get("properties", {}).get(part)
    if inside is None:
        inside = next(iter(node.get("patternProperties", {}).values()), None)
    return inside if inside is not None else node.get("additionalProperties")


def _shown(value: Any, written: str) -> tuple[str, str]:
    """A value as it was written, or what it is in words."""
    if value is None or isinstance(value, dict | list):
        return "", kind_of(value)
    return (str(value) if isinstance(value, str) else written or str(value)), ""
