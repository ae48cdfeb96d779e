"""Why: loads by cause, each method's reason with the path that decides it, facts as used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from advisor.advice.choosing.hazards import source_of
from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.result import Cause, Figure, Load, Origin, Reason, Source
from advisor.advice.sampling.usage import DURATIONS, JointUsage, ModeUsage, carried
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.asked import Origin as RuleOrigin
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array, Fold
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import USAGE
from advisor.wording.answers import in_words
from advisor.wording.figures import Range
from advisor.wording.sentences import capital

#: What a node's unit is shown as; nodes in other units are shown as they are.
FIGURE_DIMENSIONS = {
    "N/mm": "line_force", "N": "force", "MPa": "pressure", "mm": "length", "mm2": "area",
    "kg": "mass", "degC": "temperature",
}
#: A joint used less than this is not worth an argument.
NO_LOAD = 0.005

DURATION_WORDS = {
    "sustained": "sustained",
    "cyclic": "repeated",
    "peak": "peak",
}


def range_of(worlds: SampledWorlds, of: Array | str, mask: Mask | None = None) -> Range:
    """5th, 50th and 95th percentile, in the worlds of ``mask`` where one is given.

    ``of`` are values, or the name of a fact or node.
    """
    if isinstance(of, str) and (mask is None or mask.all()):
        low, middle, high = worlds.quantiles_of(of)
    else:
        array = worlds.values[of] if isinstance(of, str) else of
        low, middle, high = worlds.quantiles(array, mask=mask)
    return Range(float(low), float(middle), float(high))


def loads_of(worlds: SampledWorlds, sites: Sequence[str]) -> tuple[Load, ...]:
    """The demands at the given sites with every cause that adds to them."""
    found = []
    for key in sites:
        site = worlds.pack.sites[key]
        for duration in DURATIONS:
            node = getattr(site, duration)
            value = range_of(worlds, node)
            if value.high <= 0.0:
                continue
            causes = [
                Cause(name, worlds.pack.title_of(name), range_of(worlds, name), path)
                for name, path in causes_of(node, worlds)
            ]
            causes = [cause for cause in causes if cause.value.high > 0.0]
            causes.sort(key=lambda cause: -cause.value.typical)
            demand = f"{'tension' if site.unit == 'N/mm' else 'force'}_{duration}"
            dimension = "line_force" if site.unit == "N/mm" else "force"
            if site.unit == "1":
                demand, dimension = f"wear_{duration}", "number"
            if site.unit == "MPa":
                demand, dimension = f"pressure_{duration}", "pressure"
            title = worlds.pack.nodes[node].title
            found.append(
                Load(
                    demand, key, duration, title, value, dimension, site.unit, tuple(causes)
                )
            )
    return tuple(found)


def causes_of(demand: str, worlds: SampledWorlds) -> list[tuple[str, tuple[str, ...]]]:
    """Nodes that add up to a demand, each with its path from the fact that drives it."""
    node = worlds.pack.nodes[demand]
    names = list(node.operation.names()) if isinstance(node.operation, Fold) else [demand]
    found = []
    for name in names:
        path = drive(name, worlds.pack)
        found.append((name, (*path, demand) if path[-1] != demand else path))
    return found


def drive(name: str, pack: RulePack) -> tuple[str, ...]:
    """From the fact that drives ``name`` down to it, by each node's declared driver."""
    path = [name]
    while path[-1] in pack.nodes:
        node = pack.nodes[path[-1]]
        step = node.driver or next(node.names(), None)
        if step is None or step in path:
            break
        path.append(step)
    return tuple(reversed(path))


#: A joint and the worlds in which it is loaded for a need that counts.
#: A share of worlds that is all of them.
ALL_BUT_ROUNDING = 0.99

Loaded = tuple[JointUsage, Mask]


def loaded_joints(outcome: MethodOutcome, needs: Mapping[str, Mask]) -> list[Loaded]:
    """Joints that answer one of the needs, each with the worlds in which it does."""
    found = []
    for joint in outcome.joints:
        wanted = np.zeros_like(joint.applies)
        for need in joint.joint.meets:
            if need in needs:
                wanted |= needs[need]
        mask = joint.applies & outcome.possible & wanted
        if mask.any():
            found.append((joint, mask))
    return found


