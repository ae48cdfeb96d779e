"""A burn test judged: its readings against the limits of its rule set.

Exact fractions throughout. Means are made along each direction and never over both, of
rates and never of times. What is blank is missing and never 0. Nothing is rounded: a mean
over its limit by less than half a step of the method fails, with a note for review.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from advisor.facts.faults import one_of
from advisor.papers.burn.exact_amount import UNITS, Amount, read_amount, shown
from advisor.papers.burn.record import BurnRecord, Specimen
from advisor.papers.burn.rule_sets import (
    KINDS,
    Band,
    BurnRules,
    BurnTest,
    ItemClass,
    ItemTest,
    Limit,
    Measured,
    RuleSet,
    Said,
    Sourced,
)


class Verdict(StrEnum):
    """What comes of a record; the first of these that has a finding is its verdict."""

    NOT_REQUIRED = "NOT REQUIRED"
    INVALID = "INVALID"
    INCOMPLETE = "INCOMPLETE"
    FAIL = "FAIL"
    REVIEW = "REVIEW"
    PASS = "PASS"


@dataclass(frozen=True)
class Finding:
    """Why the verdict is not PASS, or what somebody else decides."""

    kind: Verdict
    text: str
    source: Sourced | None = None


@dataclass(frozen=True)
class Compared:
    """One limit and what was compared with it, along one direction.

    Amounts are in the first unit of their ``kind``; None where there are none, or where a
    reading is missing.
    """

    limit: Limit
    direction: str
    unit: str
    """The unit it is shown in: that of the readings where they have one in common."""
    read_in: tuple[str, ...]
    """The units of the readings."""
    kind: str
    at_most: Fraction | None
    mean: Fraction | None
    worst: Fraction | None
    worst_specimen: int | None
    """Counted from 1."""
    specimens: int
    meeting: int | None
    """How many of the specimens are within, where they are counted."""
    within: bool | None

    def shown(self, value: Fraction | None) -> str:
        """An amount in the unit of the readings; "" for none."""
        return "" if value is None else shown(value, self.kind, self.unit)


@dataclass(frozen=True)
class AlsoAsked:
    """Another test that the rule set asks of the item."""

    test: str
    title: str
    from_passengers: int | None
    """Asked from so many passengers on, where their number is not given."""


@dataclass(frozen=True)
class Judged:
    """The verdict on a record with all that led to it."""

    record: BurnRecord
    verdict: Verdict
    findings: tuple[Finding, ...]
    compared: tuple[Compared, ...]
    rule_set: RuleSet | None
    item: ItemClass | None
    test: BurnTest | None
    also_asked: tuple[AlsoAsked, ...]
    rules: BurnRules

    @property
    def from_memory(self) -> bool:
        """True where a limit or a demand that took part is from memory."""
        used: list[Sourced] = [one.limit for one in self.compared]
        used += [one.source for one in self.findings if one.source is not None]
        if self.test is not None and self.verdict is not Verdict.NOT_REQUIRED:
            used += [self.test.conditioning, self.test.specimens]
        return any(one.status == "from_memory" for one in used)


def judge(record: BurnRecord, rules: BurnRules) -> Judged:
    """The verdict on ``record``, whose names for rule set, item and test are known."""
    rule_set = rules.sets.get(record.rule_set or "")
    item = rule_set.items.get(record.item or "") if rule_set else None
    test = rules.tests.get(record.test or "")
    asked = item.tests.get(record.test or "") if item else None
    findings = list(_basis(record, rules, rule_set, item, test))
    compared: tuple[Compared, ...] = ()
    if asked is not None and test is not None and not findings:
        compared = tuple(_comparisons(record, asked))
        findings += _judged(record, asked, test, compared)
    kinds = {finding.kind for finding in findings}
    verdict = next((kind for kind in Verdict if kind in kinds), Verdict.PASS)
    also = _also_asked(record, item, rules) if item else ()
    return Judged(
        record, verdict, tuple(findings), compared, rule_set, item, test, also, rules
    )  # fmt: skip


# -- what is to be judged ------------------------------------------------------------------


def _basis(
    record: BurnRecord, rules: BurnRules, rule_set: RuleSet | None, item: ItemClass | None,
    test: BurnTest | None,
) -> Iterator[Finding]:  # fmt: skip
    """Why there is nothing to compare; nothing where there is."""
    if rule_set is None:
        yield Finding(
            Verdict.INCOMPLETE,
            "rule_set is not given. The station or the maker gives it; it is never guessed from "
            "age or type.",
        )
        return
    if rule_set.review is not None:
        yield _said(Verdict.REVIEW, rule_set.review)
        return
    if item is None:
        yield Finding(Verdict.INCOMPLETE, f"item is not given; {one_of(rule_set.items)}.")
        return
    if item.not_required is not None:
        yield _said(Verdict.NOT_REQUIRED, item.not_required)
        return
    name = record.test or ""
    if test is None:
        known = one_of([*item.tests, *item.tests_not_required])
        yield Finding(Verdict.INCOMPLETE, f"test is not given; {known}.")
    elif name in item.tests_not_required:
        yield _said(Verdict.NOT_REQUIRED, item.tests_not_required[name])
    elif name not in item.tests:
        wanted = one_of(item.tests) if item.tests else "none that is known here"
        yield Finding(
            Verdict.INCOMPLETE,
            f"The test {name} is no evidence for {record.item} under {rule_set.title}; "
            f"required: {wanted}.",
        )  # fmt: skip
    else:
        yield from _passengers(record, item.tests[name])


def _passengers(record: BurnRecord, asked: ItemTest) -> Iterator[Finding]:
    least = asked.from_passengers
    if least is None:
        return
    seats = record.passengers
    basis = asked.limits[0]
    if seats is None:
        text = f"passengers is not given; the test is required from {least} passengers on."
        yield Finding(Verdict.INCOMPLETE, text, basis)
    elif seats < least:
        text = f"The test is required from {least} passengers on; this vehicle has {seats}."
        yield Finding(Verdict.NOT_REQUIRED, text, basis)


def _said(kind: Verdict, said: Said) -> Finding:
    return Finding(kind, said.text, said)


def _also_asked(record: BurnRecord, item: ItemClass, rules: BurnRules) -> tuple[AlsoAsked, ...]:
    """Tests the rule set asks of the item besides this one, and which no other stands in for."""
    seats = record.passengers
    own = item.tests.get(record.test or "")
    return tuple(
        AlsoAsked(name, rules.tests[name].title, asked.from_passengers if seats is None else None)
        for name, asked in item.tests.items()
        if name != record.test
        and asked.review is None
        and not asked.instead_of
        and not (own and name in own.instead_of)
        and not (asked.from_passengers and seats is not None and seats < asked.from_passengers)
    )


# -- how it was tested ------------------------------------------------------------------------


def _judged(
    record: BurnRecord, asked: ItemTest, test: BurnTest, compared: Sequence[Compared]
) -> Iterator[Finding]:
    yield from _air(record, test.conditioning)
    yield from _thickness(record, test)
    yield from _directions(record, test)
    for direction, specimens in record.specimens.items():
        if len(specimens) < test.specimens.least:
            along = "" if direction == "any" else f" along the {direction}"
            text = f"{len(specimens)} of at least {test.specimens.least} specimens{along}."
            yield Finding(Verdict.INCOMPLETE, text, test.specimens)
    yield from _missing(record, asked)
    if any(limit.agreed for limit in asked.limits) and record.agreed_limit is None:
        text = "agreed_limit is not given; the standard itself sets none."
        yield Finding(Verdict.INCOMPLETE, text, asked.limits[0])
    for one in compared:
        if one.within is False:
            yield Finding(Verdict.FAIL, _over(one), one.limit)
            yield from _by_rounding(one, test.resolution.get(one.limit.quantity))
    if asked.review is not None:
        yield _said(Verdict.REVIEW, asked.review)
    yield from _short(record, test.least_distance)


def _air(record: BurnRecord, band: Band) -> Iterator[Finding]:
    given = record.conditioning
    for name, amount, (low, high) in (
        ("temperature", given.temperature, band.temperature),
        ("humidity", given.humidity, band.humidity),
    ):
        if amount is None:
            yield Finding(Verdict.INCOMPLETE, f"conditioning.{name} is not given.", band)
        elif not low.value <= amount.value <= high.value:
            wanted = low.written if band.exact else f"{low.written} to {high.written}"
            text = f"conditioning.{name} is {amount.written}; the method requires {wanted}"
            if band.exact:
                more = " and names no tolerance; whether it is near enough is not known here."
                yield Finding(Verdict.REVIEW, text + more, band)
            else:
                yield Finding(Verdict.INVALID, f"{text}.", band)
    if band.or_equilibrium and given.equilibrium:
        return
    time, wanted = given.time, band.time.written
    or_else = " or moisture equilibrium" if band.or_equilibrium else ""
    if time is None:
        text = f"conditioning.time is not given; the method requires {wanted}{or_else}."
        yield Finding(Verdict.INCOMPLETE, text, band)
    elif time.value < band.time.value:
        text = f"Conditioned for {time.written}; the method requires {wanted}{or_else}."
        open_ = band.or_equilibrium and given.equilibrium is None
        yield Finding(Verdict.INCOMPLETE if open_ else Verdict.INVALID, text, band)


def _thickness(record: BurnRecord, test: BurnTest) -> Iterator[Finding]:
    tested, used = record.material.thickness, record.material.thinnest_in_use
    if tested is not None and used is not None and tested.value > used.value:
        yield Finding(
            Verdict.INVALID,
            f"Tested {tested.written} thick, used down to {used.written}: the specimen may be no "
            "thicker than the thinnest that is to be covered.",
        )
    most = test.thickest
    if most is not None and tested is not None:
        limit = read_amount(most.amount, "length")
        if tested.value > limit.value:
            text = f"Tested {tested.written} thick; the method allows at most {limit.written}."
            yield Finding(Verdict.INVALID, text, most)


def _directions(record: BurnRecord, test: BurnTest) -> Iterator[Finding]:
    groups = [name for name, specimens in record.specimens.items() if specimens]
    if not groups:
        yield Finding(Verdict.INCOMPLETE, "No specimens are given.")
    elif test.directions and record.directional is None:
        yield Finding(
            Verdict.INCOMPLETE,
            "directional is not given: whether the material has a warp and a fill, or a roll "
            "direction.",
        )
    elif test.directions and record.directional:
        for name in ("warp", "fill"):
            if name not in groups:
                text = f"No specimens along the {name}; both directions are tested."
                yield Finding(Verdict.INCOMPLETE, text)


def _short(record: BurnRecord, least: Measured | None) -> Iterator[Finding]:
    if least is None:
        return
    wanted = read_amount(least.amount, "length")
    for direction, specimens in record.specimens.items():
        for number, one in enumerate(specimens, 1):
            timed = one.distance
            if one.went_out == "did_not" and timed is not None and timed.value < wanted.value:
                text = (
                    f"{_place(direction, number)}: timed over {timed.written}; the method "
                    f"times {wanted.written} where the flame does not go out."
                )
                yield Finding(Verdict.REVIEW, text, least)


# -- readings -------------------------------------------------------------------------------


def _missing(record: BurnRecord, asked: ItemTest) -> Iterator[Finding]:
    """Every blank that a limit needs, each once."""
    quantities = dict.fromkeys(limit.quantity for limit in asked.limits)
    for direction, specimens in record.specimens.items():
        for number, specimen in enumerate(specimens, 1):
            for name in dict.fromkeys(n for q in quantities for n in _blanks(specimen, q)):
                text = f"{_place(direction, number)}: {name} is blank. A blank is not 0."
                yield Finding(Verdict.INCOMPLETE, text)


def _blanks(one: Specimen, quantity: str) -> list[str]:
    if quantity == "rate":
        if one.went_out is None:
            return ["went_out"]
        if one.went_out == "before_first_mark" or one.rate is not None:
            return []
        return [name for name in ("distance", "time") if getattr(one, name) is None]
    if quantity == "weight_loss":
        if one.weight_loss is not None:
            return []
        return [n for n in ("weight_before", "weight_after") if getattr(one, n) is None]
    names = {"cushion_burn_length": ("burn_length", "far_side_reached")}.get(quantity, (quantity,))
    return [name for name in names if getattr(one, name) is None]


def _value(one: Specimen, quantity: str) -> tuple[Fraction, str]:
    """The value of a specimen in the first unit of its kind, and the unit it was read in."""
    if quantity == "rate":
        if one.rate is not None:
            return one.rate.value, one.rate.unit
        if one.distance is None or one.time is None:  # out before the first mark
            return Fraction(0), ""
        unit = "in/min" if one.distance.unit in ("in", "ft") else "mm/min"
        return one.distance.value / (one.time.value / 60), unit
    if quantity == "weight_loss" and one.weight_loss is None:
        assert one.weight_before is not None and one.weight_after is not None
        before, after = one.weight_before.value, one.weight_after.value
        return (before - after) / before * 100, "%"
    amount = getattr(one, "burn_length" if quantity == "cushion_burn_length" else quantity)
    if isinstance(amount, bool):
        return Fraction(int(amount)), ""
    assert isinstance(amount, Amount)
    return amount.value, amount.unit


def _comparisons(record: BurnRecord, asked: ItemTest) -> Iterator[Compared]:
    for limit in asked.limits:
        for direction, specimens in record.specimens.items():
            if specimens:
                yield _compared(limit, direction, specimens, record)


def _compared(
    limit: Limit, direction: str, specimens: Sequence[Specimen], record: BurnRecord
) -> Compared:
    most = record.agreed_limit if limit.agreed else limit.amount
    at_most = None if most is None else most.value
    kind = KINDS[limit.quantity] or "number"
    unit = most.unit if most is not None else next(iter(UNITS[kind]))
    count = len(specimens)
    if any(_blanks(one, limit.quantity) for one in specimens):
        return Compared(
            limit, direction, unit, (), kind, at_most, None, None, None, count, None, None
        )  # fmt: skip
    read = [_value(one, limit.quantity) for one in specimens]
    units = tuple(sorted({unit for _, unit in read if unit}))
    unit = units[0] if len(units) == 1 else unit
    values = [value for value, _ in read]
    worst = max(values)
    mean = sum(values, Fraction(0)) / count if limit.judged == "mean" else None
    meeting: int | None = None
    within: bool | None = None
    if limit.judged == "never":
        meeting = values.count(Fraction(0))
        within = meeting == count
    elif at_most is not None and mean is not None:
        within = mean <= at_most
    elif at_most is not None:
        meets = [
            _meets(one, value, at_most, limit) for one, value in zip(specimens, values, strict=True)
        ]
        meeting = sum(meets)
        within = meeting >= count * Fraction(limit.share or 1)
        # The worst is one of those that do not meet, where there are any: a specimen that
        # went out in time may have burned faster.
        failing = [value for value, met in zip(values, meets, strict=True) if not met]
        worst = max(failing or values)
    return Compared(
        limit, direction, unit, units, kind, at_most, mean, worst, values.index(worst) + 1, count,
        meeting, within,
    )  # fmt: skip


def _meets(one: Specimen, value: Fraction, at_most: Fraction, limit: Limit) -> bool:
    if limit.quantity == "cushion_burn_length" and one.far_side_reached:
        return False
    if value <= at_most:
        return True
    clause = limit.self_out
    if clause is None or one.went_out != "before_last_mark":
        return False
    for told, allowed, below in (
        (one.distance, clause.distance_at_most, False), (one.time, clause.time_below, True),
    ):  # fmt: skip
        if allowed is None:
            continue
        if told is None or told.value > allowed.value or (below and told.value == allowed.value):
            return False
    return True


# -- in words ---------------------------------------------------------------------------------

TITLES = {
    "burn_length": "burn length", "flame_time": "flame after removal",
    "drip_flame_time": "flame of drips", "glow_time": "glow after removal",
    "penetration": "penetration", "rate": "burn rate", "weight_loss": "loss of weight",
    "cushion_burn_length": "burn length", "heat_peak": "peak heat release",
    "heat_total": "heat release in 2 min", "smoke_density": "smoke density",
    "cotton_lit": "cotton wool lit by drips",
}  # fmt: skip


def limit_words(one: Compared) -> str:
    """The limit, in its own unit and where the readings have another in theirs too."""
    limit = one.limit
    if limit.judged == "never":
        return "none"
    if one.at_most is None:
        return "not given"
    own = shown(one.at_most, one.kind, one.unit)
    if not limit.agreed and limit.amount is not None and limit.amount.unit != one.unit:
        own = f"{limit.amount.written} = {own}"
    return own


def reading_words(one: Compared) -> str:
    """``burn length along the fill``; no direction where the material has none."""
    along = "" if one.direction == "any" else f" along the {one.direction}"
    return f"{TITLES[one.limit.quantity]}{along}"


def _place(direction: str, number: int) -> str:
    along = "" if direction == "any" else f"{direction}, "
    return f"{along}specimen {number}"


def _over(one: Compared) -> str:
    """Which limit is not kept, and by what."""
    title, limit = reading_words(one), limit_words(one)
    if one.limit.judged == "mean":
        return f"{title}: mean {one.shown(one.mean)}, limit {limit}."
    if one.limit.judged == "never":
        lit = one.specimens - (one.meeting or 0)
        return f"{title}: {lit} of {one.specimens} specimens, none is allowed."
    text = f"{title}: {one.meeting} of {one.specimens} within {limit}"
    wanted = f"{one.limit.share} of them" if one.limit.share else "each of them"
    return f"{text}, {wanted} must be; the worst {one.shown(one.worst)}."


def _by_rounding(one: Compared, step: Measured | None) -> Iterator[Finding]:
    if step is None or one.mean is None or one.at_most is None:
        return
    half = read_amount(step.amount, one.kind).value / 2
    if one.mean <= one.at_most + half:
        text = (
            f"{reading_words(one)}: the mean {one.shown(one.mean)} "
            f"would be on the limit if rounded to {step.amount}. The method reads to "
            f"{step.amount} and says nothing of rounding means; it is not rounded here."
        )
        yield Finding(Verdict.REVIEW, text, step)
