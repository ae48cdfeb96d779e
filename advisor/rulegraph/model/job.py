"""What the job sheet needs besides the methods: figures of the trade, and the shop's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from advisor.rulegraph.model.conditions import Condition

#: Figures that the job sheet asks for by name, each with the unit it is computed in.
VALUE_UNITS: Mapping[str, str] = {
    "overrun": "mm",
    "back_stitches": "1",
    "thread_waste": "1",
    "thread_tail": "mm",
    "seam_layers": "1",
    "thread_rule": "1",
    "bridge": "mm",
    "rod_diameter": "mm",
    "groove_angle": "deg",
    "groove_cap": "1",
    "weld_speed": "mm/min",
    "stop_hole": "mm",
    "staple_spacing": "mm",
    "void_length": "mm",
    "void_width": "mm",
    "void_depth_share": "1",
    "pad_oversize": "1",
    "can_yield": "l",
    "can_confined": "1",
    "can_layer": "mm",
    "can_cure_per_layer": "min",
    "mix_expansion": "1",
    "mix_density": "kg/m3",
    "mix_pour": "mm",
    "patch_overlap": "mm",
    "cement_cover": "m2/l",
    "filler_cure": "degC",
    "coat_cover": "m2/l",
    "coats": "1",
    "seam_allowance": "mm",
    "roll_width": "mm",
    "roll_edge": "mm",
    "pattern_repeat": "mm",
    "cutting_reserve": "1",
    "hide_area": "m2",
    "hide_cut_piece": "m2",
    "hide_loss": "1",
    "hide_length": "mm",
    "hide_width": "mm",
    "panel_length": "mm",
    "panel_width": "mm",
    "years_as_it_is": "yr",
}


@dataclass(frozen=True)
class Known:
    """A figure with its unit and where it comes from; low <= typical <= high."""

    title: str
    unit: str
    low: float
    typical: float
    high: float
    source: str
    status: str
    note: str = ""


@dataclass(frozen=True)
class ThreadRule:
    """A thread, its needle, and where it is the right one."""

    key: str
    title: str
    fibre: Literal["polyester", "nylon"]
    tex: float
    strength: Known
    """Straight breaking load [N]."""
    needle: Known
    """Metric needle number: hundredths of a millimetre of the shaft."""
    why: str
    when: Condition | None


@dataclass(frozen=True)
class PointRule:
    """A needle point and the skins it suits."""

    title: str
    why: str
    when: Condition | None
    source: str
    status: str


@dataclass(frozen=True)
class RodRule:
    """Welding rod for one plastic."""

    air: Known
    """Air temperature at the nozzle [degC]."""


@dataclass(frozen=True)
class FoamRule:
    """Replacement foam for a place."""

    title: str
    density: Known
    """[kg/m3]."""
    hardness: Known
    """Indentation force at 25 % on 323 cm2, ASTM D3574 [N]."""
    when: Condition | None


@dataclass(frozen=True)
class WaitRule:
    """A time in which nobody works: a cure, a drying, a cooling."""

    title: str
    minutes: Known
    before: Literal["next", "use"]
    """What must wait: the next method on this part, or only its use."""
    when: Condition | None


@dataclass(frozen=True)
class TipRule:
    """Advice beside a method."""

    text: str
    when: Condition | None
    source: str
    status: str


@dataclass(frozen=True)
class ClauseRule(TipRule):
    """A text for some methods; for any where none is named."""

    methods: tuple[str, ...] = ()


@dataclass(frozen=True)
class PanelRule:
    """One panel of a cover as it is usual for a part, before seam allowance."""

    title: str
    length: Known
    """From side to side [mm]."""
    width: Known
    """From front to back, or from top to bottom [mm]."""
    count: int
    may_join: bool
    """True where a cross seam in it is usual, as in a boxing strip."""
    allowance: Known | None = None
    """Cut larger on every side, where it is not the seam allowance [mm]."""


@dataclass(frozen=True)
class CoverRule:
    """How a skin is sold and cut."""

    title: str
    form: Literal["roll", "hide"]
    nap: bool
    limit: Known | None
    """Temperature the skin withstands while a filler cures [degC]."""


@dataclass(frozen=True)
class LifeRule:
    """Years such work lasts where it holds at all; the first branch that applies wins."""

    branches: tuple[tuple[Condition, Known], ...]
    rest: Known


@dataclass(frozen=True)
class JobRules:
    """Figures of the trade for the job sheet."""

    values: Mapping[str, Known]
    threads: tuple[ThreadRule, ...]
    points: tuple[PointRule, ...]
    rods: Mapping[str, RodRule]
    foams: tuple[FoamRule, ...]
    exclusions: tuple[ClauseRule, ...]
    """What a quote does not cover; without methods it is always said."""
    new_cover: tuple[ClauseRule, ...]
    """When a cover is cut new, so that a cutting layout is wanted."""
    panels: Mapping[str, tuple[PanelRule, ...]]
    """By kind of part, as its file has them."""
    covers: Mapping[str, CoverRule]


@dataclass(frozen=True)
class StockItem:
    """What the shop says about one material of the methods."""

    what: str
    """As the method names it."""
    special_order: bool
    price: tuple[float, float, float] | None
    """The shop's own price in place of the pack's example."""
    note: str = ""


@dataclass(frozen=True)
class QuoteRules:
    """How the shop quotes."""

    shop: str
    certainty: float
    """Share of such jobs that stay within the quote; at least 0.5."""
    mileage: float
    """Money per km driven."""
    usual_distance: float
    """One way [km]."""
    tax_label: str
    tax_rate: float
    interest: float
    """Per year, for spreading a price over the years it lasts."""
    valid_days: int
    worth_repairing: float
    """Share of the price of replacing from which a repair is hardly worth it."""
    examples: bool
    """True while the figures are the pack's."""
    stock: Mapping[str, StockItem] = field(default_factory=dict)
