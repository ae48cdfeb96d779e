"""What is wrong with an input, said so that the reader can put it right."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

_SHOWN = 60
_LISTED = 12
#: Control characters, line separators, direction marks and lone surrogates: each could
#: break a one-line message or hide what it says.
_UNPRINTABLE = re.compile(
    "[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]"
)


def printable(text: str, limit: int = _SHOWN) -> str:
    """``text`` on one line, control characters escaped, cut to about ``limit`` characters."""
    cut = text[:limit] + "..." if len(text) > limit else text
    return _UNPRINTABLE.sub(_escape, cut)


def _escape(match: re.Match[str]) -> str:
    return match.group().encode("unicode_escape", "surrogatepass").decode("ascii")


def one_of(names: Iterable[str]) -> str:
    """The accepted names as text; a long list is cut and says how many are left."""
    listed = list(names)
    if len(listed) == 1:
        return listed[0]
    text = ", ".join(listed[:_LISTED])
    more = len(listed) - _LISTED
    return f"one of {text}" + (f" and {more} more" if more > 0 else "")


def nearest_name(word: str, names: Iterable[str]) -> str:
    """The name most like ``word`` (upper case, spaces and hyphens do not count), or ``""``."""
    import difflib

    by_plain = {_plain(name): name for name in names}
    found = difflib.get_close_matches(_plain(word[:_SHOWN]), by_plain, n=1, cutoff=0.6)
    return by_plain[found[0]] if found else ""


def _plain(name: str) -> str:
    return name.casefold().strip().replace(" ", "_").replace("-", "_")


def sentence(problem: str, found: str, found_is: str, accepted: str, nearest: str) -> str:
    """``problem; found "..." (what it is); accepted: ... (did you mean ...?)``.

    Empty parts are left out. A ``found`` that begins with a quotation mark is not quoted
    again.
    """
    quoted = printable(found) if found.startswith('"') else f'"{printable(found)}"'
    if not found:
        shown = found_is
    elif found_is:
        shown = f"{quoted} ({found_is})"
    else:
        shown = quoted
    text = problem
    if shown:
        text += f"; found {shown}"
    if accepted:
        text += f"; accepted: {accepted}"
    if nearest:
        text += f" (did you mean {printable(nearest)}?)"
    return text


@dataclass(frozen=True)
class Fault:
    """One thing wrong in one place.

    ``line`` and ``column`` count from 1; 0 means that the place is not known.
    ``found`` is the value as it stands in the file, ``found_is`` says what it is in
    words ("a mass"); with ``found`` empty the words stand alone ("a list").
    """

    file: str
    line: int
    column: int
    field: str
    problem: str
    found: str
    accepted: str
    nearest: str = ""
    found_is: str = ""

    @property
    def text(self) -> str:
        """The fault on one line."""
        place = printable(self.file, 300)
        if self.line:
            place += f":{self.line}"
            if self.column:
                place += f":{self.column}"
        return f"{place}: {self._said}"

    @property
    def in_file_text(self) -> str:
        """The fault for a reader who knows which file is meant."""
        return f"Line {self.line}: {self._said}" if self.line else self._said

    @property
    def _said(self) -> str:
        field = f"{printable(self.field, 100)}: " if self.field else ""
        said = sentence(self.problem, self.found, self.found_is, self.accepted, self.nearest)
        return f"{field}{said}"


class BadInput(Exception):  # noqa: N818 - the name is what the reader of a message sees
    """Input that cannot be used. ``faults`` holds every fault, sorted by position."""

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        """Take one fault or many."""
        listed = (faults,) if isinstance(faults, Fault) else tuple(faults)
        self.faults = tuple(sorted(listed, key=lambda f: (f.file, f.line, f.column)))
        super().__init__(self.faults)

    def __str__(self) -> str:
        """All faults, one a line."""
        return "\n".join(fault.text for fault in self.faults)


class AnswerError(ValueError):
    """An answer that a fact does not accept, without a place: a file or a field adds that."""

    def __init__(
        self, problem: str, found: str, accepted: str, nearest: str = "", found_is: str = ""
    ) -> None:
        """Parts as in `Fault`."""
        super().__init__(problem, found, accepted, nearest, found_is)
        self.problem = problem
        self.found = found
        self.accepted = accepted
        self.nearest = nearest
        self.found_is = found_is

    def __str__(self) -> str:
        """The fault in one line."""
        return sentence(self.problem, self.found, self.found_is, self.accepted, self.nearest)

    def at(self, file: str, line: int, column: int, field: str) -> Fault:
        """The same fault with its place."""
        return Fault(
            file, line, column, field,
            self.problem, self.found, self.accepted, self.nearest, self.found_is,
        )  # fmt: skip
