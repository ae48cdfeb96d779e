"""Answers, figures and states in the words and units a person reads. Knows no Qt."""

from __future__ import annotations

import math

from advisor.advice.result import (
    Advice,
    FactState,
    Figure,
    GateState,
    Load,
    MethodAdvice,
    PlanAdvice,
    Source,
    Status,
    Verdict,
)
from advisor.facts.answer import check_value
from advisor.facts.case import PART, Case, Span, Value
from advisor.facts.declaration import FactDecl
from advisor.facts.faults import AnswerError
from advisor.facts.quantity import QuantityError, System, accepted_text, convert, show, shown_unit
from advisor.report.measures import Measures
from advisor.report.status_words import ORIGIN, with_status
from advisor.wording.amounts import for_people
from advisor.wording.counts import hold_words, of_hundred
from advisor.wording.figures import Range, to_digits
from advisor.wording.sentences import capital, chain, in_turn, listed, lowered, sentence

STATUS_WORDS: dict[Status, str] = {
    Status.HOLDS: "holds",
    Status.FAILS: "fails",
    Status.NOT_POSSIBLE: "not possible",
    Status.BLOCKED: "not allowed",
    Status.NOT_NEEDED: "not needed",
}
GATE_WORDS: dict[GateState, str] = {
    GateState.CLOSED: "stops the job",
    GateState.OPEN: "not answered yet",
    GateState.CAUTION: "take care",
    GateState.CLEAR: "clear",
}
ESTIMATE = "Estimate, not a test result."


def answer_text(fact: FactDecl, value: Value | None, system: System) -> str:
    """An answer as a person reads it; "open" where there is none."""
    if value is None:
        return "open"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Span):
        return show(value, fact.dimension, system)
    if isinstance(value, str):
        return value
    titles = [fact.option(key).title if key in fact.keys else key for key in value]
    # "Bus or shuttle or Car or van" would be four things.
    return (" / " if any(" or " in title for title in titles) else " or ").join(titles)


def assumed_text(state: FactState, system: System) -> str:
    """What stands for an open fact meanwhile."""
    if state.value is not None:
        return show(Span(state.value.low, state.value.high), state.dimension, system)
    return state.text.removeprefix("assumed ")


def read_amount(fact: FactDecl, text: str, case: Case) -> Span:
    """The quantity in ``text``. Raises AnswerError where it cannot be one."""
    part = case.facts.get(PART)
    value = check_value(fact, text, part if isinstance(part, tuple) else None)
    if not isinstance(value, Span):
        raise TypeError(f"{fact.name} is not a quantity")
    return value


def fault_text(error: AnswerError) -> str:
    """What is wrong with an answer, in short sentences."""
    said = sentence(error.problem)
    if error.found_is and not isinstance(error, QuantityError):
        said += f" You wrote {error.found_is}."
    elif error.found_is:
        said += f" This is {error.found_is}."
    if error.accepted:
        lead = "Write" if isinstance(error, QuantityError) else "Possible:"
        said += f" {lead} {error.accepted}."
    return for_people(f"{said} Did you mean {error.nearest}?" if error.nearest else said)


def examples(fact: FactDecl) -> list[str]:
    """Ways to write a quantity of this kind, as the reader of quantities names them."""
    return for_people(accepted_text(fact.dimension)).split(" such as ", 1)[-1].split(", ")


def sample(fact: FactDecl, system: System, stretch: float = 1.0) -> float:
    """A likely answer to a quantity, in the unit that ``system`` shows.

    ``stretch`` gives another value somewhat above it, for the other end of a range.
    """
    low = convert(fact.low, fact.dimension, system)
    high = convert(fact.high, fact.dimension, system)
    middle = 0.5 * (low + high)
    # Sizes and forces span powers of ten; degrees do not.
    if low >= 0 and high > 0 and fact.dimension != "temperature":
        middle = math.sqrt(max(low, high / 1000) * high)
    power = 10.0 ** math.floor(math.log10(abs(middle) or 1.0))
    step = max(s for s in (1, 2, 5) if s * power <= abs(middle) or s == 1)
    return math.copysign(step * power, middle) * stretch


