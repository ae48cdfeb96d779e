"""How long sewing takes: common practice, no source."""

from __future__ import annotations

import pytest

from advisor.rulegraph.model.pack import RulePack

STITCHES_PER_100_MM = 25


def sewing(pack: RulePack, method: str) -> float:
    """Likeliest minutes of the sewing itself for 100 mm, set-up left out."""
    charges = [c for c in pack.methods[method].work if c.per.name == "job.hundreds"]
    assert len(charges) == 1
    return charges[0].spread.typical


def test_a_seam_of_a_hundred_holes_takes_forty_minutes(pack: RulePack) -> None:
    """Common practice, no source: about 40 minutes at every hole of an armrest seam."""
    assert sewing(pack, "hand_stitch") / STITCHES_PER_100_MM * 100 == pytest.approx(40.0)


def test_every_other_hole_halves_the_sewing_time(pack: RulePack) -> None:
    """Common practice, no source: 40 minutes become 20; the set-up stays as it is."""
    every, other = sewing(pack, "hand_stitch"), sewing(pack, "hand_stitch.every_other_hole")
    assert other == pytest.approx(every / 2)
