"""Burn-test records for tests: written as YAML text and read as the program reads files."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from advisor.papers.burn.judge import Judged, judge
from advisor.papers.burn.record import burn_record_in
from advisor.papers.burn.rule_sets import shipped_rules

#: Air that is inside the band of every test.
AIRCRAFT_AIR = {"temperature": "70 degF", "humidity": "50 %", "time": "24 h"}
ROAD_AIR = {"temperature": "21 degC", "humidity": "50 %", "time": "24 h"}

Specimens = Sequence[Mapping[str, Any]]


def record(
    basis: str, specimens: Specimens | Mapping[str, Specimens], **more: Any
) -> dict[str, Any]:
    """The content of a record; ``basis`` is "rule_set item test".

    A list of specimens is of a material without directions.
    """
    rule_set, item, test = basis.split()
    groups = specimens if isinstance(specimens, Mapping) else {"any": specimens}
    air = AIRCRAFT_AIR if rule_set.startswith(("part_", "car_")) else ROAD_AIR
    return {
        "format": 1, "record": "HB-BURN-1", "rule_set": rule_set, "item": item, "test": test,
        "directional": isinstance(specimens, Mapping), "conditioning": air,
        "specimens": {name: [dict(one) for one in listed] for name, listed in groups.items()},
        **more,
    }  # fmt: skip


def judged(content: Mapping[str, Any]) -> Judged:
    """The verdict on a record, which is written as text (JSON is YAML) and read again."""
    text = json.dumps(content, indent=1)
    return judge(burn_record_in(text, "record.yaml", shipped_rules()), shipped_rules())


def columns(**readings: str | Sequence[Any]) -> list[dict[str, Any]]:
    """Specimens from the values of each reading, in text with the unit at the end.

    ``burn_length="4.2 4.6 4.4 in"``; a reading with one value has it for all specimens.
    What is no text is taken as it is.
    """
    told: dict[str, list[Any]] = {}
    for name, text in readings.items():
        if not isinstance(text, str):
            told[name] = list(text)
            continue
        words = text.split()
        figures = [word for word in words if word.replace(".", "").isdigit()]
        unit = " ".join(words[len(figures) :])
        told[name] = [f"{figure} {unit}".strip() for figure in figures] or [text]
    count = max(map(len, told.values()))
    assert all(len(values) in (1, count) for values in told.values()), told
    return [
        {name: values[i if len(values) > 1 else 0] for name, values in told.items()}
        for i in range(count)
    ]
