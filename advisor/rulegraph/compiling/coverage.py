"""Compiling what the rules cover: which damage occurs on which part, what contradicts."""

from __future__ import annotations

from advisor.facts.case import DAMAGE, PART
from advisor.facts.declaration import FactDecl
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.asked import Origin
from advisor.rulegraph.model.coverage import Contradiction, Coverage
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.coverage import CoverageModel


def build_coverage(files: PackFiles, compiler: Compiler) -> Coverage:
    """The coverage; everything may occur everywhere where no file says otherwise."""
    for file in files.each("coverage.yaml"):
        return _coverage(file, file.content, compiler)
    return Coverage()


def _coverage(file: PackFile, model: CoverageModel, compiler: Compiler) -> Coverage:
    compiler.source(file, (), model.source)
    parts, damages = (compiler.facts.get(name) for name in (PART, DAMAGE))
    if parts is None or damages is None:
        return Coverage()
    places = _places(file, model, parts, compiler)
    compiler.check_names(file, ("damages",), model.damages, damages.keys, "no such damage")
    named = {key for keys in model.groups.values() for key in keys}
    usual: dict[str, set[str]] = {part: set() for part in places}
    rare: dict[str, set[str]] = {part: set() for part in places}
    for damage, row in model.damages.items():
        listed = {key: getattr(row, key) for key in ("usual", "rare", "never")}
        for key, names in listed.items():
            place: Loc = ("damages", damage, key)
            known = [*model.groups, *named] if key != "never" else sorted(named)
            compiler.check_names(file, place, names, known, "no such part or group of parts")
        if not (row.usual or row.rare):
            problem, accepted = "occurs on no part", "groups or parts under usual or rare"
            compiler.faults.append(file.fault(("damages", damage), problem, "", accepted))
        for part, (group, listed_as) in places.items():
            # Said of the part itself counts before what is said of its group.
            if listed_as in row.never:
                continue
            for name in (listed_as, group):
                if name in row.usual or name in row.rare:
                    (usual if name in row.usual else rare)[part].add(damage)
                    break
    unlisted = [
        damage.key for damage in damages.options
        if not damage.not_covered and damage.key not in model.damages
    ]  # fmt: skip
    for part, (group, listed_as) in places.items():
        usual[part].update(unlisted)
        if not usual[part] | rare[part]:
            problem, accepted = "no damage occurs on this part", "a row of damages that names it"
            index = model.groups[group].index(listed_as)
            compiler.faults.append(
                file.fault(("groups", group, index), problem, listed_as, accepted)
            )
    _check_not_covered(file, model, damages, compiler)
    told = model.not_covered
    return Coverage(
        {part: frozenset(found) for part, found in usual.items()},
        {part: frozenset(found) for part, found in rare.items()},
        told.ask, told.check, told.nearest, _contradictions(file, model, compiler),
        Origin(model.source, model.status),
    )  # fmt: skip


def _places(
    file: PackFile, model: CoverageModel, parts: FactDecl, compiler: Compiler
) -> dict[str, tuple[str, str]]:
    """Part to its group and the name under which it stands there: its own, or what it is like.

    A part that is like none that is listed is left out: nobody has looked at it.
    """
    group_of: dict[str, str] = {}
    for group, keys in model.groups.items():
        place: Loc = ("groups", group)
        compiler.check_names(file, place, keys, parts.keys, "no such part")
        for index, key in enumerate(keys):
            if key in group_of:
                problem = f"is in the group {group_of[key]} already"
                compiler.faults.append(file.fault((*place, index), problem, key))
            group_of.setdefault(key, group)
    found = {}
    for part in parts.keys:
        listed_as = next((key for key in parts.line(part) if key in group_of), None)
        if listed_as is not None:
            found[part] = (group_of[listed_as], listed_as)
    return found


def _check_not_covered(
    file: PackFile, model: CoverageModel, damages: FactDecl, compiler: Compiler
) -> None:
    facts, told = compiler.facts, model.not_covered
    compiler.check_names(file, ("not_covered", "ask"), told.ask, facts, "no such fact")
    place: Loc = ("not_covered", "nearest")
    compiler.check_names(file, place, told.nearest, facts, "no such fact")
    for fact, answers in told.nearest.items():
        keys = facts[fact].keys if fact in facts else tuple(answers)
        compiler.check_names(file, (*place, fact), answers, keys, "no such option")
        for answer, near in answers.items():
            inside = (*place, fact, answer)
            compiler.check_names(file, inside, near, damages.keys, "no such damage")


def _contradictions(
    file: PackFile, model: CoverageModel, compiler: Compiler
) -> tuple[Contradiction, ...]:
    found = []
    for key, one in model.contradictions.items():
        place: Loc = ("contradictions", key)
        compiler.source(file, place, one.source)
        if one.look_at not in compiler.facts:
            compiler.unknown(
                file, (*place, "look_at"), "no such fact", one.look_at, compiler.facts
            )
        condition = compiler.condition(file, (*place, "when"), one.when)
        if condition is not None:
            origin = Origin(one.source, one.status)
            found.append(Contradiction(key, condition, one.finding, one.look_at, origin))
    return tuple(found)
