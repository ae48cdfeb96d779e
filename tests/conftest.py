"""The shipped rule pack, compiled once, without anybody's own overlay or kept copy.

Random tests take the same examples every time, so that a run tells about the change and
not about luck. ``HYPOTHESIS_PROFILE=search`` looks for new ones.
"""

from __future__ import annotations

import atexit
import gc
import os
import shutil
import tempfile
from collections.abc import Iterator

import pytest
from hypothesis import settings

from advisor.paths import rules_folder
from advisor.rulegraph.compiling.pack import build_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.reading.read_pack import read_files
from tests.read_once import shipped_files_read_once

# Nobody's own rules, kept packs or answers take part in a test, nor are they written to.
for _place in ("XDG_CONFIG_HOME", "XDG_CACHE_HOME", "XDG_DATA_HOME"):
    os.environ[_place] = tempfile.mkdtemp(prefix="trim-advisor-tests-")
    atexit.register(shutil.rmtree, os.environ[_place], ignore_errors=True)

# Windows are off screen, and as large on every machine.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_SCALE_FACTOR", "1")

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("search", derandomize=False, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


@pytest.fixture(scope="session", autouse=True)
def rules_read_once() -> Iterator[None]:
    """A file that is as shipped is taken apart once."""
    with shipped_files_read_once():
        yield


@pytest.fixture(scope="session")
def pack() -> RulePack:
    """The rules as they ship."""
    return build_pack(read_files(rules_folder(), None))


def pytest_collection_finish() -> None:
    """What is there by now stays until the end, and need not be looked through for garbage.

    Without this the four thousand tests and all that they import are walked through again
    and again, which takes longer than many a test; so does what a test builds, while it is
    built. Tests that need things gone collect them.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
