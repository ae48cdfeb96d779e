"""A copy of the shipped pack to spoil, with a kept-pack folder of the test's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.unit.rulegraph.spoiled import Spoiled


@pytest.fixture(autouse=True)
def alone(own_folders: Path) -> None:
    """No kept pack but the test's own."""


@pytest.fixture
def spoiled(tmp_path: Path) -> Spoiled:
    return Spoiled(tmp_path / "rules")
