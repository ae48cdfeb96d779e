"""The job sheet as plain frozen data; window, text, HTML, PDF and JSON render it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from advisor.job.amount import Amount
from advisor.job.cutting.hides import Hides
from advisor.job.cutting.yardage import Cutting, Panel
from advisor.job.estimates import Estimate
from advisor.rulegraph.model.own_rules import NO_OWN_RULES, OwnRules
from advisor.wording.counts import HoldBasis
from advisor.wording.figures import Range


class WorkKind(StrEnum):
    """What minutes are spent on; set-up and access are there whatever the damage."""

    SET_UP = "set_up"
    ACCESS = "access"
    WORK = "work"


@dataclass(frozen=True)
class QuantityGroup:
    """Quantities of one method."""

    method: str
    title: str
    amounts: tuple[Amount, ...]
    tips: tuple[str, ...]


@dataclass(frozen=True)
class Item:
    """Minutes of one piece of work: least, likely, most; and what is calculated from them."""

    method: str
    title: str
    kind: WorkKind
    minutes: Range
    estimate: Estimate
    extent: bool = False
    """It only says what size or number add to the other work."""


@dataclass(frozen=True)
class Wait:
    """A time in which nobody works on this part [min]."""

    method: str
    title: str
    minutes: Range
    before: str
    """``next``: the next method must wait; ``use``: only use of the part must."""


@dataclass(frozen=True)
class SheetStep:
    """One step in order, with the cautions that belong beside it."""

    number: int
    method: str
    method_title: str
    text: str
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Task:
    """One method's hands-on time in the order of work, and the wait that follows it [min]."""

    part: str
    method: str
    title: str
    order: int
    minutes: float
    wait: float
    wait_title: str


@dataclass(frozen=True)
class Slot:
    """One bar of the timeline [min from the start]."""

    part: str
    method: str
    title: str
    hands: bool
    """False while something cures and nobody works on it."""
    start: float
    end: float


@dataclass(frozen=True)
class Ready:
    """When a part may be used, or is fully cured [min from the start]."""

    part: str
    title: str
    at: float


@dataclass(frozen=True)
class Material:
    """One material with its price before markup."""

    what: str
    method: str
    price: Range
    estimate: Estimate
    special_order: bool
    own_price: bool
    """True where the shop's price stands in place of the pack's example."""
    note: str


@dataclass(frozen=True)
class PriceLine:
    """One line of a price, expected value."""

    title: str
    amount: float
    kind: str
    """``visit``, ``part``, ``work``, ``material``, ``travel``, ``minimum`` or ``reserve``."""


@dataclass(frozen=True)
class Price:
    """What is charged, before and after tax; money in ``currency``."""

    currency: str
    certainty: float
    lines: tuple[PriceLine, ...]
    """Add up to ``quote``."""
    value: Range
    """Low, expected and quoted, before tax; never below the call-out minimum."""
    minimum_applies: bool
    markup: float
    """Share put on materials, in the lines already."""
    tax_label: str
    tax: float
    total: Range
    """Low, expected and quoted, with tax."""

    @property
    def quote(self) -> float:
        """What is quoted, before tax."""
        return self.value.high


@dataclass(frozen=True)
class Choice:
    """One way to spend the money: repair, replace, or leave it."""

    key: str
    """``repair``, ``replace``, ``re_cover`` or ``nothing``."""
    title: str
    price: float
    years: Range
    per_year: float | None
    """None where the way buys no years of use."""
    note: str


@dataclass(frozen=True)
class HoleChoice:
    """What sewing every other hole changes."""

    stitches: tuple[float, float]
    """Every hole, every other hole."""
    minutes: tuple[float, float]
    price: tuple[float, float]
    strength_left: Range
    """Strength of the sparser seam as a share of the full one."""
    hold: tuple[float, float]
    """Share of the simulated cases in which each holds."""
    proposed: str
    """``every`` or ``every_other``."""
    text: str


@dataclass(frozen=True)
class Deposit:
    """What to ask for before special-order material is bought."""

    amount: float
    because: str


@dataclass(frozen=True)
class CutPlan:
    """Material for a new cover: from the roll, or from hides."""

    skin: str
    assumed: bool
    """True where the panel sizes are what is usual and were not measured."""
    panels: tuple[Panel, ...]
    cuttings: tuple[Cutting, ...]
    hides: Hides | None
    note: str
    nap: bool
    """True where all panels must lie one way."""
    roll_width: float
    """[mm]; 0 for hides."""
    allowance: float
    """Seam allowance on each side [mm]."""


