"""A report for a reader of other units: what the rules say in metric is told in both."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

from advisor.facts.in_text import also_in
from advisor.facts.quantity import System
from advisor.report.blocks import Document


def in_units_of(document: Document, system: System) -> Document:
    """``document`` with each metric quantity of its sections told in ``system`` too.

    Figures that were converted when the report was made are in no metric unit any more,
    so they stay as they are; the head and the foot hold no quantities.
    """
    if system is System.METRIC:
        return document
    return replace(
        document, front=_also(document.front, system), working=_also(document.working, system)
    )


def _also(part: Any, system: System) -> Any:
    """The same with every text in it told so, however deep; a word such as `Tone` is no text."""
    if type(part) is str:
        return also_in(part, system)
    if isinstance(part, tuple):
        return tuple(_also(one, system) for one in part)
    if is_dataclass(part) and not isinstance(part, type):
        inside = {field.name: _also(getattr(part, field.name), system) for field in fields(part)}
        return replace(part, **inside)
    return part
