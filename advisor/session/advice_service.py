"""What the window needs of a rule pack and of the advisor, and nothing more."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Any, Protocol

from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Option

if TYPE_CHECKING:
    from advisor.advice.advise import Advised
    from advisor.rulegraph.model.own_rules import OwnRules
    from advisor.rulegraph.model.pack import RulePack
    from advisor.rulegraph.model.plastics import Reading
    from advisor.rulegraph.model.roles import Roles
    from advisor.rulegraph.model.section import SectionRules


class Titled(Protocol):
    """Anything that carries a title a person reads."""

    @property
    def title(self) -> str:
        """Words of the trade."""
        ...


class Pack(Protocol):
    """The part of a rule pack that the window reads."""

    @property
    def facts(self) -> Mapping[str, FactDecl]:
        """Every declared fact, in asking order."""
        ...

    @property
    def methods(self) -> Mapping[str, Titled]:
        """Every repair method by key."""
        ...

    @property
    def roles(self) -> Roles:
        """Which fact plays which role in the drawing."""
        ...

    @property
    def section(self) -> SectionRules:
        """How answers are drawn."""
        ...

    @property
    def version(self) -> str:
        """Version of the rules."""
        ...

    @property
    def digest(self) -> str:
        """Digest of the rules, overlay included."""
        ...

    def offered(self, fact: str, case: Case) -> tuple[Option, ...]:
        """Options of a choice that go with the other answers of the case."""
        ...

    @property
    def own(self) -> OwnRules:
        """What the shop's own folder does to the rules."""
        ...

    @property
    def currency(self) -> str:
        """Currency of every price."""
        ...

    def asked(self, case: Case, /) -> tuple[FactDecl, ...]:
        """The facts that apply to this case."""
        ...

    def reading(self, fact: str, text: str, /) -> Reading | None:
        """What a text says about another fact; None where nothing is read from it."""
        ...


#: Gives the quick advice on a case under a pack, with its working.
Advise = Callable[[Case, Any], "Advised"]

#: Gives the advice with all that takes longer, from a case, a pack and the quick advice: what
#: has been found so far after each slice of work, complete in the end.
AdviseInSlices = Callable[[Case, Any, "Advised"], Iterator["Advised"]]

#: Gives the advice from as many simulated cases as it takes, first quick, then with all that
#: takes longer; tells its last argument what it is doing, which may stop it by raising.
AdviseThoroughly = Callable[[Case, Any, Callable[[str], None]], Iterator["Advised"]]


@dataclass
class FullAdvice:
    """The long advice on one case, as far as it has been worked out."""

    case: Case | None = None
    steps: Iterator[Advised] | None = None
    found: Advised | None = None
    complete: bool = False

    def work(self) -> bool:
        """One step; False once there is none left."""
        step = None if self.steps is None else next(self.steps, None)
        self.found = step or self.found
        if step is None:
            self.end()
        return not self.complete

    def end(self) -> None:
        """Nothing more will come: what only the long advice was calculated from is dropped."""
        self.complete = True
        working = self.found.working if self.found is not None else None
        if working is not None:
            working.forget_calculated()


def load_advisor(pack: Pack) -> Iterator[str]:
    """Load what the first advice needs, a piece at a time, each about a tenth of a second."""
    if pack.methods:
        yield "the methods of the rules"
    for module in ("numpy", "advisor.mechanics", "advisor.advice.advise"):
        import_module(module)
        yield module


def quick_advice(case: Case, pack: RulePack) -> Advised:
    """The advice without what takes longer, rough where few simulated cases fit.

    The advisor is loaded when it is first asked.
    """
    from advisor.advice.advise import advise_quick

    return advise_quick(case, pack, rough=True)


def full_in_slices(case: Case, pack: RulePack, quick: Advised) -> Iterator[Advised]:
    """The long advice, a piece of work at a time; worked out anew where no working was kept."""
    from advisor.advice.advise import advise_quick, in_full

    advice = quick.advice
    if quick.working is None and advice.methods:
        quick = advise_quick(case, pack, advice.worlds, rough=advice.rough)
    yield from in_full(quick)


def thoroughly(
    case: Case, pack: RulePack, watch: Callable[[str], None]
) -> Iterator[Advised]:
    """The advice from as many simulated cases as a surprising measurement takes.

    First without what takes longer, then with it. ``watch`` is told what is being done and
    may stop it by raising. The working is handed over once nothing is done with it here.
    """
    from advisor.advice.advise import Advised, advise_quick, in_full

    quick = advise_quick(case, pack, watch=watch)
    yield Advised(quick.advice)
    *_, full = in_full(quick)
    if full.working is not None:
        full.working.situation.worlds.watch = None
    yield full
