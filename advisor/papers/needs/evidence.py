"""What papers a case needs, from its vehicle, the rule the station gave, and what is added.

Nothing is guessed: without a rule set the kind of test stays open, and where no rule is known
for a vehicle that is said, with whom to defer to.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import Field, TypeAdapter, ValidationError

from advisor.advice.result import Advice, MethodAdvice, Status
from advisor.facts.faults import BadInput, Fault, nearest_name, one_of
from advisor.facts.marked_yaml import read_marked
from advisor.papers.burn.rule_sets import BurnRules, ItemClass, RuleSet, Said, shipped_rules
from advisor.papers.materials.lot import Lot
from advisor.papers.materials.warnings import Heed, warning
from advisor.rulegraph.model.layers import DOUBTING, LAYERS, Layer
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Name, Strict

FILE = Path(__file__).with_name("evidence.yaml")
NOT_KNOWN = "not_listed"
"""The rule set that stands for a rule which is not known here."""


class VehicleRules(Strict):
    """What is known of a kind of vehicle."""

    rule_sets: tuple[str, ...]
    basis: str
    defer_to: str
    certified: bool = False
    """Existing papers of the part are in doubt once something is put on it."""


class Evidence(Said):
    """What is asked for a layer."""

    vehicles: tuple[str, ...]
    rule_sets: tuple[str, ...] = ()
    """Under these alone; under any where none is named."""
    layers: tuple[Layer, ...]
    kind: Literal["wanted", "review", "note"]


class OperatorRules(Said):
    """What the rule that the operator flies under adds."""

    title: str
    hired: bool = False


class EvidenceRules(Strict):
    """The whole file."""

    sources: Mapping[str, str]
    vehicles: Mapping[str, VehicleRules]
    evidence: tuple[Evidence, ...] = Field(min_length=1)
    operators: Mapping[Name, OperatorRules]
    hired: Said
    elsewhere: str
    """What is said of other countries."""


@dataclass(frozen=True)
class LayerNeeds:
    """One layer that the repair adds."""

    layer: Layer
    evidence: tuple[Evidence, ...]
    lots: tuple[Lot, ...]
    """Lots on hand that become this layer, have papers, and may be used."""

    @property
    def review(self) -> bool:
        """Whether whoever signs has to decide something about it."""
        return any(one.kind == "review" for one in self.evidence)


@dataclass(frozen=True)
class MethodPapers:
    """How many papers a method wants that are not on hand."""

    method: str
    title: str
    layers: tuple[Layer, ...]
    missing: tuple[Layer, ...]


@dataclass(frozen=True)
class Needs:
    """All that a case needs by way of papers."""

    vehicle: str
    known: VehicleRules | None
    """None where no rule is known here for the vehicle."""
    rule_set: RuleSet | None
    item: ItemClass | None
    tests: tuple[tuple[str, str], ...]
    """Tests the rule set asks of the item, each with its limits in words."""
    layers: tuple[LayerNeeds, ...]
    operator: OperatorRules | None
    hired: Said | None
    methods: tuple[MethodPapers, ...]
    """The leading method and others that hold, the one that wants the fewest new papers first."""
    open_: tuple[str, ...]
    """What has to be given before more can be said, each with who can say it."""
    rules: EvidenceRules

    @property
    def in_doubt(self) -> bool:
        """Whether existing papers of the part go to review."""
        certified = self.known is not None and self.known.certified
        return certified and bool(DOUBTING & {one.layer for one in self.layers})


@lru_cache(maxsize=1)
def evidence_rules() -> EvidenceRules:
    """Those that ship with the program."""
    marked = read_marked(FILE)
    form = TypeAdapter(EvidenceRules)
    try:
        return form.validate_python(marked.data)
    except ValidationError as error:
        raise BadInput(faults_of(PackFile(FILE.name, FILE, marked), error, form)) from None


def layers_of(advice: Advice) -> tuple[Layer, ...]:
    """Layers that the leading plan adds; none where there is no plan."""
    here = {method.method: method for method in advice.methods}
    plan = advice.plan.methods if advice.plan is not None else ()
    added = {layer for key in plan if key in here for layer in here[key].adds}
    return tuple(layer for layer in LAYERS if layer in added)


def rivals_of(advice: Advice) -> list[MethodAdvice]:
    """The leading method, and those that hold and do what it does."""
    if advice.plan is None:
        return []
    lead = next((m for m in advice.methods if m.method == advice.plan.lead), None)
    met = set(lead.meets) if lead is not None else set()
    return [
        m for m in advice.methods
        if m is lead or (m.status is Status.HOLDS and met & set(m.meets))
    ]  # fmt: skip


def usable(lots: Iterable[Lot], today: date) -> list[Lot]:
    """Lots with a paper, neither withdrawn nor past their shelf life."""
    found = []
    for lot in lots:
        warned = warning(lot, today)
        stopped = warned is not None and warned.kind in (Heed.WITHDRAWN, Heed.EXPIRED)
        if lot.certificates and not stopped:
            found.append(lot)
    return found


def needs_of(
    vehicle: str, layers: Sequence[Layer], *, rule_set: str | None = None,
    item: str | None = None, passengers: int | None = None, operator: str | None = None,
    rivals: Sequence[MethodAdvice] = (), lots: Iterable[Lot] = (), today: date | None = None,
) -> Needs:  # fmt: skip
    """What papers are needed where ``layers`` are added to a part of ``vehicle``.

    ``rule_set``, ``item`` and ``operator`` are as the station or the operator gave them, None
    where nobody has. Raises BadInput for one that is not known, or that is for another kind
    of vehicle.
    """
    rules, burn = evidence_rules(), shipped_rules()
    known = rules.vehicles.get(vehicle)
    given, kind = _rule_set(rule_set, item, vehicle, known, burn)
    if operator is not None and operator not in rules.operators:
        raise _unknown("operator", "no such rule for operators", operator, rules.operators)
    hand = usable(lots, today or date.today())
    listed = tuple(
        LayerNeeds(
            layer,
            tuple(
                one for one in rules.evidence
                if vehicle in one.vehicles and layer in one.layers
                and (not one.rule_sets or rule_set in one.rule_sets)
            ),
            tuple(lot for lot in hand if lot.layer == layer),
        )
        for layer in layers
    )  # fmt: skip
    there = {lot.layer for lot in hand}
    compared = [
        MethodPapers(m.method, m.title, m.adds, tuple(x for x in m.adds if x not in there))
        for m in rivals
    ]
    compared.sort(key=lambda one: (len(one.missing), len(one.layers)))
    certified = known is not None and known.certified
    told = rules.operators.get(operator or "") if certified else None
    open_ = _open(known, given, kind, told)
    return Needs(
        vehicle, known, given, kind, _tests(kind, passengers, burn) if kind else (), listed, told,
        rules.hired if told is not None and told.hired else None, tuple(compared), open_, rules,
    )  # fmt: skip


def _rule_set(
    rule_set: str | None, item: str | None, vehicle: str, known: VehicleRules | None,
    burn: BurnRules,
) -> tuple[RuleSet | None, ItemClass | None]:  # fmt: skip
    if rule_set is None:
        return None, None
    given = burn.sets.get(rule_set)
    if given is None:
        raise _unknown("rule_set", "no such rule set", rule_set, burn.sets)
    fit = (*(known.rule_sets if known else ()), NOT_KNOWN)
    if rule_set not in fit:
        raise _unknown("rule_set", f"a rule for another kind of vehicle than {vehicle}",
                       rule_set, fit)  # fmt: skip
    if item is None or not given.items:
        return given, None
    if item not in given.items:
        raise _unknown("item", f"no such item in {rule_set}", item, given.items)
    return given, given.items[item]


def _unknown(field: str, problem: str, found: str, names: Collection[str]) -> BadInput:
    near = nearest_name(found, names)
    return BadInput(Fault("papers", 0, 0, field, problem, found, one_of(names), near))


def _open(
    known: VehicleRules | None, given: RuleSet | None, item: ItemClass | None,
    operator: OperatorRules | None,
) -> tuple[str, ...]:  # fmt: skip
    if known is None:
        return ()
    found = []
    if known.rule_sets and given is None:
        sets = shipped_rules().sets
        names = one_of(sets[name].title for name in known.rule_sets)
        found.append(f"The rule set is not given; {names}. Ask "
                     f"{known.defer_to}.")  # fmt: skip
    elif given is not None and given.items and item is None:
        found.append(f"The class of the item is not given; "
                     f"{one_of(one.title for one in given.items.values())}. Ask "
                     f"{known.defer_to}.")  # fmt: skip
    if known.certified and operator is None:
        rules = one_of(one.title for one in evidence_rules().operators.values())
        found.append(f"The rule that the operator flies under is not given; {rules}. Ask the "
                     "station.")  # fmt: skip
    return tuple(found)


def _tests(
    item: ItemClass, passengers: int | None, burn: BurnRules
) -> tuple[tuple[str, str], ...]:
    found = []
    for name, asked in item.tests.items():
        least = asked.from_passengers
        if asked.review is not None or (
            least is not None and passengers is not None and passengers < least
        ):
            continue
        limits = [
            f"{limit.quantity.replace('_', ' ')} "
            + (f"at most {limit.at_most}" if limit.at_most
               else "as agreed" if limit.agreed else "none")
            for limit in asked.limits
        ]
        seats = f" (from {least} passengers on)" if least and passengers is None else ""
        found.append((f"{burn.tests[name].title} [{name}]{seats}", ", ".join(limits)))
    return tuple(found)
