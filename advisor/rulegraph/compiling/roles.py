"""Compiling roles.yaml: every role is played by a fact or node of the right kind and unit."""

from __future__ import annotations

from advisor.facts.declaration import Kind
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.roles import ROLE_UNITS, Roles
from advisor.rulegraph.reading.pack_files import Loc, PackFile


def build_roles(file: PackFile, compiler: Compiler) -> Roles:
    """The roles; faults for names that are not there, in another unit or of another kind."""
    model = file.content
    for role, unit in ROLE_UNITS.items():
        compiler.ref(file, (role,), getattr(model, role), unit)
    for place, fact in choices_of(model):
        check_choice(file, place, fact, compiler)
    for i, name in enumerate(model.quote_hangs_on):
        if name not in compiler.facts:
            where: Loc = ("quote_hangs_on", i)
            compiler.unknown(file, where, "no such fact", name, compiler.facts, "a fact of facts/")
    compiler.check_names(
        file, ("tried_by_hand",), model.tried_by_hand, compiler.node_units, "no such figure"
    )
    return Roles(**dict(model))


def choices_of(model: object) -> list[tuple[Loc, str]]:
    """Places and names of the roles that a choice plays."""
    shared = enumerate(getattr(model, "same_vehicle", ()))
    single: list[tuple[Loc, str]] = [((role,), getattr(model, role)) for role in ("skin", "base")]
    return [*single, *((("same_vehicle", i), fact) for i, fact in shared)]


def check_choice(file: PackFile, loc: Loc, name: str, compiler: Compiler) -> None:
    """A fault where ``name`` is no choice."""
    decl = compiler.facts.get(name)
    if decl is None or decl.kind is not Kind.CHOICE:
        choices = [key for key, fact in compiler.facts.items() if fact.kind is Kind.CHOICE]
        compiler.unknown(file, loc, "no such choice", name, choices, "a choice of facts/")
