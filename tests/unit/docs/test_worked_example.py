"""The worked example on the page about deciding must come out by hand, within a tenth."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.unit.docs.armrest_by_hand import Array, N, joints, read, usage, worked

DOCS = Path(__file__).parents[3] / "docs"
PAGE = (DOCS / "how-it-decides.md").read_text(encoding="utf-8")


def rows(heading: str) -> dict[str, list[float]]:
    _, _, table = PAGE.partition(f"\n| {heading} |")
    found = {}
    for line in table.split("\n\n")[0].splitlines()[2:]:
        name, *cells = (cell.strip() for cell in line.strip("|").split("|"))
        found[name] = [float(cell) for cell in cells if re.fullmatch(r"[0-9.]+", cell)]
    assert found, heading
    return found


def spread(values: Array, feel: str = "supple") -> list[float]:
    """5, 50 and 95 of 100, the cases weighted by how well they fit what was told."""
    order = np.argsort(values)
    share = np.cumsum(worked(feel)["weight"][order])
    at = np.searchsorted(share, np.array([0.05, 0.5, 0.95]) * share[-1])
    return [float(value) for value in values[order][at]]


def near(value: float, rel: float = 0.1) -> Any:
    return pytest.approx(value, rel=rel)


def test_the_loads_by_hand() -> None:
    v = worked("supple")
    for quoted, load in zip(
        rows("Load").values(), ("sustained", "cyclic", "hardest"), strict=True
    ):
        assert quoted == [near(figure) for figure in spread(v[load])], load


def test_the_causes_by_hand() -> None:
    v = worked("supple")
    quoted = {cause: figures[0] for cause, figures in rows("Cause").items()}
    for cause, load in (
        ("An arm drags on it", "drag"), ("Frost contracts the skin", "cold"),
        ("The padding has swollen in the damp", "swelling"),
        ("The cover was pulled on tight", "fit"),
    ):  # fmt: skip
        assert quoted[cause] == near(spread(v[load])[1]), cause


def test_the_plasticizer_by_hand() -> None:
    steps = {
        "in the skin when new, g/m2": ("held", 1), "lost to the air, %": ("air", 100),
        "extracted by cleaner and sweat, %": ("cleaner", 100),
        "lost in all, judged by the feel, %": ("felt", 100),
        "so absorbed by the padding, %": ("behind", 100),
        "shrinkage along the skin, %": ("strain", 100),
        "pull by shrinkage, N/mm": ("shrinking", 1),
    }  # fmt: skip
    quoted = rows("Plasticizer")
    assert set(quoted) == set(steps)
    for name, (step, factor) in steps.items():
        for figure, feel in zip(quoted[name], ("supple", "stiff"), strict=True):
            assert figure == near(factor * spread(worked(feel)[step], feel)[1]), (name, feel)


def test_the_usage_by_hand() -> None:
    quoted = rows("Middle figure")
    for column, (name, joint) in enumerate(joints().items()):
        for key, values in joint.items():
            assert quoted[key][column] == near(spread(values)[1]), (name, key)
        for duration, term in usage(joint).items():
            assert quoted[f"part of usage, {duration}"][column] == near(spread(term)[1])
    total = sum(usage(joints()["Glue"]).values(), np.zeros(N))
    assert rows("Method")["Glue"][:3] == [near(figure) for figure in spread(total)]


def test_the_prices_by_hand() -> None:
    """Price of time and material, and what a comeback costs, from the means of the figures."""
    def mean(figure: dict[str, Any]) -> float:
        return (figure["low"] + figure["typical"] + figure["high"]) / 3

    prices, quoted = read("prices.yaml"), rows("Plan")
    rate = mean(prices["hourly_rate"]) / 60
    minutes = {"job.hundreds": 1.2, "damage.count": 1.0, None: 1.0}
    stitch = read("methods/hand_stitch.yaml")
    work = sum(mean(line["minutes"]) * minutes[line.get("per")] for line in stitch["work"])
    thread = mean(stitch["materials"][0]["price"]) * (1 + mean(prices["material_markup"]))
    least = mean(prices["call_out_minimum"])
    price = quoted["Hand stitch through the old holes"][0]
    assert price == pytest.approx(max(work * rate + thread, least), abs=0.5)
    renewal = quoted["Re-cover with new material"][0]
    settled = renewal + mean(prices["comeback_goodwill"])
    held = {title: figures[3] / 100 for title, figures in rows("Method").items()}
    for title, (_, comeback, _, _) in quoted.items():
        assert comeback == pytest.approx((1 - held[title]) * settled, abs=3), title
    for title, (own, comeback, looks, cost) in quoted.items():
        assert cost == pytest.approx(own + comeback + looks, abs=1.5), title


def test_the_talc_by_hand() -> None:
    """Volumes add up: a fifth of talc takes PP from floating to sinking."""
    said = re.search(r"= ([\d.]+) with 20 % of it", PAGE)
    assert said is not None
    assert float(said[1]) == pytest.approx(1 / (0.8 / 0.905 + 0.2 / 2.75), abs=0.001)
    # 1 = (1 - f)/0.905 + f/2.75 where it neither floats nor sinks.
    balance = (1 / 0.905 - 1) / (1 / 0.905 - 1 / 2.75)
    assert f"Above about {100 * balance:.0f} % talc PP sinks" in PAGE