def deciding(
    outcome: MethodOutcome,
    joints: Sequence[Loaded],
    worlds: SampledWorlds,
    failing: bool,
    whole: Range,
) -> Reason | None:
    """The mode, demand and cause that decide whether a method holds.

    ``whole`` is the usage of the weakest mode of each world: the sentence gives that one,
    or where only some worlds fail, how far the deciding mode is overloaded there.
    """
    weakest = _weakest(joints, worlds, failing)
    if weakest is None:
        return None
    joint, mode, mask = weakest
    usage = range_of(worlds, np.minimum(mode.total, 1e6), mask)
    if usage.high < NO_LOAD:
        return None
    weights = worlds.weights * mask
    means = {d: _bounded(mode.terms[d], weights) for d in DURATIONS}
    duration = max(means, key=lambda d: means[d])
    demand = getattr(joint.site, duration)
    cause, path = max(
        causes_of(demand, worlds), key=lambda item: _bounded(worlds.values[item[0]], weights)
    )
    joint_name = f"{USAGE}{outcome.method.key}.{mode.mode.key}"
    full = (*path, joint_name)
    figures = (
        figure(demand, worlds, mask),
        *((figure(cause, worlds, mask),) if cause != demand else ()),
        _capacity_figure(outcome, joint, mode, duration, worlds, mask),
    )
    somewhere = worlds.mean(mask) < ALL_BUT_ROUNDING * worlds.mean(joint.applies)
    where_it_fails = failing and somewhere
    stated = usage if where_it_fails else whole
    text = _sentence(mode, duration, cause, stated, worlds, where_it_fails)
    return Reason(
        text,
        full,
        path_titles(full, worlds),
        figures,
        source_of(worlds.pack, mode.mode.origin),
    )


def _sentence(
    mode: ModeUsage,
    duration: str,
    cause: str,
    usage: Range,
    worlds: SampledWorlds,
    where_it_fails: bool,
) -> str:
    words = DURATION_WORDS[duration]
    title = worlds.pack.title_of(cause).lower()
    if usage.typical >= 1e5:
        much = "loaded far beyond its strength"
    elif usage.typical > 1.0:
        much = f"loaded to {usage.typical:.2g} times its long-term strength"
    else:
        much = f"loaded to {100 * usage.typical:.2g} % of its long-term strength"
    much = f"Where it fails, it is {much}" if where_it_fails else capital(much)
    return f"Weakest point: {mode.mode.title.lower()}. {much}, mainly by: {title} ({words} load)."


def path_titles(path: Sequence[str], worlds: SampledWorlds) -> tuple[str, ...]:
    """Words for each step of a path; a fact with its answer, or that it was assumed."""
    titles = []
    for name in path:
        title = worlds.pack.title_of(name)
        decl = worlds.pack.facts.get(name)
        if decl is not None:
            given = worlds.case.facts.get(name)
            answer = "assumed" if given is None else in_words(decl, given).lower()
            title = f"{title}: {answer}"
        titles.append(title)
    return tuple(titles)


def _weakest(
    joints: Sequence[Loaded], worlds: SampledWorlds, failing: bool
) -> tuple[JointUsage, ModeUsage, Mask] | None:
    """The joint and mode most often limiting, in the failing worlds where it fails."""
    best: tuple[float, JointUsage, ModeUsage, Mask] | None = None
    for joint, mask in joints:
        if failing and (mask & ~(joint.usage <= 1.0)).any():
            mask = mask & ~(joint.usage <= 1.0)
        weights = worlds.weights * mask
        shares = np.bincount(joint.limiting, weights, len(joint.modes))
        index = int(np.argmax(shares))
        mean = _bounded(joint.usage, weights) / max(float(weights.sum()), 1e-300)
        if best is None or mean > best[0]:
            best = (mean, joint, joint.modes[index], mask)
    return None if best is None else best[1:]


def _bounded(array: Array, weights: Array) -> float:
    """Weighted sum of what is without bound in some worlds."""
    return float((np.minimum(array, 1e6) * weights).sum())


def _capacity_figure(
    outcome: MethodOutcome,
    joint: JointUsage,
    mode: ModeUsage,
    duration: str,
    worlds: SampledWorlds,
    mask: Mask,
) -> Figure:
    borne = np.asarray(carried(mode.mode, duration, worlds), dtype=np.float64)
    title = f"{mode.mode.title}: strength under {DURATION_WORDS[duration]} load"
    return Figure(
        f"{USAGE}{outcome.method.key}.{mode.mode.key}",
        title,
        range_of(worlds, np.broadcast_to(borne, (worlds.n,)), mask),
        "line_force" if joint.site.unit == "N/mm" else "force",
        joint.site.unit,
        Origin.COMPUTED,
        source_of(worlds.pack, mode.mode.origin),
    )


def figure(name: str, worlds: SampledWorlds, mask: Mask | None = None) -> Figure:
    """One fact or node as a figure with its origin and source."""
    pack = worlds.pack
    value = range_of(worlds, name, mask)
    if name in pack.facts:
        decl = pack.facts[name]
        given = name in worlds.case.facts
        origin = Origin.MEASURED if given else Origin.ASSUMED
        rule = pack.fact_rules[name].origin
        source = source_of(pack, rule) if rule is not None and not given else None
        return Figure(name, decl.title, value, decl.dimension, decl.unit, origin, source)
    node = pack.nodes[name]
    node_source: Source | None = None
    if node.source:
        node_source = source_of(pack, RuleOrigin(node.source, node.status or "looked_up"))
    dimension = FIGURE_DIMENSIONS.get(node.unit, "number")
    return Figure(name, node.title, value, dimension, node.unit, Origin.COMPUTED, node_source)
