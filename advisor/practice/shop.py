"""The shop's own cases as cases to practise on, with everything taken out that names somebody."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from advisor.advice.sampling.worlds import Watch
from advisor.facts.case import DAMAGE, PART, VEHICLE, Case
from advisor.facts.declaration import Kind
from advisor.facts.faults import BadInput
from advisor.practice.cases import CaseSource, PracticeCase
from advisor.practice.demo import as_practice
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.sentences import lowered

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

#: So many of the cases worked on last are practised on.
LATEST = 200
#: Longest side of a photo, px.
PHOTO = 1400


class OwnCases:
    """The cases of a casebook that can be practised on, worked out one after the other.

    ``ask`` has something done with the casebook and gives what it gives; it may raise BadInput.
    Cases in the bin are left out. May be used from one thread at a time.
    """

    def __init__(self, pack: RulePack, ask: Callable[[Callable[[Casebook], Any]], Any]) -> None:
        self._pack, self._ask = pack, ask
        self._found: dict[str, PracticeCase | None] = {}
        """By key, what was looked at; None where it cannot be practised on."""
        self.waiting = 0
        """How many were not looked at yet."""

    def ready(self, more: int, watch: Watch | None = None) -> tuple[PracticeCase, ...]:
        """Those looked at, the one worked on last first, after looking at ``more`` new ones.

        Some tenths of a second for each new one; none where the casebook cannot be used.
        ``watch`` may stop it by raising.
        """
        try:
            keys: list[str] = self._ask(_keys)
        except BadInput:
            return ()
        new = [key for key in keys if key not in self._found]
        self.waiting = max(len(new) - more, 0)
        for key in new[:more]:
            if watch is not None:
                watch("looking at kept cases")
            self._found[key] = self._look_at(key)
        return tuple(case for key in keys if (case := self._found.get(key)) is not None)

    def _look_at(self, key: str) -> PracticeCase | None:
        try:
            case: Case = self._ask(lambda book: book.case(key).case)
        except (BadInput, KeyError):  # damaged, or erased meanwhile
            return None
        return next(iter(shop_cases([case], self._pack)), None)

    def with_photos(self, case: PracticeCase) -> PracticeCase:
        """The case with its photos of before the repair: one of after it gives the answer away."""
        key = next((key for key, found in self._found.items() if found is case), None)
        try:
            photos = self._ask(partial(_photos_before, key=key)) if key is not None else ()
        except BadInput:
            photos = ()
        return replace(case, photos=photos)


def _keys(book: Casebook) -> list[str]:
    from advisor.casebook.finding.search import recent

    return [line.key for line in book.read(partial(recent, most=LATEST))]


def _photos_before(book: Casebook, key: str) -> tuple[bytes, ...]:
    from advisor.casebook.photos.attached import BEFORE, attached, previews_of

    told = [one for one in book.read(partial(attached, key=key)) if one.moment == BEFORE]
    small = partial(previews_of, photos=told, longest=PHOTO, store=book.files)
    return tuple(filter(None, book.read(small)))


def shop_cases(cases: Iterable[Case], pack: RulePack) -> tuple[PracticeCase, ...]:
    """Those of the shop's cases that can be practised on, without whose they were.

    Left out are cases of other rules' parts, and those whose hazards nobody answered.
    """
    found: list[PracticeCase] = []
    for case in cases:
        found += as_practice(without_customer(case, pack), pack, CaseSource.CASEBOOK)
    return tuple(found)


def without_customer(case: Case, pack: RulePack) -> Case:
    """A case without its number, title, note, photos and free text; only answers stay.

    The new name follows from the old one, so that the same case keeps its simulated cases, and
    the old one cannot be read from it.
    """
    facts = {
        name: value for name, value in case.facts.items()
        if name in pack.facts and pack.facts[name].kind is not Kind.TEXT
    }  # fmt: skip
    digest = hashlib.sha256(f"practice {case.name}".encode()).hexdigest()[:8]
    repairs = case.earlier_repairs and tuple(
        type(one)(one.method) for one in case.earlier_repairs
    )
    return Case(f"S-{digest}", title_of(case, pack), facts, repairs)


def title_of(case: Case, pack: RulePack) -> str:
    """Part, vehicle and damage in words."""
    told = [
        pack.facts[fact].option(key).title
        for fact in (PART, VEHICLE, DAMAGE) if (key := case.choice(fact))
    ]  # fmt: skip
    return "; ".join([*told[:1], *map(lowered, told[1:])])
