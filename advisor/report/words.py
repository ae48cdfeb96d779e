"""Numbers and states in words that a customer and a dealer both read alike."""

from __future__ import annotations

import math
import re

from advisor.advice.result import MethodAdvice, Origin, Range, Source, Status

SOURCE_STATUS = {
    "looked_up": "looked up",
    "from_memory": "from memory",
    "common_practice": "common practice, no source",
    "estimate": "estimate",
}

ORIGIN = {
    Origin.MEASURED: "measured",
    Origin.TOLD: "told or seen",
    Origin.ASSUMED: "assumed",
    Origin.COMPUTED: "computed",
}

STATUS = {
    Status.HOLDS: "HOLDS",
    Status.FAILS: "FAILS",
    Status.NOT_POSSIBLE: "NOT POSSIBLE HERE",
    Status.BLOCKED: "NOT ALLOWED HERE",
    Status.NOT_NEEDED: "NOT NEEDED",
}

LOOKS = {
    "unseen": "not seen once done",
    "slight": "slightly visible once done",
    "visible": "visible once done",
}


def with_status(source: Source) -> str:
    """A source and how well it is known, unless its title says that already."""
    status = SOURCE_STATUS.get(source.status, source.status)
    told = all(part in source.title.lower() for part in status.split(", "))
    return source.title if told else f"{source.title} ({status})"


#: A usage from here on means that the joint carries nothing over the years.
UNBOUNDED = 1e5

ESTIMATE = "Estimate, not a test result. Not an approval."

#: 95 % of a normal distribution lie within this many standard deviations.
Z95 = 1.96


def plain(value: float, digits: int = 2) -> str:
    """``value`` to ``digits`` significant digits, without exponent: 0.35, 12, 1400."""
    if value >= UNBOUNDED:
        return "no limit"
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    if rounded == 0:
        return "0"
    text = f"{rounded:.{max(0, places)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def figures(value: float, digits: int = 2, most_places: int | None = None) -> str:
    """As `plain`, with trailing zeros kept, for the columns of a table: 0.20, 6.0, 12.

    ``most_places`` after the point at most, so that what is slight beside the rest of the
    table does not look exact.
    """
    text = plain(value, digits)
    if value == 0 or value >= UNBOUNDED:
        return text
    wanted = places(float(text), digits)
    if most_places is None or wanted <= most_places:
        return f"{float(text):.{wanted}f}"
    text = f"{value:.{most_places}f}"
    return text if float(text) else "0"


def places(value: float, digits: int = 2) -> int:
    """Places after the point that show ``value``, which is not 0, to ``digits`` digits."""
    return max(0, digits - 1 - math.floor(math.log10(abs(value))))


def spread(value: Range, digits: int = 2) -> str:
    """``typical (low to high)``, or one figure where the ends print alike."""
    low, typical, high = (plain(v, digits) for v in (value.low, value.typical, value.high))
    return typical if low == high else f"{typical} ({low} to {high})"


def ends(value: Range, digits: int = 2) -> str:
    """``0.9 to 1.3``, or one figure where the ends print alike."""
    low, high = plain(value.low, digits), plain(value.high, digits)
    return low if low == high else f"{low} to {high}"


def money(value: float) -> str:
    """An amount as a shop quotes it: whole, from 100 up in steps of 5."""
    return f"{5 * round(value / 5) if value >= 100 else round(value)}"


def price(value: Range, currency: str) -> str:
    """``about EUR 145 (110 to 190)``."""
    low, typical, high = (money(v) for v in (value.low, value.typical, value.high))
    said = f"{currency} {typical}"
    return said if low == high else f"about {said} ({low} to {high})"


#: What fails in the lesser part of the computed cases only may fail.
MAY_FAIL_FROM = 0.5


def standing(method: MethodAdvice) -> str:
    """``HOLDS``, ``FAILS``...; a method that fails in the lesser part only ``MAY FAIL``."""
    if method.status is Status.FAILS and method.hold_probability >= MAY_FAIL_FROM:
        return f"MAY FAIL, holds in {of_hundred(method.hold_probability)}"
    return STATUS[method.status]


