"""Checks across the files of a pack that no single entry can make."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.facts.declare import CANONICAL_UNITS
from advisor.facts.faults import BadInput, nearest_name

from .compiling import Compiler
from .pack import method_word
from .reading import PackFile, PackFiles

PART = "part.kind"


def check_dimensions(file: PackFile) -> None:
    """Raises BadInput for a dimension without a unit: no other unit could be checked."""
    accepted = ", ".join(CANONICAL_UNITS)
    faults = [
        file.fault(
            (name, "dimension"),
            "no such dimension",
            model.dimension,
            accepted,
            nearest_name(model.dimension, CANONICAL_UNITS),
        )
        for name, model in file.content.items()
        if model.dimension not in CANONICAL_UNITS
    ]
    if faults:
        raise BadInput(faults)


def check_facts(
    file: PackFile, compiler: Compiler, measured: Iterable[str], methods: Iterable[str]
) -> None:
    """Faults for an open fact that nothing stands for, and for methods and parts it names."""
    words = tuple(dict.fromkeys(method_word(key) for key in methods))
    parts = compiler.facts[PART].keys if PART in compiler.facts else ()
    measured = set(measured)
    for name, model in file.content.items():
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


def check_gates(files: PackFiles, compiler: Compiler) -> None:
    """Faults for a hazard that would never be asked about.

    A gate question needs a gate, and every kind of part a file that says which gates
    it has: without one no gate would be asked for that part.
    """
    file = files.one("facts.yaml")
    asked = {gate.fact for gate in files.one("hazards.yaml").content.gates.values()}
    for name, model in file.content.items():
        if model.gate and name not in asked:
            problem = "a gate question that no gate of hazards.yaml asks"
            compiler.faults.append(file.fault((name,), problem, at_key=True))
    described = {part.content.part for part in files.folder("parts/")}
    for part in compiler.facts[PART].keys if PART in compiler.facts else ():
        if part not in described:
            place = (PART, "options", part)
            problem = "no file in parts/ says which gates this part has"
            accepted = f"parts/{part}.yaml, with gates: [] where it has none"
            compiler.faults.append(file.fault(place, problem, "", accepted, at_key=True))
