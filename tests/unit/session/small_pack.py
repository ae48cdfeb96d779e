"""A small pack and an advisor of our own making, so that the window is tested by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from advisor.advice.advise import Advised
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
from advisor.facts.case import Case, Span
from advisor.facts.declaration import FactDecl, Kind, Option, Stage
from advisor.rulegraph.model.own_rules import NO_OWN_RULES
from advisor.rulegraph.model.roles import Roles
from advisor.rulegraph.model.section import SectionLook, SectionRules, SiteLook
from advisor.wording.figures import Range

PRACTICE = Source("practice", "Workshop practice", "common_practice")
ESTIMATED = Source("estimate", "Own estimate", "estimate")


@dataclass(frozen=True)
class SmallMethod:
    """A method with a title."""

    title: str


def options(*pairs: tuple[str, str, str]) -> tuple[Option, ...]:
    """Options from key, title and sentence."""
    return tuple(Option(*pair) for pair in pairs)


FACTS = (
    FactDecl(
        "part.kind", Kind.CHOICE, Stage.PART, "Kind of part", "Which part is damaged?",
        "The part a person would name, not the whole seat.",
        options(
            ("armrest", "Armrest", "Padded rest for the forearm, on a door, seat or console."),
            ("seat_cushion", "Seat cushion", "What one sits on."),
            ("dash_top", "Dash top", "Upper side of the dashboard."),
            ("headliner", "Roof lining", "Lining overhead, on a shell or glued to the roof."),
            ("door_panel", "Door panel", "Inner face of a door."),
            ("bumper_pad", "Grab handle", "What one holds on to when climbing in."),
        ),
        may_stay_open=False,
    ),
    FactDecl(
        "skin.material", Kind.CHOICE, Stage.PART, "Skin material", "What is the skin made of?",
        "Look at a cut edge: vinyl shows a knit backing, leather shows fibres.",
        options(
            ("vinyl", "Vinyl", "Coated, smooth, often with a cloth backing."),
            ("leather", "Leather", "Fibres at a cut edge."),
            ("cloth", "Cloth", "Woven or knitted."),
            ("none", "No skin", "Bare or painted plastic."),
        ),
    ),
    FactDecl(
        "damage.kind", Kind.CHOICE, Stage.DAMAGE, "Kind of damage", "What has happened?",
        "Look with a torch. Has the thread gone, or the skin?",
        options(
            ("seam_open", "Seam has opened", "The thread is gone, the skin beside it is whole."),
            ("tear", "Tear in the skin", "The skin itself has parted."),
            ("hole", "Hole", "Skin is missing."),
            ("carrier_crack", "Crack in hard plastic", "No skin, or the part under it is broken."),
        ),
        may_stay_open=False,
    ),
    FactDecl(
        "damage.length", Kind.QUANTITY, Stage.DAMAGE, "Length", "How long is it?",
        "Lay a tape along the damage.", dimension="length", low=1, high=2000,
    ),
    FactDecl(
        "damage.gap", Kind.QUANTITY, Stage.DAMAGE, "Gap at rest",
        "How wide is it open when nothing touches it?",
        "Measure in the middle with a steel rule.", dimension="length", low=0, high=80,
    ),
    FactDecl(
        "hazard.airbag", Kind.YES_NO, Stage.HAZARDS, "Airbag in this section",
        "Is there an airbag in this very section?",
        "Look for a label or a moulded mark. If in doubt, answer yes.", gate=True,
    ),
    FactDecl(
        "skin.thickness", Kind.QUANTITY, Stage.FORCES, "Skin thickness",
        "How thick is the skin at the cut edge?", "Use a thickness gauge or a rule.",
        dimension="length", low=0.2, high=6,
    ),
    FactDecl(
        "core.state", Kind.CHOICE, Stage.FORCES, "State of the foam",
        "How is the foam under the damage?", "Press with a thumb through the opening.",
        options(
            ("springs_back", "Springs back", "At once."),
            ("hollow", "Hollow", "A dip under the skin."),
            ("crumbles", "Crumbles", "Turns to powder between the fingers."),
        ),
    ),
    FactDecl(
        "job.words", Kind.TEXT, Stage.JOB, "Wishes", "What does the customer care about most?",
        "In their own words.",
    ),
)


@dataclass(frozen=True)
class SmallPack:
    """Just what the window reads of a pack."""

    facts = MappingProxyType({fact.name: fact for fact in FACTS})
    methods = MappingProxyType({
        "hand_stitch": SmallMethod("Hand stitch through the existing holes"),
        "adhesive_bond": SmallMethod("Glue the lips together"),
        "recolour": SmallMethod("Touch up the colour"),
        "plastic_weld": SmallMethod("Weld the plastic"),
    })
    version = "small 1"
    digest = "0123456789abcdef"
    currency = "EUR"
    own = NO_OWN_RULES
    roles = Roles(
        "damage.length", "damage.gap", "damage.count", "seam.pitch", "skin.thickness",
        "core.thickness", "carrier.thickness", "carrier.density", "job.coloured_area",
        "part.count", "skin.material", "carrier.material", ("vehicle.kind",),
    )
    section = SectionRules(1.1, 20.0, 2.5, "skin", MappingProxyType({
        "part.kind": {"armrest": SectionLook(radius=60.0)},
        "skin.material": {"none": SectionLook(without=("skin",))},
        "damage.kind": {
            "seam_open": SectionLook(skin="open", seam=True),
            "tear": SectionLook(skin="open"),
            "carrier_crack": SectionLook(base="cracked", loaded_at="carrier"),
        },
        "core.state": {
            "hollow": SectionLook(padding="collapsed"),
            "crumbles": SectionLook(padding="crumbled"),
        },
    }), MappingProxyType({"skin": SiteLook("skin_apart")}))

    def asked(self, case: Case) -> tuple[FactDecl, ...]:
        """Skin thickness is not asked where there is no skin."""
        bare = case.choice("skin.material") == "none"
        return tuple(f for f in FACTS if not (bare and f.name == "skin.thickness"))

    def offered(self, fact: str, case: Case) -> tuple[Option, ...]:
        """All options go with all others."""
        return self.facts[fact].options


def pull(case: Case) -> float:
    """Pull at rest in N/mm: grows with the gap."""
    gap = case.facts.get("damage.gap")
    return 0.02 + 0.03 * (gap.middle if isinstance(gap, Span) else 2.0)


def spread(value: float) -> Range:
    """A factor of two to both sides."""
    return Range(0.5 * value, value, 2 * value)


def load(duration: str, value: float) -> Load:
    """One pull across the skin."""
    cause = Cause("skin_shrinkage", "Skin shrank", spread(value), ("skin_shrinkage",))
    return Load(
        f"tension_{duration}", "skin", duration, f"Pull {duration}", spread(value),
        "line_force", "N/mm", (cause,),
    )


def state_of(fact: FactDecl, case: Case) -> FactState:
    """A fact as used: the answer, or a plain assumption."""
    value = case.facts.get(fact.name)
    origin = Origin.ASSUMED if value is None else Origin.TOLD
    if fact.kind is Kind.QUANTITY:
        middle = value.middle if isinstance(value, Span) else 2.0
        return FactState(fact.name, fact.title, f"{middle:g} mm", origin, "length",
                         spread(middle), {})
    keys = value if isinstance(value, tuple) else fact.keys
    shares = {key: 1 / len(keys) for key in keys} if keys else {}
    return FactState(fact.name, fact.title, " or ".join(keys), origin, "number", None, shares)


def methods_of(case: Case) -> tuple[MethodAdvice, ...]:
    """Stitching holds, glue creeps, welding has nothing to weld."""
    demand = pull(case)
    path = ("skin_shrinkage", "tension_sustained", "adhesive_bond.creep")
    why = Reason(
        "The glue line creeps under a pull that never stops", path,
        ("Skin shrank", "Pull all the time", "Glue line creeps"),
        (Figure("tension_sustained", "Pull all the time", spread(demand), "line_force", "N/mm",
                Origin.COMPUTED, ESTIMATED),),
        ESTIMATED,
    )
    free = Range(0, 0, 0)
    return (
        MethodAdvice("adhesive_bond", "Glue the lips together", ("close",), Status.FAILS, 0.02,
                     spread(34 * demand), "creep", "Glue line creeps", (why,),
                     Range(10, 20, 30), Range(12, 18, 25), "slight"),
        MethodAdvice("hand_stitch", "Hand stitch through the existing holes", ("close",),
                     Status.HOLDS, 0.97, spread(2 * demand), "holes", "Holes tear out",
                     (Reason("Thread and holes carry the pull", source=PRACTICE),),
                     Range(30, 45, 60), Range(35, 45, 60), "slight"),
        MethodAdvice("recolour", "Touch up the colour", ("colour",), Status.HOLDS, 0.9, None, "",
                     "", (), Range(5, 10, 15), Range(5, 8, 12), "unseen"),
        MethodAdvice("plastic_weld", "Weld the plastic", ("carrier",), Status.NOT_POSSIBLE, 0.0,
                     None, "", "", (Reason("Nothing here is hard plastic"),), free, free, "slight"),
    )


def plan_of(lead: str, title: str, hold: float) -> PlanAdvice:
    """A plan with one lead and some colour."""
    return PlanAdvice(
        (lead, "recolour"), (title, "Touch up the colour"), lead, title, hold,
        Range(40, 53, 72), Range(35, 55, 75), 60.0, 4.0, 3.0,
        (
            Step(lead, "Draw the lips together a little with each stitch",
                 ("Curved needles slip: keep the other hand out of the line.",)),
            Step("recolour", "Dab the colour on in thin coats", ("Air the cabin.",)),
        ),
        ("curved needle", "pliers"), ("bonded polyester thread", "colour"),
    )


def question(fact: FactDecl, why: str, gate: bool = False) -> Question:
    """A question worth asking."""
    return Question(fact.name, fact.title, fact.ask, fact.how, 12.0, 1.0, gate, why, True)


def small_advise(case: Case, pack: SmallPack) -> Advice:
    """Gates as answered, questions while they are open, the same plan throughout."""
    started = "part.kind" in case.facts and "damage.kind" in case.facts
    airbag = case.facts.get("hazard.airbag")
    state = {None: GateState.OPEN, True: GateState.CLOSED, False: GateState.CLEAR}[airbag]
    gate = GateAdvice("airbag", "hazard.airbag", "Airbag in this section", state,
                      "An airbag seam must open as it was made to", PRACTICE)
    asks: list[Question] = []
    if airbag is None and started:
        asks.append(question(pack.facts["hazard.airbag"], "A seam over an airbag is not ours",
                             True))
    if started and "core.state" not in case.facts:
        asks.append(question(pack.facts["core.state"], "Decides between stitching and new foam"))
    if not started:
        asks = [question(pack.facts[n], "Everything else follows from this")
                for n in ("part.kind", "damage.kind") if n not in case.facts]
    verdict = Verdict.ASK if asks else Verdict.PLAN
    if state is GateState.CLOSED:
        verdict, asks = Verdict.REFER, []
    planned = started and verdict is not Verdict.REFER
    plan = plan_of("hand_stitch", "Hand stitch through the existing holes", 0.96)
    other = plan_of("adhesive_bond", "Glue the lips together", 0.02)
    base = pull(case)
    return Advice(
        case=case.name, title=case.title, rules_version=pack.version,
        rules_digest=pack.digest, seed=case.seed, worlds=64, effective_worlds=64.0,
        currency="EUR", verdict=verdict,
        headline={
            Verdict.PLAN: "Stitch the seam by hand; glue would let go",
            Verdict.ASK: "Stitching leads so far; one answer may change it",
            Verdict.REFER: "An airbag sits behind this seam",
        }[verdict],
        reasons=methods_of(case)[0].because if started else (),
        plan=plan if planned else None, provisional=verdict is Verdict.ASK,
        plans=(plan, other) if planned else (), settled=0.93,
        needs=("close", "colour"), methods=methods_of(case) if started else (),
        loads=(load("sustained", base), load("cyclic", 4 * base), load("peak", 9 * base))
        if started else (),
        gates=(gate,), ask=tuple(asks),
        flips=(Flip("core.state", "State of the foam", "sound", "crumbled", "recover_panel",
                    "If the foam crumbles, a new cover leads", ("crumbles",)),) if planned else (),
        facts=tuple(state_of(fact, case) for fact in pack.asked(case)),
        cautions=("Cut away from yourself",), findings=(), notes=("Estimate, not a test result",),
    )


def started(**more: object) -> Case:
    """A split armrest seam with no airbag."""
    case = Case("x", facts={
        "part.kind": ("armrest",), "damage.kind": ("seam_open",), "hazard.airbag": False,
        "core.state": ("springs_back",),
    })
    for name, value in more.items():
        case = case.with_fact(name.replace("_", ".", 1), value)  # type: ignore[arg-type]
    return case


def without_working(advise: Callable[[Case, Any], Advice]) -> Callable[[Case, Any], Advised]:
    """An advisor of a test as a session takes it: its advice rests on no working."""
    return lambda case, pack: Advised(advise(case, pack))
