"""The papers a case needs as JSON: the form of ``papers needs --json`` (docs/materials.md)."""

from __future__ import annotations

from typing import Any

from advisor.papers.needs.evidence import Needs
from advisor.papers.needs.page import NOT_AN_APPROVAL

FORMAT = 1


def needs_json(needs: Needs, case: str) -> dict[str, Any]:
    """It as a plain dictionary that ``json.dumps`` can write."""
    return {
        "format": FORMAT,
        "case": case,
        "vehicle": needs.vehicle,
        "rule_known": needs.known is not None and bool(needs.known.rule_sets),
        "rule_set": needs.rule_set.rule_set if needs.rule_set else None,
        "item": needs.item.title if needs.item else None,
        "who_decides": (
            needs.rule_set.defer_to if needs.rule_set
            else needs.known.defer_to if needs.known else None
        ),
        "not_given": list(needs.open_),
        "tests": [{"test": test, "limits": limits} for test, limits in needs.tests],
        "existing_papers": "REVIEW" if needs.in_doubt else None,
        "layers": [
            {
                "layer": one.layer,
                "review": one.review,
                "evidence": [
                    {"kind": each.kind, "text": each.text, "source": each.source,
                     "status": each.status}
                    for each in one.evidence
                ],
                "lots": [lot.lot for lot in one.lots],
            }
            for one in needs.layers
        ],
        "drug_alcohol_proof": needs.hired is not None,
        "methods": [
            {"method": one.method, "title": one.title, "adds": list(one.layers),
             "new_papers": list(one.missing)}
            for one in needs.methods
        ],
        "not_an_approval": NOT_AN_APPROVAL,
    }  # fmt: skip
