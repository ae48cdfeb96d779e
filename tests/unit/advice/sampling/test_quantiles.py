"""Weighted quantiles, against their definition and against numpy's own."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.advice.sampling.quantiles import ascending, weighted_quantiles

#: What is so small that floats no longer keep nine digits of it; to the order it is as good as 0.
TINY = 1e-320

values = st.lists(
    st.one_of(st.floats(0.0, 1e300), st.sampled_from([0.0, -0.0, 1.0, np.inf, -3.5, 1e-310])),
    min_size=1, max_size=60,
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(values)
def test_places_in_ascending_order(drawn: list[float]) -> None:
    array = np.array(drawn)
    order = ascending(array)
    assert sorted(order.tolist()) == list(range(array.size))
    # Those that agree to 9 digits may stand in any order.
    np.testing.assert_allclose(array[order], np.sort(array), rtol=1e-9, atol=TINY)


@settings(max_examples=100, deadline=None)
@given(values, st.integers(0, 99))
def test_a_quantile_has_so_much_weight_up_to_it(drawn: list[float], seed: int) -> None:
    array = np.minimum(drawn, 1e300)
    weights = np.random.default_rng(seed).random(array.size) + 0.01
    weights /= weights.sum()
    for at, found in zip((0.05, 0.5, 0.95), weighted_quantiles(array, weights), strict=True):
        dust = 1e-9 * abs(found) + TINY
        close = array <= found + dust
        assert weights[close].sum() >= at - 1e-12
        assert weights[array < found - dust].sum() <= at + 1e-12


@pytest.mark.parametrize("n", [4096, 5000])
def test_with_even_weights_they_are_those_of_numpy(n: int) -> None:
    array = np.random.default_rng(n).normal(20.0, 15.0, n)
    assert array.min() < 0.0
    even = np.full(n, 1.0 / n)
    for one in (array, np.exp(array / 10.0)):
        found = weighted_quantiles(one, even, (0.1, 0.5, 0.9))
        wanted = np.quantile(one, (0.1, 0.5, 0.9), method="inverted_cdf")
        np.testing.assert_allclose(found, wanted, rtol=1e-2)
