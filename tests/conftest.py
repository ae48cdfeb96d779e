"""The shipped rule pack, compiled once, without anybody's own overlay or kept copy."""

from __future__ import annotations

import pytest

from advisor.paths import rules_folder
from advisor.rulegraph.build import build_pack
from advisor.rulegraph.pack import RulePack
from advisor.rulegraph.reading import read_files


@pytest.fixture(scope="session")
def pack() -> RulePack:
    """The rules as they ship."""
    return build_pack(read_files(rules_folder(), None))
