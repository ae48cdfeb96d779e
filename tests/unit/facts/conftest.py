"""Facts and helpers for the tests of `advisor.facts`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from declared_facts import DECLARED

from advisor.facts.declaration import FactDecl


@pytest.fixture(scope="session")
def facts() -> dict[str, FactDecl]:
    return {decl.name: decl for decl in DECLARED}


@pytest.fixture
def put(tmp_path: Path) -> Callable[[str | bytes], Path]:
    """Write a file and give its path; always the same short name."""

    def write(content: str | bytes) -> Path:
        path = tmp_path / "harbour.yaml"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write
