"""Every fact as the advice used it: entered, measured, read from a mark, or assumed."""

from __future__ import annotations

import numpy as np

from advisor.advice.asking.value_of_information import Knowing
from advisor.advice.explaining.reasons import range_of
from advisor.advice.result import FactState, Origin
from advisor.advice.sampling.fact_draws import given_answer
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Span
from advisor.facts.declaration import Kind
from advisor.wording.amounts import for_people
from advisor.wording.answers import in_words
from advisor.wording.counts import of_hundred
from advisor.wording.figures import Range


def fact_states(worlds: SampledWorlds) -> tuple[FactState, ...]:
    """Every fact that applies, as the advice used it."""
    return tuple(
        _fact_state(decl.name, worlds)
        for decl in worlds.pack.asked(worlds.case)
        if decl.kind is not Kind.TEXT
    )


def _read_from(name: str, worlds: SampledWorlds) -> str:
    """", read from the mark >ABS<" where nobody answered but another answer says it."""
    source = worlds.case.read.get(name)
    if source is None:
        return ""
    reading = worlds.pack.reading(source, str(worlds.case.facts[source]))
    return f", read from the mark {reading.mark}" if reading is not None else ""


def _fact_state(name: str, worlds: SampledWorlds) -> FactState:
    decl = worlds.pack.facts[name]
    given = given_answer(name, worlds.case, worlds.pack)
    column = worlds.values[name]
    shares: dict[str, float] = {}
    value: Range | None = None
    if decl.kind is Kind.QUANTITY:
        value = range_of(worlds, name)
    elif decl.kind is Kind.YES_NO:
        yes = worlds.mean(column)
        shares = {"yes": yes, "no": 1.0 - yes}
    else:
        known = worlds.knowing.get(name)
        weights = known.shares if isinstance(known, Knowing) else np.bincount(
            column, worlds.weights, len(decl.keys)
        )
        shares = {
            key: share
            for key, share in zip(decl.keys, weights.tolist(), strict=True)
            if share > 0.0
        }
    if given is not None:
        origin = Origin.MEASURED if isinstance(given, Span) else Origin.TOLD
        text = in_words(decl, given) + _read_from(name, worlds)
        return FactState(name, decl.title, text, origin, decl.dimension, value, shares)
    if decl.gate:
        return FactState(name, decl.title, "not answered", Origin.ASSUMED, decl.dimension,
                         None, {})
    if value is not None:
        unit = "" if decl.unit == "1" else f" {for_people(decl.unit)}"
        text = f"assumed {value.low:.3g} to {value.high:.3g}{unit}"
    elif decl.kind is Kind.YES_NO:
        text = f"assumed yes in {of_hundred(shares['yes'])} cases"
    else:
        ranked = sorted(shares.items(), key=lambda item: -item[1])[:3]
        text = "assumed " + "; ".join(
            f"{decl.option(key).title.lower()} {round(100 * share)} %" for key, share in ranked
        )
    return FactState(name, decl.title, text, Origin.ASSUMED, decl.dimension, value, shares)
