"""Ten rounds by a reader at a usual speed: three minutes and 25 keys each."""

from __future__ import annotations

import pytest

from tests.benchmarks.practice_time import MOST_ACTIONS, MOST_SECONDS, table, ten_rounds

pytestmark = [
    pytest.mark.slow, pytest.mark.qt_log_ignore("does not support propagateSizeHints"),
]  # fmt: skip


def test_ten_rounds_take_three_minutes_and_25_keys_each(own_folders: None, qapp) -> None:
    """Reading speed and keystroke-level model with their sources stand where they are used."""
    found = ten_rounds()
    said = table(found)
    print(said)
    assert len(found) == 10
    assert sum(one.seconds for one in found) <= 10 * MOST_SECONDS, said
    assert max(one.keys for one in found) <= MOST_ACTIONS, said
