"""A technician at work in a test: answers that are kept, taken in and closed."""

from __future__ import annotations

from advisor.casebook.book import Casebook
from advisor.casebook.cases.advised import Advised
from advisor.casebook.cases.keep import Closing
from advisor.casebook.journal.journal import Journal
from advisor.casebook.journal.keeper import Keeper
from advisor.facts.case import Case, Value

#: Milliseconds since 1970 at which the tests play: 14 July 2017.
NOON = 1_500_000_000_000


class Technician:
    """One person in one window."""

    def __init__(self, book: Casebook, journal: Journal, name: str = "Ada") -> None:
        self.book, self.name = book, name
        self.now = NOON
        self.keeper = Keeper(journal, name, lambda: self.now)
        self.case = Case("")

    def begins(self, name: str, **facts: Value) -> str:
        """A new case; its key."""
        self.case = Case(name)
        self.keeper.begin(self.case)
        for fact, value in facts.items():
            self.answers(fact.replace("__", "."), value)
        return self.keeper.key

    def opens(self, key: str) -> None:
        """A case of the casebook."""
        self.taken_in()
        there = self.book.open_for_work(key, self.name)
        self.case = there.case
        self.keeper.begin(there.case, key=key, base=there.number)

    def answers(self, fact: str, value: Value) -> None:
        """One answer, kept."""
        self.case = self.case.with_fact(fact, value)
        assert self.keeper.keep(self.case)

    def changes(self, case: Case) -> None:
        """Anything else, kept."""
        self.case = case
        assert self.keeper.keep(case)

    def taken_in(self) -> None:
        """What is in the journal goes into the casebook."""
        self.book.take_in(self.keeper.journal)

    def closes(
        self, reason: str = "stage", advice: Advised | None = None, seen: int | None = None
    ) -> int:
        """A revision of all answers so far."""
        self.taken_in()
        closing = Closing(
            self.case, {self.keeper.writer: self.keeper.serial},
            self.keeper.base if seen is None else seen, reason, self.name, self.now, advice,
        )  # fmt: skip
        number = self.book.close(self.keeper.key, closing)
        self.keeper.closed(number)
        return number
