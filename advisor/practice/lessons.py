"""Lessons: a page for each load and each method, made from the rules as they stand.

Every figure on a page is read from the compiled rule pack when the page is made, with its
range, source and status, so that a page cannot say anything else than what is calculated.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Literal

from advisor.advice.choosing.hazards import source_of
from advisor.advice.explaining.reasons import drive
from advisor.advice.result import Source
from advisor.mechanics.relation import RELATIONS
from advisor.practice.lessons_conditions import condition_words
from advisor.rulegraph.model.asked import Origin
from advisor.rulegraph.model.job import Known
from advisor.rulegraph.model.nodes import Apply, Draw, Fold, Node, Ref, Row, TableDraw, Triple
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import METHOD, USAGE, Joint, Method, Mode, Site, Spread
from advisor.wording.figures import Range
from advisor.wording.sentences import listed, lowered, sentence

FOLDS = {
    "sum": "the sum of", "product": "the product of", "least": "the least of",
    "largest": "the largest of",
}  # fmt: skip
#: What the parts of a failure mode are called, in the order in which they are shown.
MODE_PARTS = (
    ("capacity", "Carries when new"), ("sustained", "Left under a load that never stops"),
    ("cyclic", "Left under a load repeated for years"), ("hot", "Left of it in summer heat"),
    ("warm", "Left of it at the warmth of use"), ("cold", "Left of it in frost"),
    ("relief", "Pull that the skin around takes itself"),
    ("lasting_share", "Share of the sustained pull that stays"),
)  # fmt: skip
#: What such a part is where it changes nothing; it is then left out.
IDLE = {"relief": 0.0}
LASTS = "Lasts, where the joint holds"


@dataclass(frozen=True)
class LessonFigure:
    """A figure of the rules as it stands there: ``value`` is its low, typical and high end."""

    name: str
    """The node it belongs to; empty for minutes and prices of a method."""
    title: str
    where: str
    """Where it counts, in words; empty where it always does."""
    value: Range
    unit: str
    source: Source | None
    note: str = ""


@dataclass(frozen=True)
class Link:
    """Another lesson."""

    key: str
    title: str


@dataclass(frozen=True)
class LessonPart:
    """A heading with sentences, figures and further lessons under it."""

    title: str
    lines: tuple[str, ...] = ()
    figures: tuple[LessonFigure, ...] = ()
    links: tuple[Link, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lesson:
    """One page."""

    key: str
    title: str
    kind: Literal["load", "method"]
    lead: str
    """What it is, in one or two sentences."""
    parts: tuple[LessonPart, ...]

    @property
    def figures(self) -> tuple[LessonFigure, ...]:
        """All figures of the page."""
        return tuple(figure for part in self.parts for figure in part.figures)

    @property
    def sources(self) -> tuple[Source, ...]:
        """Everything the page rests on, each once."""
        found = (figure.source for figure in self.figures)
        return tuple(dict.fromkeys(source for source in found if source is not None))


def load_keys(pack: RulePack) -> tuple[str, ...]:
    """Names of all loads: what reaches a damage, then its causes.

    What the rules put at nought, since nothing of that kind arrives at a site, is no load.
    """
    demands = [
        name for site in pack.sites.values() for name in site.demands
        if not _is_nought(pack.nodes[name])
    ]  # fmt: skip
    causes = [name for name, node in pack.nodes.items() if node.cause]
    return tuple(dict.fromkeys((*demands, *causes)))


def _is_nought(node: Node) -> bool:
    operation = node.operation
    return isinstance(operation, Draw) and not operation.branches and not any(operation.rest)


def method_keys(pack: RulePack) -> tuple[str, ...]:
    """Names of all methods, each with ``method.`` before it."""
    return tuple(METHOD + key for key in pack.methods)


def lesson_keys(pack: RulePack) -> tuple[str, ...]:
    """Every lesson there is."""
    return (*load_keys(pack), *method_keys(pack))


def lessons_of(path: Iterable[str], pack: RulePack) -> tuple[Link, ...]:
    """The lessons behind a load path: its causes and demands, and the method at its end."""
    known, found = frozenset(load_keys(pack)), []
    for name in path:
        key = name
        if name.startswith(USAGE):
            key = METHOD + name.removeprefix(USAGE).rpartition(".")[0]
        if key in known or (key.removeprefix(METHOD) in pack.methods and key.startswith(METHOD)):
            found.append(Link(key, pack.title_of(key)))
    return tuple(dict.fromkeys(found))


def lesson(key: str, pack: RulePack) -> Lesson:
    """The page of a load or a method. KeyError for a name that has none."""
    if key.startswith(METHOD):
        return _of_method(pack.methods[key.removeprefix(METHOD)], pack)
    if key not in load_keys(pack):
        raise KeyError(f"there is no lesson on {key}")
    return _of_load(pack.nodes[key], pack)


# -- loads ---------------------------------------------------------------------


def _of_load(node: Node, pack: RulePack) -> Lesson:
    causes = tuple(_causes_in(node, pack))
    where = tuple(_felt_at(node.name, pack))
    sites = [site for site, _ in where]
    steps = tuple(name for name in reversed(drive(node.name, pack)) if name in pack.nodes)
    kind = "A cause of load" if node.cause else "A load that a repair has to carry"
    lead = f"{kind}, in {node.unit}."
    parts = [
        LessonPart("Where it acts", tuple(sentence(f"{site.title}, {how}") for site, how in where),
                   links=tuple(Link(name, pack.title_of(name)) for name in _felt_by(node, pack))),
        LessonPart("What adds up to it", links=causes),
        LessonPart("How it is calculated", tuple(
            line for name in steps for line in _calculated(pack.nodes[name], pack))),
        LessonPart("What it depends on", tuple(
            sentence(f"{decl.title}: {decl.ask}") for decl in pack.facts.values()
            if decl.name in pack.feeding(node.name))),
        LessonPart("Figures", figures=tuple(_figures((node.name,), pack))),
        LessonPart("Methods that have to carry it", links=tuple(_methods_at(sites, pack))),
    ]  # fmt: skip
    return Lesson(node.name, node.title, "load", lead, _filled(parts))


def _causes_in(node: Node, pack: RulePack) -> Iterator[Link]:
    if node.cause or not isinstance(node.operation, Fold):
        return
    for name in node.operation.names():
        if name in pack.nodes and pack.nodes[name].cause:
            yield Link(name, pack.title_of(name))


def _felt_by(node: Node, pack: RulePack) -> Iterator[str]:
    """Demands that a cause adds to."""
    for site in pack.sites.values():
        for demand in site.demands:
            operation = pack.nodes[demand].operation
            if demand != node.name and node.name in operation.names():
                yield demand


def _felt_at(name: str, pack: RulePack) -> Iterator[tuple[Site, str]]:
    """Sites that a load reaches, and how it loads them."""
    for site in pack.sites.values():
        words = (
            (site.sustained, "all the time"), (site.cyclic, "at every use"),
            (site.peak, "at the hardest moment"), (site.frost, "on cold nights"),
        )  # fmt: skip
        how = [
            word for demand, word in words
            if demand is not None and (name == demand or name in pack.nodes[demand].names())
        ]  # fmt: skip
        if how:
            yield site, listed(how)


def _methods_at(sites: Sequence[Site], pack: RulePack) -> Iterator[Link]:
    here = {site.key for site in sites}
    for key, method in pack.methods.items():
        if any(joint.site in here for joint in method.joints):
            yield Link(METHOD + key, method.title)


# -- methods -------------------------------------------------------------------


def _of_method(method: Method, pack: RulePack) -> Lesson:
    meets = listed([lowered(pack.needs[need].title) for need in method.meets])
    lead = " ".join(filter(None, (sentence(f"What it is for: {meets}"), sentence(method.remark))))
    joints = [_joint_part(joint, mode, pack) for joint in method.joints for mode in joint.modes]
    names = [
        ref.name for joint in method.joints for mode in joint.modes for ref in mode.refs
        if ref.name is not None
    ]  # fmt: skip
    shown = {figure.name for part in joints for figure in part.figures}
    sites = [pack.sites[joint.site] for joint in method.joints]
    loads = dict.fromkeys(
        name for site in sites for name in site.demands if not _is_nought(pack.nodes[name])
    )
    parts = [
        LessonPart("Not possible where", tuple(
            sentence(one.if_not) for one in method.requirements)),
        *joints,
        LessonPart("Loads on its joint", links=tuple(
            Link(name, pack.title_of(name)) for name in loads)),
        LessonPart("Work and material", figures=tuple(_charges(method, pack))),
        LessonPart("How it is done", tuple(step.text for step in method.steps),
                   cautions=tuple(_cautions(method, pack))),
        LessonPart("From the trade", tuple(tip.text for tip in method.tips)),
        LessonPart("Figures behind its strength", figures=tuple(
            figure for figure in _figures(names, pack) if figure.name not in shown)),
    ]  # fmt: skip
    return Lesson(METHOD + method.key, method.title, "method", lead, _filled(parts))


def _joint_part(joint: Joint, mode: Mode, pack: RulePack) -> LessonPart:
    site = pack.sites[joint.site]
    lines = [sentence(f"Where: {lowered(site.title)}")]
    if joint.when is not None:
        lines.append(sentence(f"Counts where {condition_words(joint.when, pack)}"))
    source = source_of(pack, mode.origin)
    figures = []
    for part, words in MODE_PARTS:
        ref: Ref = getattr(mode, part)
        if ref.name is None:
            if ref.constant != IDLE.get(part, 1.0):
                unit = site.unit if part == "capacity" else "1"
                value = Range(ref.constant, ref.constant, ref.constant)
                figures.append(LessonFigure("", words, "", value, unit, source))
            continue
        own = list(_own_figures(pack.nodes[ref.name], pack)) if ref.name in pack.nodes else []
        figures += [LessonFigure(f.name, f"{words}: {lowered(f.title)}", f.where, f.value, f.unit,
                                 f.source, f.note) for f in own]  # fmt: skip
        if not own:
            lines.append(sentence(f"{words}: {lowered(pack.title_of(ref.name))}"))
    return LessonPart(f"Weak point: {lowered(mode.title)}", tuple(lines), tuple(figures))


def _charges(method: Method, pack: RulePack) -> Iterator[LessonFigure]:
    for unit, charges in (("min", method.work), (pack.currency, method.materials)):
        for charge in charges:
            where = [] if charge.per.name is None else [
                f"times {lowered(pack.title_of(charge.per.name))}"
            ]  # fmt: skip
            if charge.when is not None:
                where.append(f"where {condition_words(charge.when, pack)}")
            yield _spread(charge.what, "; ".join(where), charge.spread, unit, pack)
    yield _spread("Done as it should be, by experience", "", method.reliability, "1", pack)
    if method.lasts is not None:
        for condition, known in method.lasts.branches:
            yield _known(known, f"where {condition_words(condition, pack)}", pack)
        yield _known(method.lasts.rest, "otherwise" if method.lasts.branches else "", pack)


def _spread(title: str, where: str, spread: Spread, unit: str, pack: RulePack) -> LessonFigure:
    source = _source(spread.source, spread.status, pack)
    value = Range(spread.low, spread.typical, spread.high)
    return LessonFigure("", title, where, value, unit, source)


def _known(known: Known, where: str, pack: RulePack) -> LessonFigure:
    source = _source(known.source, known.status, pack)
    value = Range(known.low, known.typical, known.high)
    return LessonFigure("", known.title or LASTS, where, value, known.unit, source, known.note)


def _cautions(method: Method, pack: RulePack) -> Iterator[str]:
    keys = [*method.cautions, *(key for step in method.steps for key in step.cautions)]
    for key in dict.fromkeys(keys):
        yield pack.cautions[key].text


# -- figures -------------------------------------------------------------------


def _figures(names: Iterable[str], pack: RulePack) -> Iterator[LessonFigure]:
    """Every figure that the nodes ``names`` rest on, themselves included, in the pack's order."""
    wanted = {feeding for name in names for feeding in (*pack.feeding(name), name)}
    for name in pack.order:
        if name in wanted and name in pack.nodes:
            yield from _own_figures(pack.nodes[name], pack)


