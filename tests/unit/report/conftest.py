"""Hand-made advices: a split armrest seam in a shuttle bus, with every verdict."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import pytest

from advisor.advice.result import (
    Advice,
    Cause,
    FactState,
    Figure,
    Flip,
    GateAdvice,
    GateState,
    Load,
    MethodAdvice,
    Origin,
    PlanAdvice,
    Question,
    Reason,
    Source,
    Status,
    Step,
    Verdict,
)
from advisor.facts.case import Case, EarlierRepair, Span
from advisor.wording.figures import Range

THREAD = Source("J2", "Thread breaking loads, trade tables for bonded polyester", "looked_up")
CREEP = Source("J9", "Long-term peel of contact adhesives on coated fabric", "estimate")
SHRINK = Source(
    "L1", "Shrinkage of plasticized vinyl by loss and by frozen-in strain", "from_memory"
)
HOLES = Source("P3", "Reuse of the needle holes", "common_practice")
BAGS = Source("H1", "Breakaway seams of seat-mounted airbags", "looked_up")

SHRINKAGE_PATH = ("skin_shrinkage", "tension_sustained", "adhesive_bond")
GLUE_PATH = ("Shrunk skin", "pull across the seam, all the time", "glue line creeps")
STITCH_PATH = ("Elbow leaning on the pad", "pull across the seam, each trip", "thread at the holes")
PATCH_PATH = ("Shrunk skin", "pull across the seam, all the time", "patch peels at its edge")


def figure(
    title: str, low: float, typical: float, high: float, dimension: str, unit: str
) -> Figure:
    node = title.lower().replace(" ", "_")
    value = Range(low, typical, high)
    return Figure(node, title, value, dimension, unit, Origin.COMPUTED, SHRINK)


def stitch_reason() -> Reason:
    pull = figure("Pull on one stitch", 1.1, 2.4, 4.6, "force", "N")
    holds = Reason("The thread breaks at 49 N and keeps half of that for years", source=THREAD)
    return Reason(
        "The stitches carry the pull of the shrunk skin with a wide reserve",
        ("elbow", "tension_cyclic", "hand_stitch"),
        STITCH_PATH,
        (pull,),
        HOLES,
        (holds,),
    )


def glue_reason() -> Reason:
    peel = figure("Peel on the glue line", 0.2, 0.35, 0.62, "line_force", "N/mm")
    return Reason(
        "The skin keeps pulling, and a glue line under lasting peel creeps until it opens",
        SHRINKAGE_PATH,
        GLUE_PATH,
        (peel,),
        CREEP,
    )


def method(
    key: str,
    title: str,
    status: Status,
    hold: float,
    usage: Range | None,
    because: tuple[Reason, ...] = (),
    limiting: str = "",
    looks: str = "slight",
) -> MethodAdvice:
    return MethodAdvice(
        key, title, ("close",), status, hold, usage, limiting.replace(" ", "_"), limiting, because,
        Range(30, 45, 70), Range(60, 85, 130), looks,
    )  # fmt: skip


def methods() -> tuple[MethodAdvice, ...]:
    patch = Reason("The patch holds its face but lifts at the edge", SHRINKAGE_PATH, PATCH_PATH)
    torn = Reason(
        "The skin is vinyl on knit; there is no solid plastic to weld",
        ("part.kind", "skin.backing"),
        ("Part", "Backing"),
    )
    return (
        method("hand_stitch", "Hand stitch through the existing holes", Status.HOLDS, 0.963,
               Range(0.14, 0.31, 0.78), (stitch_reason(),), "skin tears at the holes"),
        method("machine_restitch", "Take off the cover and re-stitch by machine", Status.HOLDS,
               0.981, Range(0.1, 0.25, 0.6), (stitch_reason(),), "thread fatigue", "unseen"),
        method("backing_patch", "Patch behind the split", Status.FAILS, 0.41,
               Range(0.5, 1.2, 2.6), (patch,), "edge peel"),
        method("adhesive_bond", "Glue the edges", Status.FAILS, 0.012,
               Range(1.6, 3.4, 7.9), (glue_reason(),), "glue line creeps"),
        method("flexible_filler", "Flexible filler", Status.FAILS, 0.0,
               Range(6.0, 12.0, 31.0), (glue_reason(),), "filler tears", "visible"),
        method("recolour", "Recolour", Status.HOLDS, 1.0, None),
        method("plastic_weld", "Weld the plastic", Status.NOT_POSSIBLE, 0.0, None, (torn,)),
        method("staple_reinforce", "Hot staples", Status.NOT_NEEDED, 0.0, None),
        method("foam_backfill", "Backfill the foam", Status.NOT_NEEDED, 0.0, None),
    )  # fmt: skip


def loads() -> tuple[Load, ...]:
    still = Load(
        "tension_sustained", "skin", "sustained", "Pull across the seam, all the time",
        Range(0.2, 0.35, 0.62), "line_force", "N/mm",
        (
            Cause("skin_shrinkage", "shrunk skin", Range(0.1, 0.22, 0.45), ("skin_shrinkage",)),
            Cause("cold", "cold", Range(0.04, 0.13, 0.25), ("cold", "tension_sustained")),
        ),
    )  # fmt: skip
    elbow = Load(
        "tension_cyclic", "skin", "cyclic", "Pull across the seam, each trip",
        Range(0.05, 0.12, 0.3), "line_force", "N/mm",
        (Cause("elbow", "elbow on the pad", Range(0.05, 0.12, 0.3), ("elbow",)),),
    )  # fmt: skip
    none = Load(
        "peel", "edge", "peak", "Peel at the edge", Range(0, 0, 0), "line_force", "N/mm", ()
    )
    return (still, elbow, none)


def steps() -> tuple[Step, ...]:
    warm = "Hot air burns skin and scorches vinyl: keep it moving, test on the underside first"
    needle = "A curved needle under tension slips: push away from the other hand"
    return (
        Step("hand_stitch", "Warm the skin to 40 °C so that it stretches", (warm,)),
        Step("hand_stitch", "Lace through every old hole with bonded polyester Tex 70", (needle,)),
        Step("hand_stitch", "Draw the edges together evenly and bury the knot"),
        Step("recolour", "Clean, key and spray the colour in thin coats", ("Air the cab",)),
    )


def plan(lead: str = "hand_stitch") -> PlanAdvice:
    title = {m.method: m.title for m in methods()}[lead]
    return PlanAdvice(
        (lead, "recolour"), (title, "Recolour"), lead, title, 0.963, Range(92, 128, 187),
        Range(55, 80, 120), 141.3, 210.0, 6.0, steps() if lead == "hand_stitch" else (),
        ("curved needle", "awl", "hot-air gun"), ("thread, bonded polyester Tex 70, 2 m", "colour"),
    )  # fmt: skip


def gate(name: str, title: str, state: GateState, text: str) -> GateAdvice:
    return GateAdvice(name, f"hazard.{name}", title, state, text, BAGS)


def facts() -> tuple[FactState, ...]:
    nothing: Mapping[str, float] = {}
    gap = Range(4.0, 4.0, 4.0)
    thick = Range(0.9, 1.1, 1.3)
    return (
        FactState("part.kind", "Part", "armrest pad", Origin.TOLD, "number", None, {"pad": 1.0}),
        FactState("damage.gap", "Gap at rest", "4 mm", Origin.MEASURED, "length", gap, nothing),
        FactState("skin.thickness", "Skin thickness", "0.9 to 1.3 mm", Origin.ASSUMED, "length",
                  thick, nothing),
        FactState("skin.backing", "Backing", "knit most likely, else none", Origin.ASSUMED,
                  "number", None, {"knit": 0.8, "none": 0.2}),
    )  # fmt: skip


def questions() -> tuple[Question, ...]:
    return (
        Question("hazard.airbag", "Airbag", "Is there an airbag in or behind this part?",
                 "Look for a label or tag on the seam", 0.0, 1.0, True,
                 "A stitched breakaway seam can hold the bag back.", True),
        Question("damage.closing_pull", "Closing pull",
                 "How hard must you pull to just close the gap?",
                 "Hook the scale into the middle of the edge", 14.2, 2.0, False,
                 "Settles whether a patch would do.", True),
        Question("skin.age", "Age", "How old is the skin?", "", 0.4, 1.0, False, "Little.", False),
    )  # fmt: skip


def advice_plan() -> Advice:
    leading = plan()
    clear = gate("airbag", "Airbag behind the part", GateState.CLEAR, "No airbag")
    care = gate("fibres", "Old backing board", GateState.CAUTION, "Do not sand; it may hold fibres")
    flip = Flip(
        "skin.feel",
        "Skin feel",
        "supple",
        "brittle",
        "recover_panel",
        "If the skin were brittle instead of supple, a new cover would be best",
    )
    return Advice(
        case="HB-2041", title="Split seam on a driver's armrest, harbour shuttle bus",
        rules_version="0.3.0", rules_digest="9f2c41d7a0b35e6688", seed=3141592653, worlds=4096,
        effective_worlds=2710.4, currency="EUR", verdict=Verdict.PLAN,
        headline="Stitch the seam by hand through the old holes and touch up the colour",
        reasons=(
            Reason("The skin has shrunk and pulls on the seam all the time; stitches carry that, "
                   "glue does not", SHRINKAGE_PATH, GLUE_PATH, (), SHRINK),
        ),
        plan=leading, provisional=False, plans=(leading, plan("machine_restitch")), settled=0.874,
        needs=("close", "colour"), methods=methods(), loads=loads(), gates=(clear, care), ask=(),
        flips=(flip,), facts=facts(), cautions=("Wear eye protection at the hot-air gun",),
        findings=(), notes=("The wanted service life is 5 years",),
    )  # fmt: skip


def advice_ask() -> Advice:
    opened = gate("airbag", "Airbag behind the part", GateState.OPEN, "Must be answered first")
    return replace(
        advice_plan(),
        verdict=Verdict.ASK,
        provisional=True,
        gates=(opened,),
        ask=questions(),
        headline="Hand stitching leads so far, but two things must be known first",
    )


def advice_refer() -> Advice:
    closed = gate(
        "airbag",
        "Airbag behind the part",
        GateState.CLOSED,
        "Refer to the maker's dealer: the cover seam opens when the bag fires",
    )
    blocked = tuple(replace(m, status=Status.BLOCKED) for m in methods())
    return replace(
        advice_plan(), verdict=Verdict.REFER, plan=None, plans=(), gates=(closed,), flips=(),
        methods=blocked, headline="This seam belongs to an airbag: the maker's dealer must do it",
        reasons=(Reason("A repaired seam can hold the bag back when it must open", source=BAGS),),
    )  # fmt: skip


def advice_decline() -> Advice:
    failing = tuple(
        replace(m, status=Status.FAILS, hold_probability=0.1, usage=Range(1.1, 2.0, 4.0))
        if m.status is Status.HOLDS
        else m
        for m in methods()
    )
    return replace(
        advice_plan(), verdict=Verdict.DECLINE, plan=None, plans=(), methods=failing, flips=(),
        headline="Nothing holds in this skin for five years: have the pad re-covered",
        reasons=(Reason("The skin is brittle and tears at every hole", source=HOLES),),
    )  # fmt: skip


ADVICES = {
    "plan": advice_plan,
    "ask": advice_ask,
    "refer": advice_refer,
    "decline": advice_decline,
}


@pytest.fixture(params=sorted(ADVICES))
def advice(request: pytest.FixtureRequest) -> Advice:
    """One advice of each verdict."""
    return ADVICES[request.param]()


@pytest.fixture
def make_advice() -> Callable[[str], Advice]:
    """An advice of the verdict asked for."""
    return lambda verdict: ADVICES[verdict]()


@pytest.fixture
def case() -> Case:
    """The case behind the advices."""
    glued = EarlierRepair("adhesive_bond", "contact glue", "opened again", "3 weeks")
    return Case("HB-2041", "Split seam", {"damage.gap": Span(4.0, 4.0)}, (glued,), (), "Bus 7")
