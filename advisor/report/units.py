"""A report for a reader of other units: what the rules say in metric is given in both."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from advisor.facts.quantity import System
from advisor.wording.phrases import Phrase, in_units

Part = TypeVar("Part")


def in_units_of(part: Part, system: System) -> Part:
    """A document, block or text with the amounts in its sentences written in ``system``.

    All plain strings then. Figures that were converted when the report was made are in no
    metric unit any more, so they stay as they are.
    """
    converted: Any = part
    if isinstance(part, Phrase):
        converted = in_units(part, system)
    elif isinstance(part, tuple):
        converted = tuple(in_units_of(one, system) for one in part)
    elif is_dataclass(part) and not isinstance(part, type):
        inside = {field.name: getattr(part, field.name) for field in fields(part)}
        changed = {name: in_units_of(value, system) for name, value in inside.items()}
        if any(changed[name] is not value for name, value in inside.items()):
            converted = replace(part, **changed)
    same: Part = converted
    return same
