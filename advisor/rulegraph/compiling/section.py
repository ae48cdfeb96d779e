"""Compiling drawing.yaml and the drawing of each part: how a section looks."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from advisor.facts.case import PART
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.roles import check_choice
from advisor.rulegraph.model.section import SectionLook, SectionRules, SiteLook
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.section import LookModel


def build_section(
    file: PackFile, files: PackFiles, compiler: Compiler, sites: Collection[str]
) -> SectionRules:
    """How answers are drawn; a kind of another is drawn as that is, where it says nothing."""
    given: dict[str, dict[str, SectionLook]] = {PART: {}}
    for fact, answers in file.content.answers.items():
        place: Loc = ("answers", fact)
        decl = compiler.facts.get(fact)
        if decl is None or not decl.options:
            check_choice(file, place, fact, compiler)
            continue
        compiler.check_names(file, place, answers, decl.keys, f"{fact} has no such option")
        given[fact] = {
            key: _look(file, (*place, key), look, compiler, sites)
            for key, look in answers.items()
        }
    for part in files.each("parts/"):
        look = _look(part, ("drawing",), part.content.drawing, compiler, sites)
        given[PART][part.content.part] = look
    looks = {fact: _inherited(fact, answers, compiler) for fact, answers in given.items()}
    usual = file.content.usual
    _check_site(file, ("usual", "loaded_at"), usual.loaded_at, compiler, sites)
    skin, padding, base = (
        compiler.ref(file, ("usual", layer), getattr(usual, layer), "mm").constant
        for layer in ("skin", "padding", "base")
    )
    compiler.check_names(file, ("forces",), file.content.forces, sites, "no such site")
    forces = {
        site: SiteLook(look.arrows, look.last) for site, look in file.content.forces.items()
    }
    return SectionRules(skin, padding, base, usual.loaded_at, looks, forces)


def _look(
    file: PackFile, loc: Loc, model: LookModel, compiler: Compiler, sites: Collection[str]
) -> SectionLook:
    radius = None
    if model.radius is not None:
        radius = compiler.ref(file, (*loc, "radius"), model.radius, "mm").constant
    if model.loaded_at is not None:
        _check_site(file, (*loc, "loaded_at"), model.loaded_at, compiler, sites)
    return SectionLook(
        radius, model.without, model.skin, model.seam, model.padding, model.base,
        model.base_called, model.loaded_at,
    )  # fmt: skip


def _check_site(
    file: PackFile, loc: Loc, site: str, compiler: Compiler, sites: Collection[str]
) -> None:
    if site not in sites:
        compiler.unknown(file, loc, "no such site", site, sites)


def _inherited(
    fact: str, given: Mapping[str, SectionLook], compiler: Compiler
) -> dict[str, SectionLook]:
    """The look of every answer, with what it is a kind of behind it."""
    decl = compiler.facts.get(fact)
    found = {}
    for key in decl.keys if decl is not None else ():
        look = SectionLook()
        for kind in decl.line(key) if decl is not None else ():
            look = look.over(given.get(kind, SectionLook()))
        found[key] = look
    return found
