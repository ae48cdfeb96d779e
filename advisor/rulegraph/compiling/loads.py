"""Compiling where loads act, and what is measured of them."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.facts.declaration import Kind
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.rules import Measurement, Site
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.loads import MeasureModel


def build_measurements(files: PackFiles, compiler: Compiler) -> dict[str, Measurement]:
    found = {}
    for file, i, model in _each_measurement(files):
        loc: Loc = ("measurements", i)
        compiler.source(file, loc, model.source)
        decl = compiler.facts.get(model.fact)
        if decl is None or decl.kind is not Kind.QUANTITY:
            place = (*loc, "fact")
            compiler.unknown(file, place, "no such quantity", model.fact, compiler.facts, "a fact")
            continue
        compiler.ref(file, (*loc, "predicted_by"), model.predicted_by, decl.unit)
        silent = None if model.silent_on is None else compiler.facts.get(model.silent_on)
        if model.silent_on is not None and (silent is None or silent.kind is not Kind.CHOICE):
            what = "no such choice"
            compiler.unknown(file, (*loc, "silent_on"), what, model.silent_on, compiler.facts)
        found[model.fact] = Measurement(
            model.fact,
            model.predicted_by,
            model.error,
            model.floor,
            model.finding,
            compiler.condition(file, (*loc, "when"), model.when),
            model.source,
            model.status,
            model.silent_on,
        )
    return found


def _each_measurement(files: PackFiles) -> Iterator[tuple[PackFile, int, MeasureModel]]:
    for file in files.each("loads/"):
        for i, model in enumerate(file.content.measurements):
            yield file, i, model


def build_sites(files: PackFiles, compiler: Compiler) -> dict[str, Site]:
    sites: dict[str, Site] = {}
    written = [(file, file.content.sites) for file in files.each("loads/")]
    for file, key, model in [(f, *site) for f, found in written for site in found.items()]:
        if key in sites:
            compiler.faults.append(
                file.fault(("sites", key), "a second site of this name", key, at_key=True)
            )
        site = Site(
            key, model.title, model.unit, model.sustained, model.cyclic, model.peak, model.frost
        )
        for duration in ("sustained", "cyclic", "peak", "frost"):
            name = getattr(model, duration)
            if name is not None:
                compiler.ref(file, ("sites", key, duration), name, model.unit)
        sites[key] = site
    return sites
