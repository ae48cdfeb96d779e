"""What a list shows of a case and a search finds in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from advisor.facts.case import DAMAGE, PART, VEHICLE, Case, Span
from advisor.facts.declaration import FactDecl


class Titled(Protocol):
    """Anything with a title."""

    @property
    def title(self) -> str:
        """Words of the trade."""
        ...


class SkinNamed(Protocol):
    """What says which fact is the skin."""

    @property
    def skin(self) -> str:
        """Name of that fact."""
        ...


class Vocabulary(Protocol):
    """The part of a rule pack that puts a case into words."""

    @property
    def facts(self) -> Mapping[str, FactDecl]:
        """Every declared fact."""
        ...

    @property
    def methods(self) -> Mapping[str, Titled]:
        """Every method."""
        ...

    @property
    def roles(self) -> SkinNamed:
        """Which fact is the skin."""
        ...


@dataclass(frozen=True)
class Description:
    """Columns of the list of cases, and all words of a case."""

    columns: dict[str, Any]
    words: str


def called(case: Case, pack: Vocabulary) -> str:
    """Vehicle, part and damage of a case; empty where none of them is known."""
    said = {
        name: _words(pack.facts.get(name), case.facts[name])
        for name in (VEHICLE, PART, DAMAGE) if name in case.facts
    }  # fmt: skip
    thing = ", ".join(said[name] for name in (VEHICLE, PART) if name in said)
    return ": ".join(each for each in (thing, said.get(DAMAGE, "")) if each)


def describe(case: Case, pack: Vocabulary, lead: str = "", more: str = "") -> Description:
    """A case in words. ``lead`` is the method advised, ``more`` further text to be found."""
    said = {name: _words(pack.facts.get(name), value) for name, value in case.facts.items()}
    thing = called(case, pack)
    method = pack.methods.get(lead)
    columns = {
        "name": case.name,
        "called": case.title or thing or case.name,
        "part": case.choice(PART),
        "damage": case.choice(DAMAGE),
        "vehicle_kind": case.choice(VEHICLE),
        "skin": case.choice(pack.roles.skin),
    }
    texts = [
        case.name, case.title, thing, case.note, more, lead, method.title if method else "",
        *said.values(), *_keys(case), *_repairs(case),
    ]  # fmt: skip
    return Description(columns, "\n".join(text for text in texts if text))


def _words(decl: FactDecl | None, value: Any) -> str:
    match value:
        case tuple():
            known = decl.keys if decl is not None else ()
            return " / ".join(
                decl.option(key).title if decl is not None and key in known else str(key)
                for key in value
            )
        case str():
            return value
        case Span(written=written):
            return written
    return ""


def _keys(case: Case) -> Iterator[str]:
    for value in case.facts.values():
        if isinstance(value, tuple):
            yield from value


def _repairs(case: Case) -> Iterator[str]:
    for repair in case.earlier_repairs or ():
        yield f"{repair.method} {repair.what} {repair.result}"