def amount_hint(fact: FactDecl, system: System) -> str:
    """Placeholder of a quantity field, in the units in use: "for example 20 mm"."""
    if fact.high <= fact.low:
        return f"for example {examples(fact)[0]}"
    unit = shown_unit(fact.dimension, system)
    return f"for example {to_digits(sample(fact, system))} {unit}".rstrip()


def unit_hint(fact: FactDecl, system: System) -> str:
    """Line under a quantity field: what is accepted."""
    lead = "A plain number." if fact.dimension == "number" else (
        f"Written like {', '.join(examples(fact)[:4])}."
    )
    if fact.dimension == "temperature":
        lead += " C or F alone will do."
    if fact.high <= fact.low:
        return lead
    ends = (to_digits(sample(fact, system, stretch)) for stretch in (1.0, 1.2))
    both = f"{' to '.join(ends)} {shown_unit(fact.dimension, system)}".rstrip()
    return f"{lead} Not exact? Write {both}."


def range_text(value: Range, dimension: str, unit: str, system: System) -> str:
    """A figure with its spread, in the reader's units."""
    return Measures(system).shown(value, dimension, unit).text()


def figure_text(figure: Figure, system: System) -> str:
    """A figure of the working: what, how much, and how well it is known."""
    text = range_text(figure.value, figure.dimension, figure.unit, system)
    return f"{capital(figure.title)}: {text}, {ORIGIN[figure.origin]}"


def load_text(load: Load, system: System) -> str:
    """Typical value of a load with its unit."""
    middle = Range(load.value.typical, load.value.typical, load.value.typical)
    return range_text(middle, load.dimension, load.unit, system)


def source_text(source: Source) -> str:
    """A source and how well it is known."""
    return f"Source: {with_status(source)}"


MOST_NAMED = 3
"""Hazards named in a line; the page of hazards has them all."""


def settled_line(advice: Advice) -> str:
    """How settled the choice is."""
    if advice.verdict is Verdict.REFER:
        return "No plan: a hazard stops the job."
    if advice.verdict is Verdict.DECLINE:
        return "No plan: a repair is advised against."
    if advice.plan is None:
        return "No plan yet."
    if advice.open_hazards:
        called = {state.fact: state.title for state in advice.facts}
        titles = list(dict.fromkeys(
            lowered(called.get(gate.fact, gate.title)) for gate in advice.open_hazards
        ))  # fmt: skip
        more = len(titles) - MOST_NAMED
        named = [*titles[:MOST_NAMED], f"{more} more"] if more > 1 else titles
        return f"None is promised to hold before these are cleared: {listed(named)}."
    so_far = "Best so far:" if advice.provisional else "Best"
    return f"{so_far} in {of_hundred(advice.settled)} simulated cases."


def hold_line(plan: PlanAdvice) -> str:
    """The chance that a plan holds, as a count."""
    return hold_words(plan.hold_probability, plan.hold_basis)


def plan_line(plan: PlanAdvice) -> str:
    """The methods of a plan in order."""
    return capital(in_turn(plan.titles))


def standing(method: MethodAdvice, *, hazards_open: bool = False) -> str:
    """The word beside a bar; what fails in the lesser part of the cases only may fail.

    While a hazard is open nothing is said to hold.
    """
    if hazards_open and method.status is Status.HOLDS:
        return "if cleared"
    if may_fail(method):
        return "may fail"
    return STATUS_WORDS[method.status]


def may_fail(method: MethodAdvice) -> bool:
    """Whether a method fails in the lesser part of the simulated cases only."""
    return method.status is Status.FAILS and method.hold_probability >= 0.5


def breaks_by(method: MethodAdvice) -> str:
    """Why a method is out: the load path for one that fails, else the reason in words."""
    if method.status is Status.BLOCKED:
        return "Not while the hazard is there"
    if method.status is Status.FAILS:
        for reason in method.because:
            if len(reason.path_titles) > 1:
                # The last cause, the pull and how it breaks: as much as the papers say.
                return chain(reason.path_titles[-3:])
    return method.because[0].text if method.because else method.limiting_title