def duration(minutes: float) -> str:
    """``50 min`` or ``1 h 20 min``, in steps of 5 minutes from a quarter of an hour up."""
    whole = 5 * round(minutes / 5) if minutes >= 15 else max(1, round(minutes))
    hours, rest = divmod(whole, 60)
    parts = [f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest)
    return " ".join(parts)


def durations(value: Range) -> str:
    """``about 1 h 20 min (50 min to 2 h)``."""
    low, typical, high = (duration(v) for v in (value.low, value.typical, value.high))
    return typical if low == high else f"about {typical} ({low} to {high})"


def of_hundred(share: float) -> str:
    """``96 of 100``; never a certainty, which no count of drawn cases can show."""
    if share >= 0.995:
        return "more than 99 of 100"
    if share < 0.005:
        return "fewer than 1 of 100"
    return f"{round(100 * share)} of 100"


def band(share: float, draws: float) -> tuple[float, float]:
    """95 % band of a share counted in ``draws`` independent cases.

    Wilson's interval, which stays within 0..1 and honest near its ends
    (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, from memory).
    """
    n = max(draws, 1.0)
    centre = (share + Z95**2 / (2 * n)) / (1 + Z95**2 / n)
    half = Z95 / (1 + Z95**2 / n) * math.sqrt(share * (1 - share) / n + Z95**2 / (4 * n * n))
    return max(0.0, centre - half), min(1.0, centre + half)


def hold(share: float, draws: float) -> str:
    """``holds in 96 of 100 computed cases (95 to 97, ...)``."""
    low, high = (round(100 * end) for end in band(share, draws))
    said = f"holds in {of_hundred(share)} computed cases"
    at_an_end = share >= 0.995 or share < 0.005
    return said if at_an_end or high - low <= 3 else f"{said} (between {low} and {high})"


def usage(value: Range) -> str:
    """A usage as a lay person reads it: share of what the joint carries, or times too much."""
    if value.typical <= 1:
        text = f"loaded to {percent(value.typical)} of what it carries"
        return f"{text} ({percent(value.low)} to {percent(value.high)})"
    if value.typical >= UNBOUNDED:
        return "carries nothing for years"
    low, typical, high = (plain(v) for v in (value.low, value.typical, value.high))
    text = f"loaded to {typical} times what it carries"
    return text if low == high else f"{text} ({low} to {high} times)"


def percent(share: float) -> str:
    """``31 %``, ``under 1 %``; far above capacity as ``3.4 times``."""
    if share < 0.01:
        return "under 1 %"
    if share >= 2:
        return f"{plain(share)} times" if math.isfinite(share) else "no limit"
    return f"{plain(100 * share)} %"


def sentence(text: str) -> str:
    """``text`` with a capital and a full stop."""
    text = text.strip()
    if not text:
        return ""
    ending = "" if text[-1] in ".!?:" else "."
    return text[0].upper() + text[1:] + ending


#: Between a number and its unit, or a currency and its number.
_TIED = re.compile(
    r"(?<=[0-9]) (?=(?:%|°[CF]|mm|cm|m|m²|ml|l|g|kg|N|N/mm|MPa|in|in²|ft|ft²|yd|oz|lb|lbf|lbf/in"
    r"|psi|min|h|yr)(?![\w/]))|(?<=\b[A-Z]{3}) (?=[0-9])"
)


def tied(text: str) -> str:
    """``text`` with spaces that no line ends at: within "36 %", "12 mm", "EUR 62"."""
    return _TIED.sub("\u00a0", text)


def inner(title: str) -> str:
    """A title inside a sentence: ``Recolour`` to ``recolour``, but ``ABS weld`` as it is."""
    first = title.split(" ", 1)[0]
    return title if first.isupper() and len(first) > 1 else title[:1].lower() + title[1:]


def chain(titles: tuple[str, ...]) -> str:
    """A load path: ``shrunk skin > pull across the seam > glue line creeps``."""
    return " > ".join(titles)


def in_turn(titles: tuple[str, ...]) -> str:
    """``Warm the skin, then glue``: methods in the order of the work."""
    return ", then ".join((*titles[:1], *(inner(title) for title in titles[1:])))


def listed(words: tuple[str, ...]) -> str:
    """``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
