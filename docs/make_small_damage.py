"""Write small-damage.md: what 36 small damages are repaired by, how it holds and what it costs.

``--check`` only compares. Run it from anywhere, with the program installed.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from advisor.advice.advise import advise
from advisor.advice.result import Advice
from advisor.facts.case import Case, Span, Value
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.field.gates import with_other_gates_cleared

PAGE = Path(__file__).parent / "small-damage.md"
BEGIN = "<!-- repairs: written by docs/make_small_damage.py, do not edit by hand -->"
END = "<!-- end of repairs -->"

DAMAGES = {
    "8 mm burn": ("hole", 8.0),
    "20 mm cut": ("tear", 20.0),
    "60 mm cut": ("tear", 60.0),
    "300 mm split": ("tear", 300.0),
}
SKINS = {"vinyl_backed": "vinyl", "leather": "leather", "cloth_woven": "woven cloth"}
PARTS = {
    "door_panel": "door panel",
    "seat_cushion": "seat middle",
    "seat_bolster": "entry bolster",
}


@dataclass(frozen=True)
class Repair:
    """What one small damage is repaired by."""

    skin: str
    part: str
    damage: str
    verdict: str
    method: str
    hold: float
    """Share of the simulated cases in which it holds."""
    price: float


def case_of(skin: str, part: str, damage: str, pack: RulePack) -> Case:
    """A supple skin on sound padding in a car, hazards clear, the rest open."""
    kind, length = DAMAGES[damage]
    facts: dict[str, Value] = {
        "vehicle.kind": ("car",), "part.kind": (part,), "skin.material": (skin,),
        "skin.feel": ("supple",), "core.state": ("springs_back",), "damage.kind": (kind,),
        "damage.length": Span(length, length), "damage.count": Span(1.0, 1.0),
    }  # fmt: skip
    return with_other_gates_cleared(Case("HB-1", facts=facts), pack)


def repair_of(advice: Advice, skin: str, part: str, damage: str, pack: RulePack) -> Repair:
    """The leading plan of an advice, in short."""
    plan = advice.plan
    if plan is None:
        return Repair(skin, part, damage, str(advice.verdict), "none", 0.0, 0.0)
    title = pack.methods[plan.lead].title
    price = plan.price.typical
    return Repair(skin, part, damage, str(advice.verdict), title, plan.hold_probability, price)


def repairs(pack: RulePack) -> Iterator[Repair]:
    """All 36."""
    for skin in SKINS:
        for part in PARTS:
            for damage in DAMAGES:
                advice = advise(case_of(skin, part, damage, pack), pack, flips=False)
                yield repair_of(advice, skin, part, damage, pack)


def listing(found: Iterator[Repair]) -> str:
    """The table."""
    lines = ["| Skin | Part | Damage | Method | Holds in 100 | Price | Settled |",
             "|---|---|---|---|---|---|---|"]  # fmt: skip
    for one in found:
        settled = "yes" if one.verdict == "plan" else "asks on"
        lines.append(
            f"| {SKINS[one.skin]} | {PARTS[one.part]} | {one.damage} | {one.method} "
            f"| {100 * one.hold:.0f} | {one.price:.0f} | {settled} |"
        )
    return "\n".join(lines)


def main() -> int:
    """Write the page, or with ``--check`` say whether it is fresh."""
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    fresh = f"{before}{BEGIN}\n\n{listing(repairs(load_pack()))}\n\n{END}{after}"
    if "--check" in sys.argv:
        if fresh != page:
            print(f"{PAGE} is stale: run python docs/make_small_damage.py", file=sys.stderr)
        return 0 if fresh == page else 1
    PAGE.write_text(fresh, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
