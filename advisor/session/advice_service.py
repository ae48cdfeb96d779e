"""What the window needs of a rule pack and of the advisor, and nothing more."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl

if TYPE_CHECKING:
    from advisor.advice.result import Advice
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


#: Gives the advice on a case under a pack.
Advise = Callable[[Case, Any], "Advice"]

#: Gives the advice with all that takes longer, from a case, a pack and the quick advice;
#: what has been worked out so far after each slice of work, complete in the end.
AdviseInSlices = Callable[[Case, Any, "Advice"], Iterator["Advice"]]

#: Gives the advice from as many computed cases as it takes, first quick, then with all that
#: takes longer; tells its last argument what it is doing, which may stop it by raising.
AdviseThoroughly = Callable[[Case, Any, Callable[[str], None]], Iterator["Advice"]]


@dataclass
class FullAdvice:
    """The long advice on one case, as far as it has been worked out."""

    case: Case | None = None
    steps: Iterator[Advice] | None = None
    advice: Advice | None = None
    complete: bool = False

    def work(self) -> bool:
        """One step; False once there is none left."""
        step = None if self.steps is None else next(self.steps, None)
        self.complete = step is None
        self.advice = step or self.advice
        return not self.complete
