"""Checks across the files of a pack that no single entry can make."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.facts.case import PART, VEHICLE
from advisor.facts.declaration import CANONICAL_UNITS
from advisor.facts.faults import Fault, nearest_name
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.rules import method_word
from advisor.rulegraph.reading.pack_files import Loc, Lost, PackFile, PackFiles
from advisor.rulegraph.schema.facts import FactModel, OptionModel


def check_declared(files: PackFiles) -> None:
    """Faults for facts declared twice, in no known dimension, or with options like nothing.

    What is at fault is taken out of the files: nothing that names it could be checked.
    """
    accepted = ", ".join(CANONICAL_UNITS)
    first: dict[str, str] = {}
    for file, name, model in list(files.facts()):
        where = first.setdefault(name, file.name)
        if where != file.name:
            problem = f"declared in {where} already"
            files.faults.append(file.fault((name,), problem, name, at_key=True))
            del file.content[name]
        elif model.dimension not in CANONICAL_UNITS:
            near, place = nearest_name(model.dimension, CANONICAL_UNITS), (name, "dimension")
            problem = "no such dimension"
            files.faults.append(file.fault(place, problem, model.dimension, accepted, near))
            files.lost.add(name)
            del file.content[name]
        else:
            files.faults += _check_likes(file, name, model, files.lost)
            sound = {key: o for key, o in model.options.items() if _ends(key, model.options)}
            if len(sound) < len(model.options):
                files.lost.add(name, *(key for key in model.options if key not in sound))
                file.content[name] = model.model_copy(update={"options": sound})


def _ends(key: str, options: Mapping[str, OptionModel]) -> bool:
    """True where what an option is a kind of comes to an end among the options."""
    seen: set[str] = set()
    up: str | None = key
    while up and up in options and up not in seen:
        seen.add(up)
        up = options[up].like
    return not up


def _check_likes(file: PackFile, name: str, model: FactModel, lost: Lost) -> list[Fault]:
    """Faults for an option that is a kind of nothing, or of itself."""
    faults = []
    options = model.options
    for key, option in options.items():
        place, like = (name, "options", key, "like"), option.like or ""
        if like and like not in options and not lost.names(like):
            near, accepted = nearest_name(like, options), ", ".join(options)
            faults.append(file.fault(place, "no such option", like, accepted, near))
        seen, up = {key}, option.like
        while up in options and up not in seen:
            seen.add(up)
            up = options[up].like
        if up == key:
            problem, accepted = "kinds of each other in a circle", "a kind that is no kind of it"
            faults.append(file.fault(place, problem, like, accepted))
    return faults


def check_facts(
    files: PackFiles, compiler: Compiler, measured: Iterable[str], methods: Iterable[str]
) -> None:
    """Faults for an open fact that nothing stands for, and for methods and parts it names."""
    words = tuple(dict.fromkeys(method_word(key) for key in methods))
    parts, vehicles = (
        compiler.facts[name].keys if name in compiler.facts else () for name in (PART, VEHICLE)
    )
    measured = set(measured)
    for file, name, model in files.facts():
        open_allowed = model.may_stay_open and not model.gate and model.kind != "text"
        stands = model.prior is not None or file.gaps((name,)) or name in measured
        # "fact" beside its name: what measures it may be lost.
        if open_allowed and not stands and not compiler.lost.names(f"fact.{name}"):
            problem = "a fact that may stay open needs a prior or a measurement"
            compiler.faults.append(file.fault((name,), problem, at_key=True))
        if model.earlier is not None and model.earlier not in words:
            place = (name, "earlier")
            compiler.unknown(file, place, "no such method", model.earlier, words)
        compiler.check_names(file, (name, "high_by"), model.high_by, parts, "no such part")
        for key, option in model.options.items():
            usual: Loc = (name, "options", key, "usual_in")
            compiler.check_names(file, usual, option.usual_in, vehicles, "no such vehicle")


def check_gates(files: PackFiles, compiler: Compiler) -> None:
    """Faults for a hazard that would never be asked about.

    A gate question needs a gate, and every kind of part a file that says which gates
    it has: without one no gate would be asked for that part.
    """
    for hazards in files.each("hazards.yaml"):
        asked = {gate.fact for gate in hazards.content.gates.values()}
        for file, name, model in files.facts():
            if model.gate and name not in asked and not hazards.gaps(("gates",)):
                problem = "a hazard question (gate) that nothing in hazards.yaml uses"
                compiler.faults.append(file.fault((name,), problem, at_key=True))
    described = {part.content.part for part in files.each("parts/")}
    kinds = next((file for file, name, _ in files.facts() if name == PART), None)
    decl = compiler.facts.get(PART)
    for part in decl.keys if decl is not None and kinds is not None else ():
        assert decl is not None and kinds is not None
        line = decl.line(part)
        if decl.option(part).not_covered:
            continue
        if described.isdisjoint(line) and not any(map(compiler.lost.names, line)):
            place = (PART, "options", part)
            problem = "no file in parts/ says which hazards (gates) this part has"
            accepted = f"parts/{part}.yaml, with gates: [] where it has none"
            compiler.faults.append(kinds.fault(place, problem, "", accepted, at_key=True))
