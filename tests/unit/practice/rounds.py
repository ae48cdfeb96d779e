"""Kept rounds for tests, made of what a test says and of what does not matter."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from advisor.practice.answers import Help
from advisor.practice.records import KeptRound

START = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def kept(number: int = 0, **given: Any) -> KeptRound:
    """The round of day ``number``: a seam, stitched by hand as is right."""
    right = given.pop("right", "hand_stitch")
    good = given.pop("good", True)
    choice = given.pop("choice", right if good else "adhesive_bond")
    values: dict[str, Any] = {
        "at": START + timedelta(days=number), "case": f"P-1-{number}", "source": "generated",
        "topics": ("seams",), "item": "seams/damage.hole_state", "part": "armrest",
        "damage": "seam_open", "difficulty": 0.5, "help": Help.ALONE, "right": right,
        "choice": choice, "first_choice": choice, "certainty": 0.7, "first_certainty": 0.6,
        "good": good, "regret": 0.0 if good else 90.0, "loss": 4.0 if good else 94.0,
        "best_cost": 100.0, "asking": 4.0, "useful_asking": 4.0, "idle_asking": 0.0,
        "minutes": 1.5, "gained": 0.0, "score_first": 0.3, "score_final": 0.2,
        "hazards_closed": 0, "hazards_missed": (), "hazards_not_asked": 0,
        "needless_referral": False, "governing": "load.push_off",
        "governing_named": "load.push_off", "seconds": 120.0, "digest": "d",
    }  # fmt: skip
    return KeptRound(**{**values, **given})
