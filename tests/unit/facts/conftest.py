"""Facts and helpers for the tests of `advisor.facts`."""

from __future__ import annotations

import pytest

from advisor.facts.declaration import FactDecl
from tests.unit.facts.declared_facts import DECLARED


@pytest.fixture(scope="session")
def facts() -> dict[str, FactDecl]:
    return {decl.name: decl for decl in DECLARED}
