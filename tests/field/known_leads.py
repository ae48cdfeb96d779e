"""Which methods lead the cases that were collected apart from the rules: field and week."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.choosing.working import work_out
from advisor.facts.case import Case
from advisor.practice.generating.whole_cases import cleared
from advisor.practice.topics import DECLINE
from advisor.practice.truth import lead_or_decline
from advisor.rulegraph.model.pack import RulePack
from tests.field.table import read_cases
from tests.field.week import Teller
from tests.field.week_cases import read_week

WORLDS = 512


def known_leads(pack: RulePack) -> dict[str, str]:
    """Each method's word with a case that it leads, once no hazard is open."""
    found: dict[str, str] = {}
    for told in _cases(pack):
        case = pack.as_read(cleared(told, pack))
        if pack.is_covered(case):
            working = work_out(case, pack, WORLDS, rough=True)
            if not working.situation.worlds.misfits:
                found.setdefault(lead_or_decline(working), case.name)
    found.pop(DECLINE, None)
    return found


def _cases(pack: RulePack) -> Iterator[Case]:
    yield from read_cases(pack).values()
    week = read_week()
    teller = Teller(week, pack)
    for entry in week.cases:
        case, missing = teller.tell(entry)
        if not missing:
            yield case
