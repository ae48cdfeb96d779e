"""A report for a reader of other units: what the rules say in metric is told in both."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from advisor.facts.quantity import System
from advisor.report.blocks import Document
from advisor.wording.phrases import Phrase, in_units


def in_units_of(document: Document, system: System) -> Document:
    """``document`` with the amounts in its sentences told in ``system``; all plain strings.

    Figures that were converted when the report was made are in no metric unit any more,
    so they stay as they are; the head and the foot hold no quantities.
    """
    return replace(
        document, front=_told(document.front, system), working=_told(document.working, system)
    )


def _told(part: Any, system: System) -> Any:
    """The same with every phrase in it told so, however deep."""
    if isinstance(part, Phrase):
        return in_units(part, system)
    if isinstance(part, tuple):
        return tuple(_told(one, system) for one in part)
    if is_dataclass(part) and not isinstance(part, type):
        inside = {field.name: _told(getattr(part, field.name), system) for field in fields(part)}
        return replace(part, **inside)
    return part
