"""One answer to one fact: from what was written or typed to a checked value."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from advisor.facts.case import Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.faults import AnswerError, nearest_name, one_of
from advisor.facts.quantity import (
    System,
    accepted_text,
    parse_quantity,
    plain_number,
    show,
    shown_unit,
)

__all__ = [
    "MAX_NAME", "MAX_TEXT", "AnswerError", "check_name", "check_text", "check_value", "highest",
]  # fmt: skip

MAX_TEXT = 2_000
MAX_NAME = 80

_YES_NO: Mapping[str, bool] = {"yes": True, "true": True, "no": False, "false": False}
#: Control characters other than tab and line feed, and halves of surrogate pairs: neither
#: a file nor a printed report can hold them.
_NOT_STORED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
_NOT_IN_NAME = re.compile('[\x00-\x1f\x7f-\x9f/\\\\:*?"<>|\u2028\u2029\ud800-\udfff\ufeff]')
_RESERVED = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)


def check_value(
    decl: FactDecl, raw: object, part_kind: str | tuple[str, ...] | None = None
) -> Value:
    """The checked answer to ``decl``.

    ``raw`` is what a file or a field holds: text, a number, yes/no, or for a choice one
    key or a list of keys ("one of these, not known which"). ``part_kind`` is the answer to
    ``part.kind`` so far; it tightens the upper bound through ``decl.high_by``. Bounds that
    are both 0 are taken as not declared. Raises AnswerError.
    """
    if decl.kind is Kind.CHOICE:
        return _choice(decl, raw)
    if decl.kind is Kind.YES_NO:
        return _yes_no(raw)
    if decl.kind is Kind.TEXT:
        return check_text(raw)
    return _quantity(decl, raw, part_kind)


def check_text(raw: object, limit: int = MAX_TEXT) -> str:
    """Free text of 1 to ``limit`` characters. Raises AnswerError."""
    accepted = f"text of at most {limit:,} characters"
    if raw is None or raw == "":
        raise AnswerError("no answer is given", "", f"{accepted}, or leave it out")
    if isinstance(raw, (int, float)) and not isinstance(raw, bool):
        raw = str(raw)
    if not isinstance(raw, str):
        raise _wrong_kind("not text", raw, accepted)
    text = raw.replace("\r\n", "\n")
    if not text.strip():
        raise AnswerError("no answer is given", "", f"{accepted}, or leave it out")
    if len(text) > limit:
        raise AnswerError(f"the text is too long: {len(text):,} characters", text, accepted)
    odd = _NOT_STORED.search(text)
    if odd:
        problem = f"a control character (U+{ord(odd.group()):04X}) is in the text"
        raise AnswerError(problem, text, accepted)
    return text


def check_name(raw: object) -> str:
    """A case's name, fit to name a file on any system. Raises AnswerError."""
    accepted = f'1 to {MAX_NAME} characters such as HB-2041, without / \\ : * ? " < > |'
    if raw is None or raw == "":
        raise AnswerError("the case has no name", "", accepted)
    if not isinstance(raw, str):
        raise _wrong_kind("not a name", raw, accepted)
    if len(raw) > MAX_NAME:
        raise AnswerError(f"the name is too long: {len(raw):,} characters", raw, accepted)
    if _NOT_IN_NAME.search(raw):
        raise AnswerError("a character that a file name cannot hold", raw, accepted)
    if raw != raw.strip() or raw.startswith(".") or raw.endswith("."):
        raise AnswerError("a name may not begin or end with a space or a point", raw, accepted)
    if _RESERVED.fullmatch(raw):
        raise AnswerError("a name that some systems keep for devices", raw, accepted)
    return raw


def _wrong_kind(problem: str, raw: object, accepted: str) -> AnswerError:
    if isinstance(raw, bool):
        return AnswerError(problem, "yes" if raw else "no", accepted)
    if isinstance(raw, (str, int, float)):
        return AnswerError(problem, str(raw), accepted)
    words = "a mapping" if isinstance(raw, Mapping) else "a list"
    return AnswerError(problem, "", accepted, found_is="nothing" if raw is None else words)


