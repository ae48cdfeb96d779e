"""Answers in words, in the units in which they were written or in metric ones."""

from __future__ import annotations

from advisor.facts.case import Span, Value
from advisor.facts.declaration import FactDecl
from advisor.wording.amounts import for_people


def in_words(decl: FactDecl, value: Value) -> str:
    """An answer in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Span):
        if value.written:
            return for_people(value.written)
        low, high = f"{value.low:.4g}", f"{value.high:.4g}"
        number = low if value.exact else f"{low} to {high}"
        return number if decl.unit == "1" else f"{number} {for_people(decl.unit)}"
    if isinstance(value, tuple):
        return " or ".join(decl.option(key).title for key in value)
    return value
