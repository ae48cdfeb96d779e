"""Compiling job.yaml: the figures of the trade."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.facts.case import PART
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.job import (
    VALUE_UNITS,
    CoverRule,
    FoamRule,
    JobRules,
    Known,
    LifeRule,
    PanelRule,
    PointRule,
    RodRule,
    ThreadRule,
    TipRule,
    WaitRule,
)
from advisor.rulegraph.model.roles import Roles
from advisor.rulegraph.model.rules import Method, method_word
from advisor.rulegraph.reading.pack_files import Loc, PackFile
from advisor.rulegraph.schema.job import KnownModel, LifeModel, PanelModel, TipModel


def build_job(
    file: PackFile, compiler: Compiler, methods: Mapping[str, Method], roles: Roles
) -> JobRules:
    """The figures of the trade; faults for names, units and sources that are not there."""
    model = file.content
    build = _Builder(file, compiler, methods)
    build.check_keys(("values",), model.values, VALUE_UNITS, "figure of the job sheet")
    for name in VALUE_UNITS:
        if name not in model.values and not file.gaps(("values",)):
            compiler.faults.append(file.fault(("values",), f"{name} is missing"))
    bases = build.options(roles.base)
    build.check_keys(("rods",), model.rods, bases, f"option of {roles.base}")
    build.check_keys(("panels",), model.panels, build.options(PART), "kind of part")
    build.check_keys(("covers",), model.covers, build.options(roles.skin), "skin")
    build.check_keys(("lives",), model.lives, build.words, "method")
    return JobRules(
        values={
            name: build.known(("values", name), known, VALUE_UNITS.get(name, known.unit or "1"))
            for name, known in model.values.items()
        },
        threads=build.threads(),
        points=build.points(),
        rods={
            key: RodRule(build.known(("rods", key, "air"), rod.air, "degC"))
            for key, rod in model.rods.items()
        },
        foams=build.foams(),
        waits=build.waits(),
        tips=build.tips("tips", model.tips),
        exclusions=build.tips("exclusions", model.exclusions),
        new_cover=build.tips("new_cover", model.new_cover),
        panels={
            part: tuple(build.panel(("panels", part, i), p) for i, p in enumerate(panels))
            for part, panels in model.panels.items()
        },
        covers=build.covers(),
        lives={word: build.life(("lives", word), life) for word, life in model.lives.items()},
    )


class _Builder:
    """Compiles the entries of job.yaml, noting faults."""

    def __init__(
        self, file: PackFile, compiler: Compiler, methods: Mapping[str, Method]
    ) -> None:
        self.file = file
        self.model = file.content
        self.compiler = compiler
        self.words = tuple(dict.fromkeys(method_word(key) for key in methods))

    def options(self, fact: str) -> tuple[str, ...]:
        decl = self.compiler.facts.get(fact)
        return decl.keys if decl is not None else ()

    def check_keys(self, loc: Loc, keys: Iterable[str], known: Iterable[str], what: str) -> None:
        self.compiler.check_names(self.file, loc, keys, list(known), f"no such {what}")

    def known(self, loc: Loc, model: KnownModel, unit: str) -> Known:
        self.compiler.source(self.file, loc, model.source)
        triple = self.compiler.spread(self.file, loc, model, unit)
        return Known(model.title, unit, *triple, model.source, model.status, model.note)

    def threads(self) -> tuple[ThreadRule, ...]:
        found = []
        for key, model in self.model.threads.items():
            loc: Loc = ("threads", key)
            found.append(
                ThreadRule(
                    key,
                    model.title,
                    model.fibre,
                    model.tex,
                    self.known((*loc, "strength"), model.strength, "N"),
                    self.known((*loc, "needle"), model.needle, "1"),
                    model.why,
                    self.compiler.condition(self.file, (*loc, "when"), model.when),
                )
            )
        return tuple(found)

    def points(self) -> tuple[PointRule, ...]:
        found = []
        for i, model in enumerate(self.model.points):
            loc: Loc = ("points", i)
            self.compiler.source(self.file, loc, model.source)
            when = self.compiler.condition(self.file, (*loc, "when"), model.when)
            found.append(PointRule(model.title, model.why, when, model.source, model.status))
        return tuple(found)

    def foams(self) -> tuple[FoamRule, ...]:
        found = []
        for i, model in enumerate(self.model.foams):
            loc: Loc = ("foams", i)
            density = self.known((*loc, "density"), model.density, "kg/m3")
            hardness = self.known((*loc, "hardness"), model.hardness, "N")
            when = self.compiler.condition(self.file, (*loc, "when"), model.when)
            found.append(FoamRule(model.title, density, hardness, when))
        return tuple(found)

    def waits(self) -> tuple[WaitRule, ...]:
        found = []
        for i, model in enumerate(self.model.waits):
            loc: Loc = ("waits", i)
            self.check_keys((*loc, "methods"), model.methods, self.words, "method")
            minutes = self.known((*loc, "minutes"), model.minutes, "min")
            when = self.compiler.condition(self.file, (*loc, "when"), model.when)
            found.append(WaitRule(model.methods, model.title, minutes, model.before, when))
        return tuple(found)

    def tips(self, section: str, models: Iterable[TipModel]) -> tuple[TipRule, ...]:
        found = []
        for i, model in enumerate(models):
            loc: Loc = (section, i)
            self.check_keys((*loc, "methods"), model.methods, self.words, "method")
            self.compiler.source(self.file, loc, model.source)
            when = self.compiler.condition(self.file, (*loc, "when"), model.when)
            found.append(TipRule(model.methods, model.text, when, model.source, model.status))
        return tuple(found)

    def life(self, loc: Loc, model: LifeModel) -> LifeRule:
        branches = []
        for i, special in enumerate(model.by):
            place: Loc = (*loc, "by", i)
            condition = self.compiler.condition(self.file, (*place, "when"), special.when)
            known = self.known(place, special, "yr")
            if condition is not None:
                branches.append((condition, known))
        return LifeRule(tuple(branches), self.known(loc, model, "yr"))

    def panel(self, loc: Loc, model: PanelModel) -> PanelRule:
        length = self.known((*loc, "length"), model.length, "mm")
        width = self.known((*loc, "width"), model.width, "mm")
        return PanelRule(model.title, length, width, model.count, model.may_join)

    def covers(self) -> dict[str, CoverRule]:
        found = {}
        for key, model in self.model.covers.items():
            limit = None
            if model.limit is not None:
                limit = self.known(("covers", key, "limit"), model.limit, "degC")
            found[key] = CoverRule(model.title, model.form, model.nap, limit)
        return found
