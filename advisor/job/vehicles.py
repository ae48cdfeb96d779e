"""Which damaged parts belong to one vehicle, so that they may share a call-out."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.case import Case
from advisor.job.model import JobSheet, Vehicle
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.sentences import lowered


def vehicle_of(case: Case, pack: RulePack) -> Vehicle:
    """What the case tells of its vehicle: names in its title, and certain answers."""
    names = tuple(part.strip() for part in case.title.split(",") if part.strip())
    answers = []
    for fact in pack.roles.same_vehicle:
        decl, answer = pack.facts[fact], case.choice(fact)
        if answer is not None:
            said = next((o.title for o in decl.options if o.key == answer), answer)
            answers.append((decl.title, said))
    return Vehicle(names, tuple(answers))


def difference(one: Vehicle, other: Vehicle) -> str:
    """Why these are two vehicles, "" where nothing says so.

    An answer that differs decides. So do names: titles such as "Split armrest, shuttle 4"
    and "shuttle 4, torn seat" share a part between commas where the vehicle is the same.
    """
    known = dict(other.answers)
    for title, answer in one.answers:
        if known.get(title, answer) != answer:
            return f"{title}: {lowered(answer)}, and {lowered(known[title])}"
    if len(one.names) < 2 or len(other.names) < 2 or shared_names(one, other):
        return ""
    return f"the names differ: {one.names[-1]}, and {other.names[-1]}"


def shared_names(one: Vehicle, other: Vehicle) -> tuple[str, ...]:
    """Parts of both titles that read alike, whatever their capitals."""
    there = {name.casefold() for name in other.names}
    return tuple(name for name in one.names if name.casefold() in there)


def by_vehicle(sheets: Sequence[JobSheet]) -> tuple[list[list[JobSheet]], str]:
    """Sheets of one vehicle together, and what is said of it: "" for one sheet."""
    found: list[list[JobSheet]] = []
    why = ""
    for sheet in sheets:
        for group in found:
            reason = next((r for s in group if (r := difference(s.vehicle, sheet.vehicle))), "")
            if not reason:
                group.append(sheet)
                break
            why = why or f"{group[0].case} and {sheet.case}, {reason}"
        else:
            found.append([sheet])
    if len(found) > 1:
        return found, f"Not all on one vehicle ({why}), so each vehicle has its own call-out."
    return found, _taken_as_one(found[0]) if found else ""


def _taken_as_one(sheets: Sequence[JobSheet]) -> str:
    """Several parts that nothing tells apart: on what they were taken for one vehicle."""
    if len(sheets) < 2:
        return ""
    names = [shared_names(sheets[0].vehicle, sheet.vehicle) for sheet in sheets[1:]]
    if all(names):
        return f"All on one vehicle: {names[0][-1]}."
    return (
        "Taken as one vehicle: nothing in the cases tells them apart, nothing proves it. "
        "If they are two vehicles, quote them one by one."
    )
