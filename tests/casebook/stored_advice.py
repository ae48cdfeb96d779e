"""An advice as the casebook keeps it, made up for tests that only look at its columns."""

from __future__ import annotations

from advisor.casebook.cases.advised import Advised


def some_advice(lead: str = "hand_stitch", hold: float = 0.9) -> Advised:
    """A plan that leads with ``lead``."""
    plan = {"methods": [lead], "lead": lead, "hold_probability": hold,
            "minutes": {"low": 30, "typical": 40, "high": 70}}  # fmt: skip
    result = {"verdict": "plan", "worlds": 4096, "plan": plan, "methods": [], "gates": [],
              "loads": [], "needs": []}  # fmt: skip
    return Advised("0" * 64, "1", "0", 1, result, "0" * 64)
