"""The job sheet as plain frozen data; window, text, HTML, PDF and JSON render it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from advisor.advice.result import Range

from .amounts import Amount
from .reckoning import Estimate
from .yardage import Cutting, Hides, Panel


class WorkKind(StrEnum):
    """What minutes are spent on; set-up and access are there whatever the damage."""

    SET_UP = "set_up"
    ACCESS = "access"
    WORK = "work"


@dataclass(frozen=True)
class Wishes:
    """What is agreed or measured for this job; None leaves what is usual."""

    certainty: float | None = None
    """Share of such jobs that stay within the quote, 0.5 to 0.99."""
    distance: float | None = None
    """One way to the customer [km]."""
    hollow: tuple[float, float, float] | None = None
    """Length, width, depth of a hollow [mm]."""
    area: float | None = None
    """Area to colour [m2]."""
    panels: tuple[Panel, ...] | None = None
    """Finished panels of a new cover [mm]."""
    roll: float | None = None
    """Width of the roll [mm]."""
    repeat: float | None = None
    """Pattern repeats along and across, added up [mm]."""
    nap: bool | None = None
    """True where all panels must lie one way."""
    humidity: float = 0.6
    """Relative humidity where foam cures, 0.2 to 0.9."""


@dataclass(frozen=True)
class QuantityGroup:
    """Quantities of one method."""

    method: str
    title: str
    amounts: tuple[Amount, ...]
    tips: tuple[str, ...]


@dataclass(frozen=True)
class Item:
    """Minutes of one piece of work: least, likely, most; and what is reckoned from them."""

    method: str
    title: str
    kind: WorkKind
    minutes: Range
    estimate: Estimate


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
    """``part``, ``work``, ``material``, ``travel``, ``minimum``, ``reserve`` or ``tax``."""


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
    """Share of the computed cases in which each holds."""
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


@dataclass(frozen=True)
class JobSheet:
    """Everything to do, buy and quote for one damaged part."""

    case: str
    title: str
    part: str
    withheld: str
    """Why there is no job; empty where there is one."""
    provisional: bool
    lead: str
    lead_title: str
    methods: tuple[str, ...]
    titles: tuple[str, ...]
    hold_probability: float
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


@dataclass(frozen=True)
class VehicleJob:
    """One or several damaged parts of one vehicle, done in one call-out."""

    sheets: tuple[JobSheet, ...]
    price: Price | None
    timeline: tuple[Slot, ...]
    deposit: Deposit | None
    saved: float
    """What one call-out for all saves against one for each, before tax."""
    shop: str
    valid_days: int
    example_prices: bool
