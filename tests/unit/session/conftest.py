"""An empty case under a small pack, and where its answers are kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.session.case_session import Session
from tests.unit.session.small_pack import SmallPack, small_advise, without_working


@pytest.fixture
def autosave(tmp_path: Path) -> Path:
    """Where answers are kept."""
    return tmp_path / "autosave-test-1.yaml"


@pytest.fixture
def session(autosave: Path) -> Session:
    """An empty case under the small pack."""
    return Session(SmallPack(), without_working(small_advise), autosave=autosave)
