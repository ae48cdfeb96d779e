"""Which facts are asked of a case, though the pack remembers the last answer."""

from __future__ import annotations

from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack


def test_every_case_is_asked_for_itself(pack: RulePack) -> None:
    plain = Case("HB-1", facts={"part.kind": ("armrest",), "damage.kind": ("seam_open",)})
    other = plain.with_fact("part.kind", ("rigid_trim",))
    first = pack.asked(plain)
    assert pack.asked(plain) is first
    assert pack.asked(other) != first
    assert pack.asked(plain) == first
    again = Case(plain.name, facts=dict(plain.facts))
    assert pack.asked(again) == first and pack.asked(again) is not first
