"""The command line with folders of the test's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.unit.command import Command


@pytest.fixture
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No overlay and no kept pack of whoever runs the tests."""
    for kind in ("CACHE", "CONFIG", "DATA"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(tmp_path / kind.lower()))
    return tmp_path


@pytest.fixture
def command(
    own_folders: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> Command:
    folder = tmp_path / "bench"
    folder.mkdir()
    return Command(capsys, folder)