def _own_figures(node: Node, pack: RulePack) -> Iterator[LessonFigure]:
    """The figures that a node itself holds; none where it is calculated from others."""
    operation = node.operation
    source = _source(node.source, node.status, pack)

    def shown(where: str, triple: Triple) -> LessonFigure:
        return LessonFigure(node.name, node.title, where, Range(*triple), node.unit, source,
                            node.note)  # fmt: skip

    if isinstance(operation, Draw):
        for condition, triple in operation.branches:
            yield shown(f"where {condition_words(condition, pack)}", triple)
        yield shown("otherwise" if operation.branches else "", operation.rest)
    elif isinstance(operation, TableDraw):
        for titles, triple, origin in _rows(operation, pack):
            yield replace(shown(listed(titles), triple), source=_source(*origin, pack))


def _rows(
    table: TableDraw, pack: RulePack
) -> Iterator[tuple[list[str], Triple, tuple[str, str]]]:
    """Rows of a table; options with the same figures from the same source stand together."""
    options = pack.facts[table.key].options
    columns: tuple[Row, Row, Row] = (table.low, table.typical, table.high)
    origins = table.origins or (("", ""),) * len(options)
    rows = list(zip(options, zip(*columns, strict=True), origins, strict=False))
    rows.sort(key=lambda row: row[1:])
    for (triple, origin), alike in groupby(rows, key=lambda row: row[1:]):
        yield [row[0].title for row in alike], (triple[0], triple[1], triple[2]), origin


def _source(source: str, status: str, pack: RulePack) -> Source | None:
    return source_of(pack, Origin(source, status)) if source else None


def _calculated(node: Node, pack: RulePack) -> Iterator[str]:
    """How a node comes about, in sentences."""
    titles = [lowered(pack.title_of(name)) for name in dict.fromkeys(node.operation.names())]
    if isinstance(node.operation, Apply):
        rule = RELATIONS[node.operation.relation]
        yield sentence(f"{node.title}: {lowered(rule.title)}, from {listed(titles)}. "
                       f"Formula from: {rule.source}")  # fmt: skip
    elif isinstance(node.operation, Fold) and len(titles) > 1:
        yield sentence(f"{node.title} is {FOLDS[node.operation.kind]} {listed(titles)}")
    elif titles:
        yield sentence(f"{node.title} depends on {listed(titles)}")
    if node.when is not None:
        yield sentence(f"It counts where {condition_words(node.when, pack)}")
    if node.note:
        yield sentence(node.note)


def _filled(parts: Iterable[LessonPart]) -> tuple[LessonPart, ...]:
    """The parts in which something stands."""
    return tuple(p for p in parts if p.lines or p.figures or p.links or p.cautions)
