"""Compiling the methods: what they need, their joints, work, materials and steps."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.trade_figures import life_rule, tip_rule, wait_rule
from advisor.rulegraph.model.asked import Origin
from advisor.rulegraph.model.bench_drawings import DRAWINGS, DrawingRule
from advisor.rulegraph.model.layers import NOT_SAID
from advisor.rulegraph.model.nodes import Ref
from advisor.rulegraph.model.quantities import CALCULATORS, INPUT_UNITS, OwnAmount, QuantityRule
from advisor.rulegraph.model.rules import (
    Caution,
    Charge,
    Joint,
    Method,
    MethodStep,
    Mode,
    Renewal,
    Requirement,
    Site,
    Spread,
)
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.methods import (
    DrawingModel,
    JointModel,
    MaterialModel,
    MethodModel,
    MinutesModel,
    QuantityModel,
)
from advisor.wording.amounts import unit_of


def build_methods(
    files: PackFiles,
    compiler: Compiler,
    sites: Mapping[str, Site],
    cautions: Mapping[str, Caution],
) -> dict[str, Method]:
    """Every method file compiled; faults for names that are not there."""
    methods: dict[str, Method] = {}
    needs = [key for file in files.each("needs.yaml") for key in file.content.needs]
    keys = [file.content.key for file in files.each("methods/")]
    for file in files.each("methods/"):
        model = file.content
        if model.key in methods:
            compiler.faults.append(
                file.fault(("method",), "a second method of this name", model.key)
            )
            continue
        _check_names(file, model, compiler, needs, cautions, keys)
        methods[model.key] = _method(file, model, compiler, sites)
    return methods


def _method(
    file: PackFile, model: MethodModel, compiler: Compiler, sites: Mapping[str, Site]
) -> Method:
    requirements = []
    for i, need in enumerate(model.possible_when):
        loc: Loc = ("possible_when", i)
        compiler.source(file, loc, need.source)
        condition = compiler.condition(file, (*loc, "when"), need.when)
        if condition is not None:
            origin = Origin(need.source, need.status)
            requirements.append(Requirement(condition, need.if_not, origin, need.not_shown))
    compiler.source(file, ("reliability",), model.reliability.source)
    scope = model.key
    called = [
        (compiler.condition(file, ("called", i, "when"), other.when), other.title)
        for i, other in enumerate(model.called)
    ]
    return Method(
        key=model.key,
        title=model.title,
        called=tuple((when, title) for when, title in called if when is not None),
        meets=model.meets,
        requirements=tuple(requirements),
        joints=tuple(
            _joint(file, ("joints", i), joint, compiler, sites, scope)
            for i, joint in enumerate(model.joints)
        ),
        reliability=Spread(
            *compiler.spread(file, ("reliability",), model.reliability, "1"),
            model.reliability.source or "",
            model.reliability.status or "",
        ),
        each_place=_one_or_node(file, "each_place", model.each_place, compiler, scope),
        spared=_one_or_node(file, "spared", model.spared, compiler, scope),
        follow_with=tuple(
            (f.method, compiler.condition(file, ("follow_with", i, "when"), f.when))
            for i, f in enumerate(model.follow_with)
        ),
        only_beside=model.only_beside,
        order=model.order,
        looks=model.looks,
        work=tuple(
            _charge(file, ("work", i), item, compiler, scope) for i, item in enumerate(model.work)
        ),
        materials=tuple(
            _charge(file, ("materials", i), item, compiler, scope)
            for i, item in enumerate(model.materials)
        ),
        quantities=tuple(
            _quantity(file, ("quantities", i), item, compiler, scope)
            for i, item in enumerate(model.quantities)
        ),
        drawings=tuple(
            _drawing(file, ("drawings", i), item, compiler)
            for i, item in enumerate(model.drawings)
        ),
        tips=tuple(
            tip_rule(file, ("tips", i), tip, compiler) for i, tip in enumerate(model.tips)
        ),
        waits=tuple(
            wait_rule(file, ("waits", i), wait, compiler) for i, wait in enumerate(model.waits)
        ),
        lasts=life_rule(file, ("lasts",), model.lasts, compiler) if model.lasts else None,
        renewal=Renewal(model.renewal.what, model.renewal.title) if model.renewal else None,
        cuts_panel=model.cuts_panel,
        tools=model.tools,
        steps=tuple(
            MethodStep(
                s.text, s.cautions, compiler.condition(file, ("steps", i, "when"), s.when), s.at
            )
            for i, s in enumerate(model.steps)
        ),
        cautions=model.cautions,
        remark=model.remark,
        fallback=model.fallback,
    )


def _one_or_node(
    file: PackFile, key: str, name: str | None, compiler: Compiler, scope: str
) -> Ref:
    return Ref(None, 1.0) if name is None else compiler.ref(file, (key,), name, "1", scope)


def _joint(
    file: PackFile,
    loc: Loc,
    model: JointModel,
    compiler: Compiler,
    sites: Mapping[str, Site],
    scope: str,
) -> Joint:
    site = sites.get(model.site)
    if site is None:
        compiler.unknown(file, (*loc, "site"), "no such site", model.site, sites)
    modes = []
    for key, mode in model.modes.items():
        place = (*loc, "modes", key)
        compiler.source(file, place, mode.source)
        unit = site.unit if site is not None else None

        def factor(
            name: str, value: str | float, unit: str | None = "1", place: Loc = place
        ) -> Ref:
            return compiler.ref(file, (*place, name), value, unit, scope)

        modes.append(
            Mode(
                key,
                mode.title,
                factor("capacity", mode.capacity, unit),
                factor("sustained", mode.sustained),
                factor("cyclic", mode.cyclic),
                factor("hot", mode.hot),
                factor("warm", mode.warm),
                factor("cold", mode.cold),
                Ref(None) if mode.relief is None else factor("relief", mode.relief, unit),
                factor("lasting_share", mode.lasting_share),
                Origin(mode.source, mode.status),
            )
        )
    condition = compiler.condition(file, (*loc, "when"), model.when)
    return Joint(model.meets, model.site, condition, tuple(modes))


def _charge(
    file: PackFile, loc: Loc, model: MinutesModel | MaterialModel, compiler: Compiler, scope: str
) -> Charge:
    spread = model.minutes if isinstance(model, MinutesModel) else model.price
    key = "minutes" if isinstance(model, MinutesModel) else "price"
    per = Ref(None, 1.0)
    if model.per is not None:
        per = compiler.ref(file, (*loc, "per"), model.per, None, scope)
    compiler.source(file, (*loc, key), spread.source)
    when = compiler.condition(file, (*loc, "when"), model.when)
    amount = Spread(*spread.triple, spread.source or "", spread.status or "")
    if isinstance(model, MaterialModel):
        adds = (NOT_SAID,) if model.adds is None else model.adds
        return Charge(model.what, amount, per, when, extent=model.extent, adds=adds)
    return Charge(model.what, amount, per, when, model.set_up, model.access, model.extent)


def _quantity(
    file: PackFile, loc: Loc, model: QuantityModel, compiler: Compiler, scope: str
) -> QuantityRule:
    when = compiler.condition(file, (*loc, "when"), model.when)
    if model.of is None:
        return QuantityRule("", {}, _own_amount(file, loc, model, compiler, scope), when)
    if model.of not in CALCULATORS:
        compiler.unknown(file, _named_at(file, loc), "no such quantity", model.of, CALCULATORS)
    inputs = CALCULATORS.get(model.of, tuple(INPUT_UNITS))
    what = f"no such input of {model.of}"
    compiler.check_names(file, (*loc, "inputs"), model.inputs, inputs, what)
    return QuantityRule(
        model.of,
        {
            name: compiler.ref(file, (*loc, "inputs", name), written, INPUT_UNITS[name], scope)
            for name, written in model.inputs.items()
            if name in inputs
        },
        None,
        when,
    )


def _named_at(file: PackFile, loc: Loc) -> Loc:
    """Where an entry has its name: it may be a name alone."""
    entry = file.marked.data[str(loc[0])][file.written(loc)[1]]
    return loc if isinstance(entry, str) else (*loc, "of")


def _drawing(file: PackFile, loc: Loc, model: DrawingModel, compiler: Compiler) -> DrawingRule:
    if model.of not in DRAWINGS:
        compiler.unknown(file, _named_at(file, loc), "no such drawing", model.of, DRAWINGS)
    return DrawingRule(model.of, compiler.condition(file, (*loc, "when"), model.when))


def _own_amount(
    file: PackFile, loc: Loc, model: QuantityModel, compiler: Compiler, scope: str
) -> OwnAmount:
    assert model.amount is not None and model.source is not None
    compiler.source(file, loc, model.source)
    unit = unit_of(model.dimension)
    amount = compiler.ref(file, (*loc, "amount"), model.amount, unit, scope)
    key = model.amount.rsplit(".", 1)[-1]
    return OwnAmount(
        key, model.title, amount, model.dimension, model.whole, model.note, model.source
    )


def _check_names(
    file: PackFile,
    model: MethodModel,
    compiler: Compiler,
    needs: Collection[str],
    cautions: Mapping[str, Caution],
    methods: list[str],
) -> None:
    def check(loc: Loc, names: Iterable[str], known: Collection[str], what: str) -> None:
        compiler.check_names(file, loc, names, known, f"no such {what}")

    check(("meets",), model.meets, needs, "need")
    check(("cautions",), model.cautions, cautions, "caution")
    for i, step in enumerate(model.steps):
        check(("steps", i, "cautions"), step.cautions, cautions, "caution")
    for i, joint in enumerate(model.joints):
        check(("joints", i, "meets"), joint.meets, model.meets, "need of this method")
    modes: set[str] = set()
    for i, joint in enumerate(model.joints):
        for key in joint.modes:
            if key in modes:
                compiler.faults.append(
                    file.fault(("joints", i, "modes", key), "a second mode of this name", key)
                )
            modes.add(key)
    check(("only_beside",), model.only_beside, methods, "method")
    for i, follow in enumerate(model.follow_with):
        if follow.method not in methods:
            place = ("follow_with", i, "method")
            compiler.unknown(file, place, "no such method", follow.method, methods)
