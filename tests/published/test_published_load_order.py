"""Which load governs a split armrest: an order, drawn from stated ranges.

The ranges are those of the tables behind the single checks (sources named there): skin
E from Shore A by Gent and Ruess, shrinkage 0.2 to 2 % from trade experience, arm forces
from Turner et al. 2004 and own estimates. They are partly estimates, so the tests hold
the order and its share of draws, not the digits.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.typing import NDArray

from advisor.mechanics import foam, occupant, tension, vinyl

DRAWS = 200_000
SAMPLING = 0.005  # three standard errors of a share near 0.5 are 0.0034
Draws = NDArray[np.float64]


@pytest.fixture(scope="module")
def loads() -> dict[str, Draws]:
    """Line tension [N/mm] by cause."""
    rng = np.random.default_rng(20)

    def even(low: float, high: float) -> Draws:
        return rng.uniform(low, high, DRAWS)

    def spread(low: float, high: float) -> Draws:
        """Log-uniform: for what is known to an order rather than a tolerance."""
        return np.exp(rng.uniform(np.log(low), np.log(high), DRAWS))

    stiffness = tension.stretched_stiffness(spread(6.0, 20.0), even(0.9, 1.3))
    nu = even(0.40, 0.49)
    left = vinyl.ramp_relaxation(spread(1.0, 15.0), even(0.05, 0.12))
    soft = spread(0.004, 0.010)  # plateau stress of moulded seat foam [MPa]
    thickness, area = even(8.0, 40.0), spread(1000.0, 6000.0)
    misfit, b_warm, b_cold = spread(20e-6, 120e-6), even(0.02, 0.045), even(0.06, 0.10)
    warm = even(20.0, 40.0)  # stress-free temperature, the day before [degC]

    def night(low: float, high: float) -> Draws:
        return np.asarray(
            tension.cooling_tension(stiffness, nu, misfit, warm, even(low, high), b_warm, b_cold)
        )

    friction, width = even(0.3, 0.7), even(60.0, 110.0)
    dent = occupant.elbow_dent(even(60.0, 220.0), area, soft, thickness)
    stretch = occupant.dent_strain(dent, occupant.dent_half_width(area, thickness))
    found = {
        "shrinkage": tension.restrained_tension(stiffness, spread(0.002, 0.02), nu) * left,
        "mild night": night(5.0, 15.0),
        "frost": night(-20.0, 0.0),
        "swelling": tension.swelling_tension(
            spread(0.001, 0.008), foam.foam_modulus(soft), 0.3, thickness, even(20, 60), stiffness
        ),
        "dent": stiffness * stretch,
        "drag": occupant.drag_tension(friction, even(60.0, 160.0), width),
        "push-off": occupant.drag_tension(friction, even(150.0, 330.0), width),
    }
    return {name: np.asarray(draws) for name, draws in found.items()}


def share(condition: NDArray[np.bool_]) -> float:
    return float(np.mean(condition))


def test_the_occupant_is_the_peak_in_a_mild_climate(loads: dict[str, Draws]) -> None:
    """Drag or dent alone beats the sum of all that stands still in over 95 % of draws."""
    still = loads["shrinkage"] + loads["mild night"] + loads["swelling"]
    occupant_peak = np.maximum(loads["drag"], loads["dent"])
    assert share(occupant_peak > still) > 0.95 + SAMPLING
    assert share(loads["push-off"] > still) > 0.98 + SAMPLING


def test_frost_narrows_the_lead(loads: dict[str, Draws]) -> None:
    """With a night of -20 to 0 degC the occupant still leads in most draws, in fewer."""
    mild = loads["shrinkage"] + loads["mild night"] + loads["swelling"]
    frost = loads["shrinkage"] + loads["frost"] + loads["swelling"]
    occupant_peak = np.maximum(loads["drag"], loads["dent"])
    assert 0.70 < share(occupant_peak > frost) < share(occupant_peak > mild) - SAMPLING
    assert share(loads["push-off"] > frost) > 0.85


def test_shrinkage_is_the_load_that_stays_until_frost(loads: dict[str, Draws]) -> None:
    """Of what stands still, swelling never governs; frost overtakes shrinkage."""
    median = {name: float(np.median(draws)) for name, draws in loads.items()}
    assert median["swelling"] < median["shrinkage"] < median["frost"]
    assert share(loads["frost"] > loads["shrinkage"]) > 0.75
    rest = np.maximum.reduce([loads[n] for n in loads if n != "swelling"])
    assert share(loads["swelling"] > rest) < 0.001


def test_medians_stand_in_this_order(loads: dict[str, Draws]) -> None:
    """Swelling, shrinkage, frost, drag, push-off. A mild night is close to shrinkage."""
    names = ["swelling", "shrinkage", "frost", "drag", "push-off"]
    medians = [float(np.median(loads[name])) for name in names]
    assert medians == sorted(medians)
    assert min(b / a for a, b in itertools.pairwise(medians)) > 1.2


@pytest.mark.parametrize(
    ("cause", "quantiles"),
    [
        ("shrinkage", (0.012, 0.044, 0.16)),
        ("swelling", (0.005, 0.016, 0.05)),
        ("drag", (0.15, 0.31, 0.59)),
    ],
)
def test_quantiles_of_an_earlier_draw(
    loads: dict[str, Draws], cause: str, quantiles: tuple[float, float, float]
) -> None:
    """5, 50 and 95 %: an own earlier computation with nearly the same ranges, within 30 %."""
    found = np.quantile(loads[cause], (0.05, 0.5, 0.95))
    np.testing.assert_allclose(found, quantiles, rtol=0.3)
