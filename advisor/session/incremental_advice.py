"""The long part of the advice in slices, so that the window never waits. Knows no Qt."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from advisor.advice.result import Advice, Flip, Verdict
from advisor.facts.case import Case, Value
from advisor.rulegraph.model.pack import RulePack

#: Is told what is being done; may raise to stop it.
Watch = Callable[[str], None]

#: Tells the lead method with one fact answered otherwise.
Leader = Callable[[str, Value], str | None]


class NotTriedYetError(Exception):
    """A changed answer whose lead has not been worked out yet."""

    def __init__(self, fact: str, value: Value) -> None:
        super().__init__(fact)
        self.fact = fact
        self.value = value


def in_slices(search: Callable[[Leader], Sequence[Flip]], lead: Leader) -> Iterator[list[Flip]]:
    """Run ``search`` with at most one call of ``lead`` between two yields.

    ``search`` must give the same for the same answers of its leader: it is begun anew
    after each trial, with all earlier trials at hand, which takes no time beside one.
    Yields an empty list after each trial, and what was found at the end.
    """
    known: dict[tuple[str, Value], str | None] = {}

    def remembered(fact: str, value: Value) -> str | None:
        if (fact, value) not in known:
            raise NotTriedYetError(fact, value)
        return known[fact, value]

    while True:
        try:
            found = list(search(remembered))
        except NotTriedYetError as wanted:
            known[wanted.fact, wanted.value] = lead(wanted.fact, wanted.value)
            yield []
        else:
            yield found
            return


def thoroughly(case: Case, pack: RulePack, watch: Watch) -> Iterator[Advice]:
    """The advice from as many computed cases as a surprising measurement takes.

    First without what takes longer, then with it. ``watch`` is told what is being done
    and may stop it by raising.
    """
    from advisor.advice.advise import advise

    quick = advise(case, pack, flips=False, watch=watch)
    yield quick
    *_, full = full_in_slices(case, pack, quick, watch)
    yield full


def full_in_slices(
    case: Case, pack: RulePack, quick: Advice, watch: Watch | None = None
) -> Iterator[Advice]:
    """``quick`` with its drivers and flips, the same as the whole advice gives.

    Yields the advice as far as it has come after each slice of work; the last one is
    complete. A slice takes no longer than working the case out once.
    """
    if not quick.methods:
        yield quick
        return
    from advisor.advice.choosing.working import work_out
    from advisor.advice.what_if.flips import given_flips, open_flips
    from advisor.advice.what_if.sensitivity import drivers_of
    from advisor.advice.what_if.trials import Trials

    case = pack.as_read(case)
    working = work_out(case, pack, quick.worlds, watch, rough=quick.rough)
    worlds, plans = working.situation.worlds, working.plans
    yield quick
    if not plans:
        return
    worlds.tick("looking for what would change the choice")
    lead = plans[0].lead
    flips: list[Flip] = []
    if quick.verdict is not Verdict.REFER:
        trials = Trials.among(worlds)
        yield quick
        searches: tuple[Callable[[Leader], Sequence[Flip]], ...] = (
            lambda leader: open_flips(case, worlds, plans, leader),
            lambda leader: given_flips(case, worlds, lead, leader),
        )
        for search in searches:
            for found in in_slices(search, trials.lead):
                for flip in found:
                    if trials.stands(flip, working):
                        flips.append(flip)
                    yield replace(quick, flips=tuple(flips))
                yield replace(quick, flips=tuple(flips))
    drivers = drivers_of(working.situation.outcomes[lead], worlds)
    yield replace(quick, flips=tuple(flips), drivers=drivers)
