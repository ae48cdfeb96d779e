"""A handful of the kills of ``killed_windows``; the hundred are a command of their own."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest

from tests.gui.window.killed_windows import kill_once


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no SIGKILL on this system")
@pytest.mark.parametrize("seed", [11, 12, 13])
def test_two_windows_and_a_changed_file_killed_at_a_random_moment(
    tmp_path: Path, qapp, seed: int
) -> None:
    assert kill_once(seed, tmp_path) == []
