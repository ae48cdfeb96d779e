"""What a shop's own folder does to the rules: said wherever there is advice."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SwitchedOff:
    """A hazard question that a shop does not ask, and who answers for that."""

    hazard: str
    title: str
    reason: str
    name: str
    day: str
    """Date on which it was signed, as in ISO 8601."""

    @property
    def sentence(self) -> str:
        """For every page and paper."""
        return (
            f"The shop has switched off a hazard question: {self.title}. "
            f"Reason: {self.reason} Signed by {self.name} on {self.day}."
        )


@dataclass(frozen=True)
class OwnRules:
    """Files of a shop's own folder, what of the program's rules they leave out, and hazards."""

    added: tuple[str, ...] = ()
    """Files that the program's rules do not have."""
    replaced: tuple[str, ...] = ()
    """Files that replace one of the program's."""
    hidden: tuple[str, ...] = ()
    """Entries of the program's files that the file in their place does not have."""
    kept: tuple[str, ...] = ()
    """What stays as the program has it though an own file leaves it out: hazards."""
    switched_off: tuple[SwitchedOff, ...] = ()
    broken: tuple[str, ...] = ()
    """Files with faults, for which none of the shop's files is used."""

    def __bool__(self) -> bool:
        return bool(self.added or self.replaced or self.switched_off or self.broken)

    @property
    def files(self) -> tuple[str, ...]:
        """All files of the shop that are used, in order."""
        return tuple(sorted((*self.added, *self.replaced)))

    @property
    def sentences(self) -> tuple[str, ...]:
        """For every page and paper, what matters most first."""
        return (*(one.sentence for one in self.switched_off), *self.changes)

    @property
    def changes(self) -> tuple[str, ...]:
        """What the shop's files do, besides switching off a hazard."""
        return tuple(
            f"{words}: {', '.join(names)}."
            for words, names in (
                ("The shop's own rules are left out, for faults in", self.broken),
                ("Added by the shop", self.added),
                ("Replaced by the shop", self.replaced),
                ("Left out by the shop's files", self.hidden),
                ("Asked all the same, though the shop's files leave it out", self.kept),
            )
            if names
        )


#: The rules as the program has them.
NO_OWN_RULES = OwnRules()
