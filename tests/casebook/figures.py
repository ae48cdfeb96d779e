"""Figures of the casebook that are held to a bar, printed: ``python -m tests.casebook.figures``.

Lengths on drawn photos, Kaplan-Meier against lifelines, quantiles against scipy, the factor of
simulated shops, and the syncs of acknowledged answers (where strace is there). The tests hold
the same to their bars; kills are in ``killed.py``, 100,000 cases in ``casebook_search.py``.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import lifelines
import numpy as np
from scipy import stats

from advisor.casebook.outcomes.quantiles import beta_quantile
from advisor.casebook.outcomes.shop_factor import shop_factor
from advisor.casebook.outcomes.survival import kaplan_meier
from tests.casebook.test_journal import syncs_of_25_answers
from tests.casebook.test_outcome_figures import simulated_shop
from tests.casebook.test_photo_measures import errors_of


def lengths() -> None:
    """Root mean square error, bias and coverage of drawn photos."""
    errors, inside = errors_of(500)
    print(f"500 drawn photos at 40 degrees, clicks off by 1 px: rms {100 * rms(errors):.3f} % "
          f"(0.8), bias {100 * np.mean(errors):+.3f} % (0.1), {100 * inside:.1f} % in the span "
          "of 90 %")  # fmt: skip


def rms(errors: np.ndarray) -> float:  # type: ignore[type-arg]
    """Root mean square."""
    return float(np.sqrt(np.mean(np.square(errors))))


def survival(rng: np.random.Generator, tables: int = 100) -> None:
    """Largest difference of share and limits from lifelines."""
    apart = 0.0
    for _ in range(tables):
        times = np.round(rng.exponential(3, 60), 1) + 0.1
        back = rng.random(60) < 0.6
        fitted = lifelines.KaplanMeierFitter().fit(times, back)
        for moment in kaplan_meier(zip(times.tolist(), back.tolist(), strict=True)):
            theirs = [float(fitted.predict(moment.years))]
            ours = [moment.share]
            if moment.share > 0:
                theirs += list(fitted.confidence_interval_.loc[moment.years])
                ours += [moment.low, moment.high]
            apart = max(apart, float(np.max(np.abs(np.subtract(ours, theirs)))))
    print(f"Kaplan-Meier and its limits, {tables} tables of 60 jobs: {apart:.1e} off lifelines")


def intervals(rng: np.random.Generator, count: int = 2000) -> None:
    """Largest difference of beta quantiles from scipy."""
    apart = 0.0
    for _ in range(count):
        a, b = np.exp(rng.uniform(np.log(0.05), np.log(2000), 2))
        for share in (0.05, 0.95):
            theirs = float(stats.beta.ppf(share, a, b))
            apart = max(apart, abs(beta_quantile(share, float(a), float(b)) - theirs))
    print(f"beta intervals, {count:,} of them: {apart:.1e} off scipy")


def factors(rng: np.random.Generator) -> None:
    """The factor found in shops whose factor is known."""
    for true in (1.0, 2.0, 3.0):
        found = [shop_factor(simulated_shop(rng, 1000, true)) for _ in range(40)]
        covered = np.mean([each.low <= true <= each.high for each in found])
        print(f"40 simulated shops with factor {true:g}, 1,000 jobs each: found "
              f"{np.mean([each.mean for each in found]):.2f}, in its 90 % interval "
              f"{100 * covered:.0f} %")  # fmt: skip


if __name__ == "__main__":
    lengths()
    survival(np.random.default_rng(3))
    intervals(np.random.default_rng(4))
    factors(np.random.default_rng(5))
    if shutil.which("strace"):
        with tempfile.TemporaryDirectory() as made:
            syncs = syncs_of_25_answers(Path(made), str(Path(made) / "book"))
        print(f"25 answers given and acknowledged: {syncs} syncs of their file")
