"""Compiling job.yaml: the figures of the trade."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.trade_figures import known_figure, tip_rule
from advisor.rulegraph.model.job import (
    VALUE_UNITS,
    ClauseRule,
    CoverRule,
    FoamRule,
    JobRules,
    Known,
    PanelRule,
    PointRule,
    RodRule,
    ThreadRule,
)
from advisor.rulegraph.model.roles import Roles
from advisor.rulegraph.model.rules import Method, method_word
from advisor.rulegraph.reading.pack_files import Loc, PackFile
from advisor.rulegraph.schema.job import ClauseModel, KnownModel, PanelModel


def build_job(
    file: PackFile,
    parts: Sequence[PackFile],
    compiler: Compiler,
    methods: Mapping[str, Method],
    roles: Roles,
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
    build.check_keys(("covers",), model.covers, build.options(roles.skin), "skin")
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
        exclusions=build.clauses("exclusions", model.exclusions),
        new_cover=build.clauses("new_cover", model.new_cover),
        panels={
            part.content.part: tuple(
                _panel(part, ("panels", i), panel, compiler)
                for i, panel in enumerate(part.content.panels)
            )
            for part in parts
            if part.content.panels
        },
        covers=build.covers(),
    )


def _panel(file: PackFile, loc: Loc, model: PanelModel, compiler: Compiler) -> PanelRule:
    length = known_figure(file, (*loc, "length"), model.length, "mm", compiler)
    width = known_figure(file, (*loc, "width"), model.width, "mm", compiler)
    own = model.allowance
    place = (*loc, "allowance")
    allowance = known_figure(file, place, own, "mm", compiler) if own is not None else None
    return PanelRule(model.title, length, width, model.count, model.may_join, allowance)


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
        return known_figure(self.file, loc, model, unit, self.compiler)

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

    def clauses(self, section: str, models: Iterable[ClauseModel]) -> tuple[ClauseRule, ...]:
        found = []
        for i, model in enumerate(models):
            loc: Loc = (section, i)
            self.check_keys((*loc, "methods"), model.methods, self.words, "method")
            tip = tip_rule(self.file, loc, model, self.compiler)
            found.append(ClauseRule(tip.text, tip.when, tip.source, tip.status, model.methods))
        return tuple(found)

    def covers(self) -> dict[str, CoverRule]:
        found = {}
        for key, model in self.model.covers.items():
            limit = None
            if model.limit is not None:
                limit = self.known(("covers", key, "limit"), model.limit, "degC")
            found[key] = CoverRule(model.title, model.form, model.nap, limit)
        return found
