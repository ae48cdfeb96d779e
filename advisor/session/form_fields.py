"""Fields of a form as data: what is asked, how it is answered, what may be picked. No Qt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from advisor.facts.faults import BadInput


class Kind(StrEnum):
    """How a field is answered."""

    LINE = "line"
    LINES = "lines"
    """Several lines of text."""
    CHOICE = "choice"
    YES_NO = "yes_no"
    SEVERAL = "several"
    """Words with commas between them."""
    FILE = "file"


@dataclass(frozen=True)
class FormField:
    """One field; its answer stands at ``path`` in the record, dotted."""

    path: str
    title: str
    kind: Kind = Kind.LINE
    options: tuple[tuple[str, str], ...] = ()
    """Keys with their words; for a line what is often written there."""
    hint: str = ""


YES_NO = (("yes", "Yes"), ("no", "No"))


def shown_value(data: Mapping[str, Any], path: str) -> str:
    """What a record says at ``path``, as a form shows it; empty where it says nothing."""
    value: Any = data
    for key in path.split("."):
        value = value.get(key) if isinstance(value, Mapping) else None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return ", ".join(str(one) for one in value)
    return "" if value is None else str(value)


def taken_value(field: FormField, text: str) -> Any:
    """What is put into the record for what a form shows."""
    text = text.strip()
    if field.kind is Kind.YES_NO:
        return {"yes": True, "no": False}.get(text)
    if field.kind is Kind.SEVERAL:
        return [part.strip() for part in text.split(",") if part.strip()]
    return text


def told_faults(error: BadInput, fields: tuple[FormField, ...]) -> list[str]:
    """Faults of a record in the words of its form."""
    found = []
    for fault in error.faults:
        asked = next((f for f in fields if fault.field.endswith(f.path)), None)
        said = fault.text.partition(f"{fault.field}: ")[2] if fault.field else fault.text
        found.append(f"{asked.title}: {said}" if asked else said or fault.text)
    return found
