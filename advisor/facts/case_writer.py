"""Case files, format 1, written: whole or not at all, always in the same order."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from advisor.facts.answer import check_name, check_text
from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl
from advisor.facts.faults import AnswerError, BadInput, Fault
from advisor.facts.marked_yaml import scalar
from advisor.facts.quantity import parse_quantity, plain_number
from advisor.facts.whole_file import write_whole

FORMAT = 1
REPAIR_KEYS = ("method", "what", "result", "lasted")


def write_case(
    case: Case,
    facts: Mapping[str, FactDecl],
    path: Path,
    before: Callable[[], None] | None = None,
) -> bytes:
    """Write ``case`` to ``path``: the old file stays whole until the new one is on disk.

    ``before`` is called in the last moment and may raise to call it off. Returns what was
    written. Raises AnswerError for a name or text that could not be read back, BadInput
    where the file cannot be written.
    """
    data = case_text(case, facts).encode("utf-8")
    try:
        write_whole(path, data, before=before)
        return data
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a usable file name"
        fault = Fault(str(path), 0, 0, "", f"cannot be written: {reason}", "", "")
        raise BadInput(fault) from None


def case_text(case: Case, facts: Mapping[str, FactDecl]) -> str:
    """The text of a case file, facts in the order of ``facts``.

    An answer to a fact that is not declared is kept at the end: it was given, and the
    rules may know it again. Raises AnswerError for a name or text that could not be read.
    """
    lines = [f"format: {FORMAT}", f"case: {_quoted(check_name(case.name))}"]
    if case.title:
        lines.append(f"title: {_quoted(check_text(case.title))}")
    if case.facts:
        lines.append("facts:")
        known = [name for name in facts if name in case.facts]
        others = sorted(name for name in case.facts if name not in facts)
        for name in (*known, *others):
            lines.append(f"  {_quoted(name)}: {value_text(case.facts[name], facts.get(name))}")
    lines.extend(_repair_lines(case))
    if case.photos:
        lines.append("photos:")
        lines.extend(f"  - {_quoted(check_text(photo))}" for photo in case.photos)
    if case.note:
        lines.extend(_note_lines(check_text(case.note)))
    return "\n".join(lines) + "\n"


def _repair_lines(case: Case) -> Iterator[str]:
    if case.earlier_repairs is None:
        return
    if not case.earlier_repairs:
        yield "earlier_repairs: []"
        return
    yield "earlier_repairs:"
    for repair in case.earlier_repairs:
        yield f"  - method: {_quoted(check_text(repair.method))}"
        for key in REPAIR_KEYS[1:]:
            text: str = getattr(repair, key)
            if text:
                yield f"    {key}: {_quoted(check_text(text))}"


def value_text(value: Value, decl: FactDecl | None) -> str:
    """An answer as a case file holds it; without ``decl`` a quantity has no unit."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Span):
        return _span_text(value, decl)
    if isinstance(value, tuple):
        keys = [_quoted(key) for key in value]
        return keys[0] if len(keys) == 1 else f"[{', '.join(keys)}]"
    return _quoted(check_text(value))


def _span_text(span: Span, decl: FactDecl | None) -> str:
    """The words of the technician where they still say what the span holds."""
    if span.written and (decl is None or _reads_as(span, decl.dimension)):
        text = span.written
    else:
        low, high = plain_number(span.low), plain_number(span.high)
        unit = decl.unit if decl is not None and decl.dimension != "number" else ""
        text = f"{low if span.exact else f'{low} to {high}'} {unit}".rstrip()
    return text if isinstance(scalar(text), (int, float)) else _quoted(text)


def _reads_as(span: Span, dimension: str) -> bool:
    try:
        return parse_quantity(span.written, dimension) == span
    except AnswerError:
        return False


#: Text that needs no quotation marks in any YAML reader: it begins with a letter or a
#: digit (or a sign and a digit) and holds nothing that has a meaning inside a list.
_PLAIN = re.compile(r"(?:[^\W_]|[-+]?[0-9])(?:[\w ./()°+%'²³-]*[\w.)°%'²³])?")
_NUMBERISH = re.compile(r"[-+]?[0-9][-+0-9a-fA-F._xXoO]*|[0-9]{4}-[0-9]{2}-[0-9]{2}.*")
_WORDS_WITH_MEANING = frozenset(("on", "off", "y", "n", "yes", "no", "true", "false", "null"))
_ESCAPED = re.compile('[\x00-\x1f\x7f-\xa0\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff"\\\\]')
_ESCAPES = {"\n": "\\n", "\t": "\\t", '"': '\\"', "\\": "\\\\"}


def _quoted(text: str) -> str:
    """``text`` as one YAML scalar that reads back as the same text."""
    if (
        _PLAIN.fullmatch(text)
        and not _NUMBERISH.fullmatch(text)
        and text.casefold() not in _WORDS_WITH_MEANING
    ):
        return text
    return f'"{_ESCAPED.sub(_escape, text)}"'


def _escape(match: re.Match[str]) -> str:
    character = match.group()
    return _ESCAPES.get(character) or f"\\u{ord(character):04X}"


def _note_lines(note: str) -> Iterator[str]:
    """A note of several lines as a block that reads as it was typed, where it can be one."""
    lines = note.split("\n")
    simple = all(line == line.rstrip() and not _ESCAPED.search(re.sub(r'["\\]', "", line))
                 for line in lines)  # fmt: skip
    if len(lines) == 1 or not simple or not lines[-1] or not lines[0] or lines[0][0].isspace():
        yield f"note: {_quoted(note)}"
        return
    yield "note: |-"
    yield from (f"  {line}" if line else "" for line in lines)
