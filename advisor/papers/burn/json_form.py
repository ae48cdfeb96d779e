"""The verdict on a burn test as JSON: the documented form of ``papers burn --json``."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from advisor.papers.burn.exact_amount import in_unit
from advisor.papers.burn.judge import Compared, Judged
from advisor.papers.burn.page import NOT_AN_APPROVAL, sentence
from advisor.papers.burn.rule_sets import Sourced

FORMAT = 1


def burn_json(judged: Judged) -> dict[str, Any]:
    """The verdict as a plain dictionary that ``json.dumps`` can write.

    Its shape is ``advisor/papers/burn/schema/burn-1.json``. Amounts are exact: ``fraction``
    is the figure as a fraction, ``shown`` the decimal, cut and not rounded.
    """
    record, rules = judged.record, judged.rule_set
    return {
        "format": FORMAT,
        "record": record.record,
        "verdict": judged.verdict.value,
        "said": sentence(judged),
        "rule_set": record.rule_set,
        "rule_set_title": rules.title if rules else None,
        "who_decides": rules.defer_to if rules else None,
        "item": record.item,
        "test": record.test,
        "limits": [_compared(one, judged) for one in judged.compared],
        "findings": [
            {"kind": one.kind.value, "text": one.text, "source": _source(one.source, judged)}
            for one in judged.findings
        ],
        "also_asked": [vars(one) for one in judged.also_asked],
        "from_memory": judged.from_memory,
        "limits_digest": judged.rules.digest,
        "not_an_approval": NOT_AN_APPROVAL,
    }


def _compared(one: Compared, judged: Judged) -> dict[str, Any]:
    return {
        "reading": one.limit.quantity,
        "direction": one.direction,
        "judged": one.limit.judged,
        "share": one.limit.share,
        "unit": one.unit,
        "limit": _amount(one.at_most, one),
        "mean": _amount(one.mean, one),
        "worst": _amount(one.worst, one),
        "worst_specimen": one.worst_specimen,
        "specimens": one.specimens,
        "meeting": one.meeting,
        "within": one.within,
        "source": _source(one.limit, judged),
    }


def _amount(value: Fraction | None, one: Compared) -> dict[str, str] | None:
    if value is None:
        return None
    return {"fraction": str(in_unit(value, one.kind, one.unit)), "shown": one.shown(value)}


def _source(source: Sourced | None, judged: Judged) -> dict[str, str] | None:
    if source is None:
        return None
    title = judged.rules.sources[source.source]
    return {"title": title, "where": source.where, "status": source.status}
