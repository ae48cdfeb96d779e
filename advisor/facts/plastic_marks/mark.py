"""Marks moulded into plastic parts, such as ``>PP+EPDM-TD20<``.

ISO 11469 says how a mark is made up (brackets, blends, fillers in mass %, plasticizer,
flame retardant); ISO 1043-1 to 1043-4 which symbols stand in it. Nothing here knows what
a rule makes of a plastic.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.facts.plastic_marks.symbols import FORMS, KINDS


@dataclass(frozen=True)
class Filler:
    """One filler or reinforcement. ``share`` is its mass share (0 to 1), None if not marked."""

    kind: str
    form: str = ""
    share: float | None = None

    @property
    def code(self) -> str:
        """As in a mark: ``TD20``."""
        number = "" if self.share is None else f"{round(100 * self.share)}"
        return f"{self.kind}{self.form}{number}"

    @property
    def words(self) -> str:
        """In words: "20 % talc powder"."""
        name = f"{KINDS[self.kind]} {FORMS[self.form]}".rstrip()
        return f"{share_words(self.share)}{name}"


@dataclass(frozen=True)
class PlasticMark:
    """One plastic as its mark says.

    ``components`` are symbols of `plastic_symbols.POLYMERS`, the main one first.
    ``filled`` is the mass share (0 to 1) of all fillers together: the sum of theirs, or
    what is marked for a mixture as a whole; None where it is not marked, 0 without fillers.
    """

    components: tuple[str, ...]
    fillers: tuple[Filler, ...] = ()
    filled: float | None = 0.0
    plasticizer: tuple[str, ...] = ()
    """Codes of ISO 1043-3, such as DBP."""
    flame_retardant: tuple[str, ...] | None = None
    """Code numbers of ISO 1043-4; empty where only FR is marked, None where nothing is."""
    recycled: float | None = None
    """Mass share of recycled plastic (0 to 1), None where it is not marked."""

    @property
    def symbols(self) -> str:
        """The polymers alone: ``PP+EPDM``."""
        return "+".join(self.components)

    @property
    def written(self) -> str:
        """The mark as the standard has it: ``>PP+EPDM-TD20<``."""
        return f">{self._inside}<"

    @property
    def _inside(self) -> str:
        text = self.symbols
        if self.plasticizer:
            text += f"{'' if text.endswith('-P') else '-P'}({'+'.join(self.plasticizer)})"
        if self.fillers:
            text += f"-{_group(self.fillers, self.filled)}"
        if self.flame_retardant is not None:
            codes = "+".join(self.flame_retardant)
            text += f"-FR({codes})" if codes else "-FR"
        if self.recycled is not None:
            text += f"(REC{round(100 * self.recycled)})"
        return text

    @property
    def words(self) -> str:
        """In words: "PP with EPDM, 20 % talc powder"."""
        first, *rest = self.components
        said = [f"{first} with {' and '.join(rest)}" if rest else first]
        if self.plasticizer:
            said.append(f"softened with {' and '.join(self.plasticizer)}")
        said += self._filler_words()
        if self.flame_retardant is not None:
            said.append(f"flame retardant {' and '.join(self.flame_retardant)}".rstrip())
        if self.recycled is not None:
            said.append(f"{round(100 * self.recycled)} % recycled")
        return ", ".join(said)

    def _filler_words(self) -> list[str]:
        words = [filler.words for filler in self.fillers]
        if not self.fillers or all(filler.share is not None for filler in self.fillers):
            return words
        names = " and ".join(words)
        if self.filled is None:
            return [f"{names} (amount not marked)"]
        return [f"{share_words(self.filled)}{names}{' together' if len(words) > 1 else ''}"]


def _group(fillers: tuple[Filler, ...], filled: float | None) -> str:
    codes = "+".join(filler.code for filler in fillers)
    if len(fillers) == 1:
        return codes
    whole = filled is not None and any(filler.share is None for filler in fillers)
    return f"({codes}){round(100 * filled) if whole and filled else ''}"


def share_words(share: float | None) -> str:
    """"20 % " before a noun; nothing where the share is not marked."""
    return "" if share is None else f"{round(100 * share)} % "


def mark_words(layers: tuple[PlasticMark, ...]) -> str:
    """A mark in words; of several layers, the visible one first."""
    if len(layers) == 1:
        return layers[0].words
    return f"{len(layers)} layers: " + "; ".join(mark.words for mark in layers)
