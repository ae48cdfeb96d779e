"""Drops each cause of load in turn and prints which field cases change.

Run with ``python -m tests.field.ablation``. A cause that alone changes no case is named
as one that these cases do not need; then causes are dropped in groups.
"""

from __future__ import annotations

from dataclasses import replace

from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.nodes import Draw
from advisor.rulegraph.model.pack import RulePack
from tests.field.table import Answer, run


def causes(pack: RulePack) -> list[str]:
    """Nodes marked as causes of load."""
    return [name for name, node in pack.nodes.items() if node.cause]


def without(pack: RulePack, names: list[str]) -> RulePack:
    """The pack with some causes held at nothing."""
    nothing = Draw((), (0.0, 0.0, 0.0))
    still = {n: replace(pack.nodes[n], operation=nothing, when=None) for n in names}
    return replace(pack, nodes={**pack.nodes, **still})


def groups(pack: RulePack) -> dict[str, list[str]]:
    """Causes that come together: by how long they act, and all of one kind of place."""
    known = set(causes(pack))
    found: dict[str, list[str]] = {}
    for duration, words in (
        ("sustained", "all sustained load"),
        ("cyclic", "all repeated load"),
        ("peak", "all peak load"),
    ):
        demands = [getattr(site, duration) for site in pack.sites.values()]
        inside = {n for demand in demands for n in pack.nodes[demand].operation.names()}
        found[words] = sorted(inside & known)
    found["every load there is"] = sorted(known)
    return found


def changed(before: dict[str, Answer], after: dict[str, Answer]) -> list[str]:
    """What is different, case by case."""
    found = []
    for name, old in before.items():
        new = after[name]
        if new.lead != old.lead:
            found.append(f"{name} {old.lead} > {new.lead}")
        elif new.verdict != old.verdict:
            found.append(f"{name} {old.verdict} > {new.verdict}")
    return found


def main() -> None:
    """Print the table."""
    pack = load_pack()
    _, before = run(pack)
    idle = []
    for name in causes(pack):
        _, after = run(without(pack, [name]))
        moved = changed(before, after)
        if not moved:
            idle.append(name)
            continue
        print(f"{name:<24}{pack.nodes[name].title}")
        for line in moved:
            print(f"{'':<24}  {line}")
    print("\nAlone, no field case needs: " + ", ".join(idle))
    print("\nTogether:")
    for words, names in groups(pack).items():
        _, after = run(without(pack, names))
        print(f"without {words}")
        for line in changed(before, after):
            print(f"{'':<24}  {line}")


if __name__ == "__main__":
    main()