def _yes_no(raw: object) -> bool:
    if isinstance(raw, bool):
        return raw
    if raw is None or raw == "":
        raise AnswerError("no answer is given", "", "yes or no, or leave it out")
    if isinstance(raw, str):
        known = _YES_NO.get(raw.strip().casefold())
        if known is not None:
            return known
        raise AnswerError("not a yes or no", raw, "yes or no", nearest_name(raw, ("yes", "no")))
    raise _wrong_kind("not a yes or no", raw, "yes or no")


def _choice(decl: FactDecl, raw: object) -> tuple[str, ...]:
    accepted = one_of(decl.keys)
    if raw is None or raw == "":
        raise AnswerError("no answer is given", "", f"{accepted}, or leave it out")
    if isinstance(raw, (list, tuple)):
        if not raw:
            raise AnswerError("an empty list says nothing", "", f"{accepted}, or leave it out")
        keys = tuple(_key(decl, entry, accepted) for entry in raw)
        again = next((key for i, key in enumerate(keys) if key in keys[:i]), None)
        if again is not None:
            raise AnswerError("the same answer is given twice", again, "each answer once")
        return keys
    return (_key(decl, raw, accepted),)


def _key(decl: FactDecl, raw: object, accepted: str) -> str:
    # YAML reads an unquoted yes or no as a truth value; as an option it is a word.
    words = ("yes" if raw else "no") if isinstance(raw, bool) else raw
    if isinstance(words, (int, float)):
        words = str(words)
    if not isinstance(words, str):
        raise _wrong_kind("not one of the answers", raw, accepted)
    if words in decl.keys:
        return words
    raise AnswerError("not one of the answers", words, accepted, nearest_name(words, decl.keys))


def _quantity(decl: FactDecl, raw: object, part_kind: str | tuple[str, ...] | None) -> Span:
    if raw is None or raw == "":
        accepted = f"{accepted_text(decl.dimension)}, or leave it out"
        raise AnswerError("no answer is given", "", accepted)
    if isinstance(raw, bool) or not isinstance(raw, (str, int, float)):
        raise _wrong_kind(_not_a(decl.dimension), raw, accepted_text(decl.dimension))
    span = parse_quantity(raw, decl.dimension)
    if decl.whole and not (span.low.is_integer() and span.high.is_integer()):
        raise AnswerError("not a whole number", str(raw), "a count such as 2, or 2 to 4")
    if decl.low == decl.high == 0.0:
        return span
    kinds = (part_kind,) if isinstance(part_kind, str) else (part_kind or ())
    high = highest(decl, kinds)
    if high == decl.high and _outside(span, decl.low, high):
        raise _impossible("outside what is possible", "", span, decl, high)
    if _outside(span, decl.low, high):
        part = _part_words(kinds)
        raise _impossible(f"not possible on {part}", f" on {part}", span, decl, high)
    return span


def _not_a(dimension: str) -> str:
    return f"not {accepted_text(dimension).split(' such as ')[0]}"


def _outside(span: Span, low: float, high: float) -> bool:
    # Room for the last digit of a conversion: 24 in is 609.6 mm and no more.
    slack = 1e-9 * max(abs(low), abs(high))
    return span.low < low - slack or span.high > high + slack


def highest(decl: FactDecl, kinds: Iterable[str]) -> float:
    """The loosest upper bound of ``decl`` on the parts it may be: what one allows is possible."""
    bounds = [decl.high_by.get(kind, decl.high) for kind in kinds]
    return min(decl.high, max(bounds)) if bounds else decl.high


def _part_words(kinds: Iterable[str]) -> str:
    names = [kind.replace("_", " ") for kind in kinds]
    an = "an" if names[0][0] in "aeiou" else "a"
    return f"{an} {' or '.join(names)}"


def _impossible(problem: str, where: str, span: Span, decl: FactDecl, high: float) -> AnswerError:
    canonical = show(span, decl.dimension, System.METRIC)
    same = span.written.replace(" ", "") == canonical.replace(" ", "")
    # Not rounded: the bound itself must be accepted when it is copied from the message.
    unit = shown_unit(decl.dimension, System.METRIC)
    bounds = f"{plain_number(decl.low)} to {plain_number(high)}"
    accepted = f"{bounds} {unit}".rstrip() + where
    return AnswerError(problem, span.written, accepted, found_is="" if same else canonical)
