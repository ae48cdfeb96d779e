"""A shop's own tests on scrap stand in for estimates: what follows from readings, and faults."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.random import default_rng

from advisor.advice.advise import advise
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.faults import BadInput
from advisor.paths import demo_folder, overlay_folder, rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.nodes import triangular
from advisor.rulegraph.model.own_tests import share_after_ten_years, spread_of
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import case, demo
from tests.unit.cli.command import Command

LOOP = """
tests:
  loop_of_ours:
    value: hand_stitch.thread_strength
    unit: N
    readings: [71, 66, 74, 69, 70]
    divide_by: 1.5
    date: 2026-11-20
    how: A loop of the thread in another, pulled until it broke.
"""
TEAR = """
tests:
  tear_of_ours:
    value: skin.new_tear_force
    of: leather
    unit: N
    readings: [31, 28, 35, 30]
    date: 2026-11-22
    how: A tongue cut into scrap and torn.
"""
LAP = """
tests:
  lap_of_ours:
    value: backing_patch.lap_sustained
    unit: "1"
    readings: [0.9, 0.92, 0.91]
    hung_hours: 72
    date: 2026-11-21
    how: Laps on scrap, a weight on each for three days.
"""


@pytest.fixture
def with_tests(tmp_path: Path) -> Callable[[str], RulePack]:
    def loaded(text: str) -> RulePack:
        (tmp_path / "own_tests.yaml").write_text(text, encoding="utf-8")
        return load_pack(rules_folder(), tmp_path)

    return loaded


def fault(text: str, load: Callable[[str], RulePack]) -> str:
    with pytest.raises(BadInput) as bad:
        load(text)
    assert len(bad.value.faults) == 1
    return str(bad.value)


# -- the spread that follows from readings --------------------------------------------


def test_the_next_sample_lies_in_the_range_as_often_as_said() -> None:
    """Source: prediction interval of a normal sample. 90 of 100 between the 5 and 95 % points."""
    rng = default_rng(1)
    for n in (3, 5, 12, 40):
        inside = 0
        for _ in range(4000):
            values = rng.normal(100.0, 8.0, n + 1)
            low, typical, high = spread_of(list(values[:n]), (1.0, 2.0, 3.0))
            at = triangular(np.array([0.05, 0.95]), low, typical, high)
            inside += bool(at[0] <= values[n] <= at[1])
        assert inside / 4000 == pytest.approx(0.90, abs=0.02), n


def test_five_readings_by_hand() -> None:
    """Mean 46.67, s 1.93 N of the five loops over 1.5; t(4) = 2.132; 0.6838 w = t s sqrt(1.2)."""
    read = [pull / 1.5 for pull in (71, 66, 74, 69, 70)]
    low, typical, high = spread_of(read, (38, 48.9, 53))
    assert typical == pytest.approx(46.67, abs=0.01)
    assert (low, high) == (pytest.approx(40.1, abs=0.2), pytest.approx(53.3, abs=0.2))


@pytest.mark.parametrize("readings", [[30.0], [28.0, 32.0]])
def test_few_samples_move_the_figure_and_keep_its_range(readings: list[float]) -> None:
    assert spread_of(readings, (20.0, 60.0, 90.0)) == pytest.approx((10.0, 30.0, 45.0))


def test_more_samples_that_scatter_alike_are_narrower() -> None:
    widths = []
    for n in (3, 6, 12, 24):
        values = [100.0 + 5.0 * (-1) ** k for k in range(n)]
        low, _, high = spread_of(values, (1.0, 2.0, 3.0))
        widths.append(high - low)
    assert widths == sorted(widths, reverse=True)


def test_what_hung_for_days_is_less_after_ten_years() -> None:
    """Even with the logarithm of time: 72 h are 3.64 decades of a minute, ten years 6.72."""
    assert share_after_ten_years(0.55, 72.0) == pytest.approx(1 - 0.45 * 6.721 / 3.635, abs=1e-3)
    assert share_after_ten_years(0.55, 87_660.0) == pytest.approx(0.55, abs=1e-6)
    assert share_after_ten_years(0.1, 1.0) == 0.01
    for hours in (1.0, 100.0, 10_000.0):
        assert share_after_ten_years(0.9, hours) <= share_after_ten_years(0.95, hours)


# -- in the rules ----------------------------------------------------------------------


def test_a_figure_is_drawn_from_what_was_read(with_tests: Callable[[str], RulePack]) -> None:
    pack = with_tests(LOOP)
    worlds = SampledWorlds(demo("split_armrest", pack), pack, 2048)
    drawn = worlds.values["hand_stitch.thread_strength"]
    assert drawn.mean() == pytest.approx(46.67, abs=0.3)
    node = pack.nodes["hand_stitch.thread_strength"]
    assert pack.sources[node.source].title.startswith("Own test of 2026-11-20, 5 samples: A loop")
    assert pack.own.added == ("own_tests.yaml",)


def test_only_the_row_that_was_tested_changes(with_tests: Callable[[str], RulePack]) -> None:
    pack, shipped = with_tests(TEAR), load_pack(rules_folder())
    for skin in ("leather", "vinyl_backed"):
        told = case(part__kind="seat_cushion", vehicle__kind="car", damage__kind="tear",
                    skin__material=skin)  # fmt: skip
        both = [SampledWorlds(told, rules, 512) for rules in (pack, shipped)]
        own, before = (worlds.values["skin.new_tear_force"] for worlds in both)
        assert np.array_equal(own, before) == (skin != "leather")
        assert skin != "leather" or own.mean() == pytest.approx(31.0, abs=1.0)


def test_without_them_the_rules_are_as_shipped(with_tests: Callable[[str], RulePack]) -> None:
    pack = with_tests(TEAR.rstrip() + "\n" + LAP.partition("tests:\n")[2])
    shipped = load_pack(rules_folder())
    told = demo("torn_deck_cushion", pack)
    before = advise(told, pack.without_own_tests, 512, flips=False)
    assert before.plans == advise(told, shipped, 512, flips=False).plans
    assert [test.key for test in pack.own_tests] == ["tear_of_ours", "lap_of_ours"]
    assert pack.digest != shipped.digest


def test_a_better_cement_makes_the_patch_hold_better(
    with_tests: Callable[[str], RulePack]
) -> None:
    pack = with_tests(LAP)
    told = case(part__kind="seat_cushion", vehicle__kind="car", damage__kind="tear",
                skin__material="vinyl_backed", skin__feel="supple", damage__length=60.0,
                core__state="springs_back")  # fmt: skip

    def patch(rules: RulePack) -> float:
        methods = advise(told, rules, 2048, flips=False).methods
        return next(m.hold_probability for m in methods if m.method == "backing_patch")

    assert patch(pack) > patch(pack.without_own_tests) + 0.02


# -- faults ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "instead", "said"),
    [
        ("value: hand_stitch.thread_strength", "value: hand_stitch.thread_strenght",
         "4:12: tests.loop_of_ours.value: no such figure; found \"hand_stitch.thread_strenght\"; "
         "accepted: a figure of the rules that is drawn from a range "
         "(did you mean hand_stitch.thread_strength?)"),
        ("value: hand_stitch.thread_strength", "value: thread.old_strength",
         "4:12: tests.loop_of_ours.value: is calculated from other figures"),
        ("unit: N", "unit: kg",
         '5:11: tests.loop_of_ours.unit: wrong unit; found "kg"; accepted: N'),
        ("    divide_by: 1.5", "    of: leather",
         "7:9: tests.loop_of_ours.of: the figure is one for all and has no rows"),
        ("    divide_by: 1.5", "    hung_hours: 72",
         "4:5: tests.loop_of_ours: what hung for hours is told as a share"),
        ("[71, 66, 74, 69, 70]", "[]", "6:15: tests.loop_of_ours.readings: "),
        ("[71, 66, 74, 69, 70]", "[71, -2]",
         "6:20: tests.loop_of_ours.readings.1: outside the range"),
        ("2026-11-20", "lately", "8:11: tests.loop_of_ours.date: "),
        ("divide_by", "divided_by", "7:5: tests.loop_of_ours.divided_by: "),
    ],
)  # fmt: skip
def test_faults_name_the_line(
    written: str, instead: str, said: str, with_tests: Callable[[str], RulePack]
) -> None:
    assert written in LOOP
    found = fault(LOOP.replace(written, instead), with_tests)
    assert "own_tests.yaml:" in found and said in found, found


def test_a_table_wants_its_row(with_tests: Callable[[str], RulePack]) -> None:
    found = fault(TEAR.replace("    of: leather\n", ""), with_tests)
    assert "own_tests.yaml:4:5" in found and "say of which" in found and "leather" in found
    assert "did you mean leather?" in fault(TEAR.replace("leather", "lether"), with_tests)


def test_one_figure_has_one_test(with_tests: Callable[[str], RulePack]) -> None:
    again = TEAR.partition("tests:\n")[2].replace("tear_of_ours", "tear_again")
    assert "put all readings into one test" in fault(TEAR.rstrip() + "\n" + again, with_tests)


# -- the command -----------------------------------------------------------------------


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    overlay_folder().mkdir(parents=True)
    return overlay_folder()


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Command:
    return Command(capsys, tmp_path)


def test_the_command_shows_the_advice_with_and_without(own_folder: Path, run: Command) -> None:
    (own_folder / "own_tests.yaml").write_text(LAP, encoding="utf-8")
    told = str(demo_folder() / "torn_deck_cushion.yaml")
    text = run("rules", "tests", told, "--worlds", "512").out
    assert "lap_of_ours: Share of the lap's strength, long-term; 0.8" in text
    assert "(before: 0.35 (0.28 to 0.45))" in text and "3 samples" in text
    assert "with your tests:" in text and "without them:" in text and "The choice is" in text
    form = json.loads(run("rules", "tests", told, "--worlds", "512", "--json").out)
    (one,), (compared,) = form["tests"], form["cases"]
    assert one["value"] == "backing_patch.lap_sustained" and one["samples"] == 3
    assert compared["with"]["methods"] and compared["changed"] in (True, False)
    assert compared["with"]["hold_probability"] >= compared["without"]["hold_probability"]


def test_the_command_says_where_there_are_none(own_folder: Path, run: Command) -> None:
    assert run("rules", "tests").out == "No tests of your own.\n"
