"""Compiling what files of the trade share: figures with their source, waits, tips, years."""

from __future__ import annotations

from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.job import Known, LifeRule, TipRule, WaitRule
from advisor.rulegraph.reading.pack_files import Loc, PackFile
from advisor.rulegraph.schema.job import KnownModel, LifeModel, TipModel, WaitModel


def known_figure(
    file: PackFile, loc: Loc, model: KnownModel, unit: str, compiler: Compiler
) -> Known:
    """A figure in ``unit`` that names its source."""
    compiler.source(file, loc, model.source)
    triple = compiler.spread(file, loc, model, unit)
    return Known(model.title, unit, *triple, model.source, model.status, model.note)


def wait_rule(file: PackFile, loc: Loc, model: WaitModel, compiler: Compiler) -> WaitRule:
    """A time in which nobody works."""
    minutes = known_figure(file, (*loc, "minutes"), model.minutes, "min", compiler)
    when = compiler.condition(file, (*loc, "when"), model.when)
    return WaitRule(model.title, minutes, model.before, when)


def tip_rule(file: PackFile, loc: Loc, model: TipModel, compiler: Compiler) -> TipRule:
    """A text with its condition and source."""
    compiler.source(file, loc, model.source)
    when = compiler.condition(file, (*loc, "when"), model.when)
    return TipRule(model.text, when, model.source, model.status)


def life_rule(file: PackFile, loc: Loc, model: LifeModel, compiler: Compiler) -> LifeRule:
    """Years that work lasts, with other years under conditions."""
    branches = []
    for i, special in enumerate(model.by):
        place: Loc = (*loc, "by", i)
        condition = compiler.condition(file, (*place, "when"), special.when)
        known = known_figure(file, place, special, "yr", compiler)
        if condition is not None:
            branches.append((condition, known))
    return LifeRule(tuple(branches), known_figure(file, loc, model, "yr", compiler))
