"""A kept case in words: what its history says, and what the shop saw of jobs like it.

Knows no Qt; everything here is asked in the casebook's own thread.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, cast

from advisor.facts.case import DAMAGE
from advisor.wording.sentences import capital

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook
    from advisor.casebook.outcomes.experience import Experience
    from advisor.rulegraph.model.pack import RulePack

REASONS = {
    "verdict": "the verdict changed", "stage": "a stage was left", "left": "the case was left",
    "opened": "opened to go on", "merged": "merged with another version",
    "added": "from a case file",
}  # fmt: skip
#: Differences listed of one advice calculated again.
MOST_SHOWN = 12
STATES = {"held": "held", "back": "came back", "unknown": "not known"}


@dataclass(frozen=True)
class KeptCaseWords:
    """What is shown of one case beside the list."""

    key: str
    called: str
    facts: tuple[str, ...]
    """Verdict, method and what was calculated, vehicle and customer."""
    history: tuple[str, ...]
    """Revisions and outcomes, a line each."""
    seen: tuple[str, ...]
    """What this shop saw of jobs like it."""
    damage: str
    """What is wrong with the record; empty where it is whole."""


def words_of(book: Casebook, key: str, saw: Experience) -> KeptCaseWords:
    """A case of the casebook in words, with what this shop ``saw``. Raises BadInput."""
    from advisor.casebook.cases.chain import content
    from advisor.casebook.cases.versions import links
    from advisor.casebook.finding.whose import whose
    from advisor.casebook.outcomes.entries import really_took, taken

    damage = book.damage(key)
    there = book.case(key)
    row = there.row
    facts = [f"{len(there.case.facts)} answers, verdict {row['verdict'] or 'none yet'}"]
    if row["lead"] and row["hold"] is not None:
        title = _title(book, row["lead"])
        facts.append(f"{title}: calculated to hold in {100 * row['hold']:.0f} of 100 cases")
    facts += book.read(partial(whose, ids=[there.id])).values()
    history, advice = [], None
    for each in book.read(partial(links, case_id=there.id)):
        said = content(each.body)
        advice = said["advice"] or advice
        who = f", {said['author']}" if said["author"] else ""
        reason = REASONS.get(said["reason"], said["reason"])
        history.append(f"{_day(said['at'])}: {reason}{who}")
    for version in there.versions:
        history.append(f"{_day(version.at)}: not closed yet, {version.author or 'somebody'}")
    for outcome in book.read(partial(taken, key=key)):
        after = "" if outcome.years is None else f" after {outcome.years:.1f} years"
        failed = f": {outcome.failed}" if outcome.failed else ""
        took = really_took(outcome, advice)
        history.append(f"{capital(STATES[outcome.state])}{after}{failed}{took and f'; {took}'}")
    seen = saw.beside(row["lead"] or "", row["damage"] or "", row["hold"])
    return KeptCaseWords(key, row["called"], tuple(facts), tuple(history), seen, damage)


@dataclass(frozen=True)
class ShopSaw:
    """What a shop may learn from its outcomes."""

    due: int
    jobs: int
    counts: tuple[str, ...]
    factor: str
    switched_on: bool
    """Whether the factor stands beside calculated figures."""
    cautions: tuple[str, ...]
    bins: tuple[tuple[float, float, float, float, int], ...]
    """Calculated, held, low, high (shares) and jobs of the calibration chart."""
    survival: tuple[tuple[float, float, float, float, int], ...]
    """Years, share, low, high and jobs at risk, as far as there are enough."""
    workmanship: tuple[str, ...] = ()
    """How often each method is done well, by the rules and with this shop's jobs."""


def shop_saw(book: Casebook) -> ShopSaw:
    """Counts, factor, calibration and survival of all jobs followed. Raises BadInput."""
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.outcomes.calibration import calibration
    from advisor.casebook.outcomes.entries import how_many_due, jobs
    from advisor.casebook.outcomes.experience import experience
    from advisor.casebook.outcomes.shop_factor import CAUTIONS
    from advisor.casebook.outcomes.survival import FEWEST, kaplan_meier

    now = now_ms()
    saw = book.read(partial(experience, now=now))
    listed = book.read(partial(jobs, now=now))
    counts = tuple(
        f"{_title(book, method)} on {_option(book, damage)}, {line}"
        for method, damage in saw.kinds for line in saw.of(method, damage)
    )  # fmt: skip
    workmanship = tuple(
        f"{_title(book, each.method)}: {each.text}" for each in saw.workmanship(book.pack.methods)
    )
    bins = tuple(
        (one.computed, one.share, one.low, one.high, one.jobs) for one in calibration(listed, 2.0)
    )
    moments = kaplan_meier(((job.years, job.back) for job in listed), FEWEST)
    survival = tuple((one.years, one.share, one.low, one.high, one.at_risk) for one in moments)
    return ShopSaw(
        book.read(partial(how_many_due, now=now)), len(listed), counts, saw.factor.text,
        saw.switched_on, CAUTIONS, bins, survival, workmanship,
    )  # fmt: skip


def replayed(book: Casebook, key: str, today: bool) -> str:
    """What the last advice of a case comes to now, under its own rules or those of today, and
    which of today's files changed it. Raises BadInput.
    """
    from advisor.casebook.replay.many import files_that_changed, replay_all
    from advisor.casebook.replay.replay import Result

    rules = cast("RulePack", book.pack) if today else None
    [(name, found)] = replay_all(book, [key], rules, cores=1)
    lines = [f"{name}: {found.result}{found.cause and f', cause: {found.cause}'}"]
    shown = [f"- {each}" for each in found.differences[:MOST_SHOWN]]
    more = len(found.differences) - len(shown)
    lines += shown + ([f"- and {more} more"] if more else [])
    if today and found.result is Result.DIFFERS:
        changed = ", ".join(files_that_changed(book, key)) or "several files together"
        lines.append(f"Changed by: {changed}")
    return "\n".join(lines)


def switch(book: Casebook, on: bool) -> None:
    """Have the shop factor beside calculated figures, or not. Raises BadInput."""
    from advisor.casebook.outcomes.experience import switch_factor

    book.write(partial(switch_factor, on=on))


def _title(book: Casebook, method: str) -> str:
    found = book.pack.methods.get(method)
    return found.title if found is not None else method


def _option(book: Casebook, damage: str) -> str:
    decl = book.pack.facts.get(DAMAGE)
    known = decl is not None and damage in decl.keys
    return f"“{decl.option(damage).title}”" if decl is not None and known else damage


def _day(at: int) -> str:
    return f"{datetime.fromtimestamp(at / 1000):%d %b %Y}"
