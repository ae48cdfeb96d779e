"""Checks across the files of a pack that no single entry can make."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.facts.declare import CANONICAL_UNITS
from advisor.facts.faults import BadInput, Fault, nearest_name

from .compiling import Compiler
from .reading import PackFile, PackFiles
from .rules import method_word
from .schema_facts import FactModel

PART = "part.kind"
VEHICLE = "vehicle.kind"


def check_declared(files: PackFiles) -> None:
    """Raises BadInput for a fact declared twice or in a dimension without a unit.

    Nothing that names such a fact could be checked.
    """
    accepted = ", ".join(CANONICAL_UNITS)
    first: dict[str, str] = {}
    faults = []
    for file, name, model in files.facts():
        where = first.setdefault(name, file.name)
        if where != file.name:
            problem = f"declared in {where} already"
            faults.append(file.fault((name,), problem, name, at_key=True))
        if model.dimension not in CANONICAL_UNITS:
            near = nearest_name(model.dimension, CANONICAL_UNITS)
            place = (name, "dimension")
            faults.append(
                file.fault(place, "no such dimension", model.dimension, accepted, near)
            )
        faults += _check_likes(file, name, model)
    if faults:
        raise BadInput(faults)


def _check_likes(file: PackFile, name: str, model: FactModel) -> list[Fault]:
    """Faults for an option that is a kind of nothing, or of itself."""
    faults = []
    for key, option in model.options.items():
        place = (name, "options", key, "like")
        if option.like and option.like not in model.options:
            near, accepted = nearest_name(option.like, model.options), ", ".join(model.options)
            faults.append(file.fault(place, "no such option", option.like, accepted, near))
        seen, up = {key}, option.like
        while up in model.options and up not in seen:
            seen.add(up)
            up = model.options[up].like
        if up == key:
            problem, accepted = "kinds of each other in a circle", "a kind that is no kind of it"
            faults.append(file.fault(place, problem, option.like or "", accepted))
    return faults


def check_facts(
    files: PackFiles, compiler: Compiler, measured: Iterable[str], methods: Iterable[str]
) -> None:
    """Faults for an open fact that nothing stands for, and for methods and parts it names."""
    words = tuple(dict.fromkeys(method_word(key) for key in methods))
    parts = compiler.facts[PART].keys if PART in compiler.facts else ()
    measured = set(measured)
    for file, name, model in files.facts():
        open_allowed = model.may_stay_open and not model.gate and model.kind != "text"
        if open_allowed and model.prior is None and name not in measured:
            problem = "a fact that may stay open needs a prior or a measurement"
            compiler.faults.append(file.fault((name,), problem, at_key=True))
        if model.earlier is not None and model.earlier not in words:
            near = nearest_name(model.earlier, words)
            place, accepted = (name, "earlier"), ", ".join(words)
            compiler.faults.append(
                file.fault(place, "no such method", model.earlier, accepted, near)
            )
        for part in model.high_by:
            if part not in parts:
                near, accepted = nearest_name(part, parts), ", ".join(parts)
                where = (name, "high_by", part)
                compiler.faults.append(
                    file.fault(where, "no such part", part, accepted, near, at_key=True)
                )
        compiler.faults += _check_usual(file, name, model, compiler)


def _check_usual(
    file: PackFile, name: str, model: FactModel, compiler: Compiler
) -> list[Fault]:
    """Faults for an option that is usual in a vehicle there is not."""
    decl = compiler.facts.get(VEHICLE)
    vehicles = decl.keys if decl is not None else ()
    return [
        file.fault(
            (name, "options", key, "usual_in", i), "no such vehicle", vehicle,
            ", ".join(vehicles), nearest_name(vehicle, vehicles),
        )
        for key, option in model.options.items()
        for i, vehicle in enumerate(option.usual_in)
        if vehicle not in vehicles
    ]


def check_gates(files: PackFiles, compiler: Compiler) -> None:
    """Faults for a hazard that would never be asked about.

    A gate question needs a gate, and every kind of part a file that says which gates
    it has: without one no gate would be asked for that part.
    """
    asked = {gate.fact for gate in files.one("hazards.yaml").content.gates.values()}
    for file, name, model in files.facts():
        if model.gate and name not in asked:
            problem = "a gate question that no gate of hazards.yaml asks"
            compiler.faults.append(file.fault((name,), problem, at_key=True))
    described = {part.content.part for part in files.folder("parts/")}
    kinds = next((file for file, name, _ in files.facts() if name == PART), None)
    decl = compiler.facts.get(PART)
    for part in decl.keys if decl is not None and kinds is not None else ():
        assert decl is not None and kinds is not None
        if described.isdisjoint(decl.line(part)):
            place = (PART, "options", part)
            problem = "no file in parts/ says which gates this part has"
            accepted = f"parts/{part}.yaml, with gates: [] where it has none"
            compiler.faults.append(kinds.fault(place, problem, "", accepted, at_key=True))
