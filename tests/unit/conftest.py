"""The command line with folders of the test's own, and files to read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.unit.cli.command import Command


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
    folder = tmp_path / "cases"
    folder.mkdir()
    return Command(capsys, folder)


@pytest.fixture
def put(tmp_path: Path) -> Callable[[str | bytes], Path]:
    """Write a file and give its path; always the same short name."""

    def write(content: str | bytes) -> Path:
        path = tmp_path / "harbour.yaml"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write
