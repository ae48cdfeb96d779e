"""Reading a mark as it was copied off a part: any case, spacing and brackets."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from advisor.facts.faults import AnswerError, nearest_name
from advisor.facts.plastic_marks.mark import Filler, PlasticMark
from advisor.facts.plastic_marks.symbols import ALIASES, FORMS, KINDS, POLYMERS

#: A mark is a few words; what is longer is something else.
LONGEST = 120
#: Kinds of filler that are marked without their share at times.
BARE = frozenset(("C", "G", "K", "M", "ME", "T", "W"))
#: Said wherever one cannot be read.
ACCEPTED = "a mark such as >ABS<, >PC+ABS<, >PP-TD20<, >PP+EPDM-TD20<, >PA66-(GF25+MD15)<"

_OPEN, _CLOSE = ">›»〉》", "<‹«〈《"
_MARK = re.compile(f"[{_OPEN}]([^{_OPEN}{_CLOSE}]*)[{_CLOSE}]")
_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—−_", "-"))
_KIND = "|".join(sorted(KINDS, key=len, reverse=True))
_FORM = "|".join(sorted((form for form in FORMS if form), key=len, reverse=True))
#: ``TD20``, ``T 20``, ``GF``, ``MED(AL)10``.
_FILLER = re.compile(
    rf"({_KIND})({_FORM})?(?:\([A-Z]{{1,2}}\))?[ -]?(?:(\d{{1,3}})(?!\d) ?%?)?(?=[ ,+)(/-]|$)"
)
_SUFFIX = re.compile(r"([A-Z]{1,4})(?=[ ,+)(/-]|$)")
_RETARDANT = re.compile(r"FR[ -]?(?:\(([\d+ ]*)\)|(\d{2}))?(?=[ ,+)(-]|$)")
_PLASTICIZER = re.compile(r"(?:P ?)?\(([A-Z][A-Z0-9+ ]*)\)")
_RECYCLED = re.compile(r"(?:REC|R) ?(\d{1,3})(?!\d) ?%?(?=[ ,+)(-]|$)")
_WORD = re.compile(r"[A-Z0-9./]+")
_NYLON = re.compile(r"PA ?(\d{1,3}(?:[./]\d{1,2})?T?)(?![\d.])")
_SYMBOLS = sorted((*POLYMERS, *ALIASES), key=len, reverse=True)


@lru_cache(maxsize=256)
def read_mark(text: str) -> tuple[PlasticMark, ...]:
    """The plastics that a mark names, one for each layer, the visible one first.

    Usually one. Raises AnswerError where it is no mark, or names an unknown symbol.
    """
    inside = _inside(text)
    return tuple(_Reader(layer).read() for layer in inside.split(","))


def _inside(text: str) -> str:
    """What stands between the brackets, in capitals with single spaces."""
    if len(text) > LONGEST:
        raise AnswerError("too long for a mark", text, ACCEPTED)
    plain = unicodedata.normalize("NFKC", text).upper().translate(_DASHES)
    plain = " ".join(plain.split())
    marks = _MARK.findall(plain)
    if len(marks) > 1:
        raise AnswerError("more than one mark", text, "the mark of one piece")
    inside = marks[0] if marks else plain.strip(f"{_OPEN}{_CLOSE} ")
    inside = inside.strip()
    if not inside:
        raise AnswerError("the mark is empty", text, ACCEPTED)
    return inside


class _Reader:
    """Reads one layer from left to right."""

    def __init__(self, text: str) -> None:
        self.text = text.strip()
        self.at = 0
        self.components: list[str] = []
        self.fillers: list[Filler] = []
        self.together: float | None = None
        self.plasticizer: tuple[str, ...] = ()
        self.flame_retardant: tuple[str, ...] | None = None
        self.recycled: float | None = None

    def read(self) -> PlasticMark:
        self._polymer()
        while self.at < len(self.text):
            self._next()
        return PlasticMark(
            tuple(self.components), tuple(self.fillers), self._filled(), self.plasticizer,
            self.flame_retardant, self.recycled,
        )  # fmt: skip

    # -- polymers --------------------------------------------------------------

    def _polymer(self) -> None:
        symbol, length = self._symbol_here()
        if not symbol:
            raise self._unknown("no such plastic")
        self.at += length
        if symbol in self.components:
            raise AnswerError(f"{symbol} is named twice", self.text, "each plastic once")
        self.components.append(symbol)

    def _symbol_here(self) -> tuple[str, int]:
        """The polymer that begins here and how long it is written; ``""`` if there is none."""
        rest = self.text[self.at :]
        nylon = _NYLON.match(rest)
        if nylon:
            name = f"PA{nylon.group(1)}"
            name = ALIASES.get(name, name)
            if name in POLYMERS:
                return name, nylon.end()
        for symbol in _SYMBOLS:
            if rest.startswith(symbol) and _ends(symbol, rest[len(symbol) :]):
                return ALIASES.get(symbol, symbol), len(symbol)
        return "", 0

    # -- what follows ------------------------------------------------------------

    def _next(self) -> None:
        """One more thing of the mark: joined by a sign, a hyphen, a space or a bracket."""
        joint = re.compile(r" ?([-+/&]?) ?").match(self.text, self.at)
        sign = joint.group(1) if joint else ""
        self.at = joint.end() if joint else self.at
        if self.at == len(self.text):
            raise AnswerError("the mark breaks off", self.text, ACCEPTED)
        if sign in ("+", "/", "&"):
            if not (sign == "+" and self._recycled()):
                self._polymer()
            return
        steps = (self._suffix, self._flame, self._softener, self._recycled, self._filled_with)
        if not any(step() for step in steps):
            symbol, _ = self._symbol_here()
            if not symbol:
                raise self._unknown("this does not belong in a mark")
            self._polymer()

    def _suffix(self) -> bool:
        """A special characteristic of the last polymer: HD, U, HI."""
        found = _SUFFIX.match(self.text, self.at)
        if found is None:
            return False
        symbol = f"{self.components[-1]}-{found.group(1)}"
        if symbol not in POLYMERS or self.fillers:
            return False
        self.components[-1] = symbol
        self.at = found.end()
        return True

    def _flame(self) -> bool:
        at = self.at
        bracket = self._taken("(")
        found = _RETARDANT.match(self.text, self.at)
        if found is None or self.flame_retardant is not None:
            self.at = at
            return False
        codes = found.group(1) or found.group(2) or ""
        self.flame_retardant = tuple(codes.replace("+", " ").split())
        self.at = found.end()
        self._closed(bracket)
        return True

    def _softener(self) -> bool:
        """P(DBP), or (DBP) after PVC-P, where (REC10) still says what is recycled."""
        found = _PLASTICIZER.match(self.text, self.at)
        if found is None or self.plasticizer:
            return False
        if not found.group().startswith("P"):
            recycled = _RECYCLED.match(self.text, found.start(1))
            if recycled is not None or not self.components[-1].endswith("-P"):
                return False
        self.plasticizer = tuple(found.group(1).replace("+", " ").split())
        self.at = found.end()
        return True

    def _recycled(self) -> bool:
        at = self.at
        bracket = self._taken("(")
        found = _RECYCLED.match(self.text, self.at)
        if found is None or self.recycled is not None:
            self.at = at
            return False
        self.recycled = self._share(found.group(1), most=100)
        self.at = found.end()
        self._closed(bracket)
        return True

    def _filled_with(self) -> bool:
        """TD20, or (GF25+MD15), or (GF+MD)40."""
        at = self.at
        bracket = self._taken("(")
        filler = self._filler()
        if filler is None or (not bracket and not self._likely(filler)):
            self.at = at
            return False
        self.fillers.append(filler)
        while bracket and (self._taken("+") or self._taken("/")):
            more = self._filler()
            if more is None:
                raise self._unknown("no such filler")
            self.fillers.append(more)
        self._closed(bracket)
        if bracket:
            self._whole()
        return True

    @staticmethod
    def _likely(filler: Filler) -> bool:
        """Whether letters without a number are a filler: T and MF are, A and PC are not."""
        if filler.share is not None or filler.kind == "M":
            return True
        return filler.kind in BARE and filler.code not in POLYMERS

    def _whole(self) -> None:
        """The share of a mixture, written after its bracket."""
        found = re.compile(r" ?(\d{1,3})(?!\d) ?%?").match(self.text, self.at)
        if found and all(filler.share is None for filler in self.fillers):
            self.together = self._share(found.group(1))
            self.at = found.end()

    def _filler(self) -> Filler | None:
        self._taken("")
        found = _FILLER.match(self.text, self.at)
        if found is None:
            return None
        self.at = found.end()
        kind, form, number = found.groups()
        return Filler(kind, form or "", None if number is None else self._share(number))

    # -- small parts ---------------------------------------------------------------

    def _taken(self, sign: str) -> bool:
        """Step over spaces and ``sign`` if it stands here."""
        found = re.compile(rf" ?{re.escape(sign)} ?").match(self.text, self.at)
        if found is None:
            return False
        self.at = found.end()
        return True

    def _closed(self, bracket: bool) -> None:
        if bracket and not self._taken(")"):
            raise AnswerError("a bracket is not closed", self.text, ACCEPTED)

    def _share(self, number: str, most: int = 99) -> float:
        if not 1 <= int(number) <= most:
            raise AnswerError("not a share of the mass", number, f"1 to {most} %")
        return int(number) / 100

    def _filled(self) -> float | None:
        if not self.fillers:
            return 0.0
        if self.together is not None:
            return self.together
        shares = [filler.share for filler in self.fillers]
        if None in shares:
            return None
        whole = sum(share for share in shares if share is not None)
        if whole > 0.99:
            said = f"{round(100 * whole)} %"
            raise AnswerError("the fillers come to more than the whole", said, "99 % at most")
        return round(whole, 2)

    def _unknown(self, problem: str) -> AnswerError:
        rest = self.text[self.at :]
        word = _WORD.match(rest)
        found = word.group() if word else rest[:12]
        alike = [symbol for symbol in (*POLYMERS, *ALIASES) if symbol[:1] == found[:1]]
        near = nearest_name(found.partition("/")[0], alike or POLYMERS) if found else ""
        return AnswerError(problem, found, ACCEPTED, near)


def _ends(symbol: str, rest: str) -> bool:
    """Whether a symbol may end before ``rest``: it is over, or a filler follows at once.

    PPTD20 is PP with TD20, but PP-ED10 is not PP-E with D10.
    """
    if not rest or rest[0] in " +-/&(),%":
        return True
    return "-" not in symbol and _FILLER.match(rest) is not None
