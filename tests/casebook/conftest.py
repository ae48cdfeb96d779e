"""Casebooks for the tests: one whose tables were made once, copied for each test.

Where ``TRIM_ADVISOR_TEST_POSTGRES`` names a server (``python -m tests.casebook.server``), every
test with a ``book`` runs on SQLite and on PostgreSQL.
"""

from __future__ import annotations

import itertools
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.casebook.book import Casebook
from advisor.casebook.journal.journal import Journal
from advisor.rulegraph.model.pack import RulePack

SERVER = os.environ.get("TRIM_ADVISOR_TEST_POSTGRES", "")
NO_SERVER = "TRIM_ADVISOR_TEST_POSTGRES names no server: python -m tests.casebook.server"


def on_server(statement: str) -> None:
    """Run one statement on the server, outside a transaction."""
    import psycopg

    with psycopg.connect(SERVER, autocommit=True) as connection:
        connection.execute(statement)  # type: ignore[arg-type]


def address(name: str) -> str:
    """A database of the server."""
    return f"{SERVER.rpartition('/')[0]}/{name}"


_PLACES = itertools.count()


class Places:
    """Empty casebooks in a folder or on the server, as many as are asked for."""

    def __init__(self, folder: Path, pack: RulePack) -> None:
        self.folder = folder
        self.pack = pack
        self._numbers = itertools.count()
        self._templates: dict[str, str] = {}
        self._made: list[str] = []
        self._own = f"casebook_test_{os.getpid()}_{next(_PLACES)}"

    def new(self, kind: str) -> str:
        """The place of an empty casebook that nothing else uses."""
        if kind == "sqlite":
            folder = self.folder / f"book-{next(self._numbers)}"
            shutil.copytree(self._template(kind), folder)
            return str(folder)
        name = f"{self._own}_{next(self._numbers)}"
        on_server(f"CREATE DATABASE {name} TEMPLATE {self._template(kind)}")
        self._made.append(name)
        return address(name)

    def _template(self, kind: str) -> str:
        if kind not in self._templates:
            made = place = str(self.folder / "template")
            if kind == "postgresql":
                made = f"{self._own}_template"
                on_server(f"CREATE DATABASE {made}")
                self._made.append(made)
                place = address(made)
            Casebook.open(place, self.pack).shut()
            self._templates[kind] = made
        return self._templates[kind]

    def drop(self) -> None:
        """Leave nothing on the server."""
        for name in self._made:
            on_server(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def places(tmp_path_factory: pytest.TempPathFactory, pack: RulePack) -> Iterator[Places]:
    """Where casebooks are made."""
    made = Places(tmp_path_factory.mktemp("casebooks"), pack)
    yield made
    made.drop()


@pytest.fixture(
    params=[
        "sqlite",
        pytest.param("postgresql", marks=pytest.mark.skipif(not SERVER, reason=NO_SERVER)),
    ]
)
def place(request: pytest.FixtureRequest, places: Places) -> str:
    """An empty casebook, in a folder and on a server."""
    return places.new(request.param)


@pytest.fixture
def book(place: str, pack: RulePack) -> Iterator[Casebook]:
    """The same, opened."""
    opened = Casebook.open(place, pack)
    yield opened
    opened.shut()


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """A journal of its own."""
    made = Journal(tmp_path / "journal.sqlite")
    yield made
    made.close()
