"""The facts a case file may give, as the command line lists them."""

from __future__ import annotations

from typing import Any

from advisor.facts.declaration import FactDecl


def fact_form(decl: FactDecl) -> dict[str, Any]:
    """One fact as `rules facts --json` lists it."""
    form: dict[str, Any] = {
        "kind": str(decl.kind),
        "stage": str(decl.stage),
        "ask": decl.ask,
        "how": decl.how,
        "gate": decl.gate,
    }
    if decl.options:
        form["options"] = {option.key: option.title for option in decl.options}
    if decl.kind == "quantity":
        form.update(unit=decl.unit, low=decl.low, high=decl.high)
    return form


def accepted(decl: FactDecl) -> str:
    """What a fact takes, in a line: its answers, or its limits with the unit."""
    if decl.options:
        return ", ".join(decl.keys)
    if decl.kind == "quantity":
        unit = "" if decl.unit == "1" else f" {decl.unit}"
        return f"{decl.low:g} to {decl.high:g}{unit}"
    return "yes, no" if decl.kind == "yes_no" else "text"
