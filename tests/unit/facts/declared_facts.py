"""Facts declared for the tests of `advisor.facts`."""

from __future__ import annotations

from advisor.facts.declaration import FactDecl, Kind, Option, Stage


def choice(name: str, *keys: str) -> FactDecl:
    options = tuple(Option(key, key.replace("_", " ")) for key in keys)
    return FactDecl(name, Kind.CHOICE, Stage.PART, name, "", "", options=options)


def quantity(name: str, dimension: str, low: float, high: float, **high_by: float) -> FactDecl:
    return FactDecl(
        name, Kind.QUANTITY, Stage.DAMAGE, name, "", "",
        dimension=dimension, low=low, high=high, high_by=high_by,
    )  # fmt: skip


def simple(name: str, kind: Kind) -> FactDecl:
    return FactDecl(name, kind, Stage.DAMAGE, name, "", "")


DECLARED = (
    choice("part.kind", "armrest", "seat_cushion", "door_panel"),
    choice("skin.material", "leather", "vinyl_coated_fabric", "unsupported_vinyl", "woven_cloth"),
    choice("damage.edges_meet", "yes", "no", "unknown"),
    quantity("damage.length", "length", 0.0, 10_000.0, armrest=600.0, door_panel=1_500.0),
    quantity("skin.hardness", "number", 10.0, 100.0),
    quantity("damage.closing_pull", "force", 0.0, 400.0),
    quantity("site.temperature", "temperature", -40.0, 60.0),
    quantity("part.age", "age", 0.0, 80.0),
    simple("hazard.airbag_near", Kind.YES_NO),
    simple("damage.remark", Kind.TEXT),
)
