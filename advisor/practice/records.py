"""One answered round as it is kept: what practice remembers of a learner, a line each."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field, StringConstraints

from advisor.facts.case import DAMAGE, PART
from advisor.practice.answers import Help
from advisor.practice.reveal import Reveal
from advisor.practice.truth import Truth
from advisor.rulegraph.schema.base import Strict

Word = Annotated[str, StringConstraints(max_length=120)]
Share = Annotated[float, Field(ge=0.0, le=1.0)]
Amount = Annotated[float, Field(ge=0.0, allow_inf_nan=False)]
Quadratic = Annotated[float, Field(ge=0.0, le=2.0 + 1e-9)]

#: Which transfer test a round belongs to; empty: it was practice.
TestName = Literal["", "before", "after_40", "after_80"]


class KeptRound(Strict):
    """A round, by keys of the rules; money in the currency of the rules, times in UTC."""

    at: AwareDatetime
    case: Word
    source: Literal["demo", "casebook", "generated"]
    topics: tuple[Word, ...]
    item: Word
    """Topic with the deciding fact: what is remembered or forgotten."""
    part: Word
    damage: Word
    difficulty: Share | None
    help: Help
    test: TestName = ""
    right: Word
    """The choice that was right."""
    choice: Word
    first_choice: Word
    certainty: Share
    first_certainty: Share
    good: bool
    """The choice was right or as good, and no hazard was missed."""
    regret: Amount | None
    loss: Amount | None
    best_cost: float | None
    asking: Amount
    useful_asking: Amount
    """Price of all questions that were worth asking at the first look."""
    idle_asking: Amount
    """Price of the questions asked that were not worth it."""
    minutes: Amount
    gained: float | None
    score_first: Quadratic
    score_final: Quadratic
    hazards_closed: Annotated[int, Field(ge=0)]
    """Hazards that close the job in this case."""
    hazards_missed: tuple[Word, ...]
    hazards_not_asked: Annotated[int, Field(ge=0)]
    needless_referral: bool
    governing: Word
    """The force that decides; empty where none does."""
    governing_named: Word
    """The one that the learner named."""
    seconds: Amount
    disagrees: Annotated[str, StringConstraints(max_length=1000)] = ""
    digest: Word

    @property
    def topic(self) -> str:
        """The main topic; empty where there is none."""
        return self.topics[0] if self.topics else ""

    @property
    def counts(self) -> bool:
        """Answered by the learner alone or with hints: it tells what the learner can do."""
        return self.help >= Help.HINTS

    @property
    def right_choice(self) -> bool:
        """The very choice that was right."""
        return self.choice == self.right


def kept_round(
    shown: Reveal, truth: Truth, *, at: datetime | None = None, test: TestName = ""
) -> KeptRound:
    """A round that is over, to be kept. ``at`` is now where it is None."""
    case, answer, score = shown.case, shown.answer, shown.score
    idle = sum(one.price for one in score.asked if not one.worth_asking) if score.asking else 0.0
    return KeptRound(
        at=at or datetime.now(UTC), case=case.name, source=case.source.value,
        topics=case.topics, item=case.item,
        part=case.hidden.choice(PART) or "", damage=case.hidden.choice(DAMAGE) or "",
        difficulty=case.difficulty, help=answer.help, test=test, right=shown.right,
        choice=answer.final.choice, first_choice=answer.first.choice,
        certainty=answer.final.certainty, first_certainty=answer.first.certainty,
        good=score.good, regret=score.regret, loss=score.loss, best_cost=score.best_cost,
        asking=score.asking, idle_asking=idle, minutes=score.minutes, gained=score.gained,
        useful_asking=sum(truth.price_of_asking(q.minutes) for q in truth.questions),
        score_first=score.certainty_first, score_final=score.certainty_final,
        hazards_closed=sum(one.closes for one in shown.hazards),
        hazards_missed=score.hazards_missed, hazards_not_asked=len(score.hazards_not_asked),
        needless_referral=score.needless_referral,
        governing=shown.forces.governing, governing_named=answer.governing,
        seconds=answer.seconds, disagrees=answer.disagrees[:1000], digest=case.digest,
    )  # fmt: skip