@dataclass(frozen=True)
class Vehicle:
    """What tells one vehicle from another, as far as it is known."""

    names: tuple[str, ...]
    """Parts of the job's title between commas: the vehicle's name is among them."""
    answers: tuple[tuple[str, str], ...]
    """Title of a fact that all parts of a vehicle share, and its certain answer."""


@dataclass(frozen=True)
class OpenHazard:
    """A hazard question that nobody has answered: what is asked, and how to find out."""

    title: str
    ask: str
    how: str


class Standing(StrEnum):
    """What is to be done with a part at intake, before anything else."""

    CLEAR_FIRST = "clear_first"
    """A hazard or a question is open."""
    DO_NOW = "do_now"
    ORDER = "order"
    """Something has to be ordered before it can be done."""
    REFER = "refer"
    """It goes to somebody else, or nothing here would hold."""


@dataclass(frozen=True)
class OpenSize:
    """A size or number that nobody has told, and what the price takes it for."""

    fact: str
    ask: str
    taken: str


@dataclass(frozen=True)
class JobSheet:
    """Everything to do, buy and quote for one damaged part."""

    case: str
    title: str
    vehicle: Vehicle
    part: str
    withheld: str
    """Why there is no job; empty where there is one."""
    open_hazards: tuple[OpenHazard, ...]
    """Hazards to clear before there is a price or a step."""
    provisional: bool
    lead: str
    lead_title: str
    methods: tuple[str, ...]
    titles: tuple[str, ...]
    hold_probability: float
    hold_basis: HoldBasis
    """What it is made of."""
    damage: str
    """What is the matter, in words."""
    why: str
    """Why this way, for the customer."""
    groups: tuple[QuantityGroup, ...]
    cut: CutPlan | None
    items: tuple[Item, ...]
    minutes: Estimate
    """All hands-on minutes."""
    set_up: Estimate
    """Of these, set-up and access."""
    waits: tuple[Wait, ...]
    steps: tuple[SheetStep, ...]
    tasks: tuple[Task, ...]
    timeline: tuple[Slot, ...]
    ready: tuple[Ready, ...]
    tools: tuple[str, ...]
    materials: tuple[Material, ...]
    price: Price | None
    choices: tuple[Choice, ...]
    advice_on_choice: str
    holes: HoleChoice | None
    deposit: Deposit | None
    cautions: tuple[str, ...]
    not_covered: tuple[str, ...]
    notes: tuple[str, ...]
    rules_version: str
    rules_digest: str
    own_rules: OwnRules = NO_OWN_RULES
    """What the shop's own folder does to the rules."""
    open_sizes: tuple[OpenSize, ...] = ()
    """To be asked before the price is a quote."""
    standing: Standing = Standing.DO_NOW
    about: Range | None = None
    """Hands-on minutes as they are said everywhere: those of the plan; None where withheld."""
    drawings: tuple[tuple[str, str], ...] = ()
    """Method and drawing of the bench sheet, in the order of work."""


@dataclass(frozen=True)
class Visit:
    """Damaged parts of one vehicle, done in one call-out."""

    sheets: tuple[JobSheet, ...]
    price: Price
    timeline: tuple[Slot, ...]
    ready: tuple[Ready, ...]
    deposit: Deposit | None
    saved: float
    """What one call-out for all saves against one for each, before tax."""


@dataclass(frozen=True)
class VehicleJob:
    """One or several damaged parts; those of one vehicle share a call-out."""

    sheets: tuple[JobSheet, ...]
    """Every part asked for, withheld ones too."""
    visits: tuple[Visit, ...]
    apart: str
    """Why the parts are not done in one call-out, or what they are taken for; may be empty."""
    price: Price | None
    """Of all visits together."""
    shop: str
    valid_days: int
    example_prices: bool

    @property
    def intake(self) -> Mapping[Standing, tuple[JobSheet, ...]]:
        """Every part under what is to be done with it, in the order of doing."""
        return {
            standing: tuple(sheet for sheet in self.sheets if sheet.standing is standing)
            for standing in Standing
        }

    @property
    def timeline(self) -> tuple[Slot, ...]:
        """Of the only visit; empty where there are several."""
        return self.visits[0].timeline if len(self.visits) == 1 else ()

    @property
    def saved(self) -> float:
        """What shared call-outs save in all, before tax."""
        return sum(visit.saved for visit in self.visits)

    @property
    def deposit(self) -> Deposit | None:
        """All deposits together."""
        found = [visit.deposit for visit in self.visits if visit.deposit is not None]
        if len(found) < 2:
            return found[0] if found else None
        because = " ".join(deposit.because for deposit in found)
        return Deposit(sum(deposit.amount for deposit in found), because)
