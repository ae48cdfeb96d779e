"""What the papers must say, from ``requirements.yaml``: each with who supplies it and its source.

They are the words of authorities and of practice, not a shop's own, so no overlay changes them.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import TypeAdapter, ValidationError

from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import read_marked
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Name, Strict

FILE = Path(__file__).with_name("requirements.yaml")


class Wanted(Strict):
    """One thing that must be said."""

    title: str
    who: str
    """Who can supply it."""
    asked: Literal["all", "aircraft"]
    source: Name
    status: Literal["looked_up", "from_memory", "common_practice"]


class WantedField(Wanted):
    """One field of the record."""

    number: int
    """Of the section it stands in."""


class Requirements(Strict):
    """All of them."""

    aircraft: tuple[str, ...]
    """Kinds of vehicle a station signs for."""
    aircraft_rule_sets: tuple[str, ...]
    hired_rules: tuple[str, ...]
    finishes: tuple[str, ...]
    needs_certificate: tuple[str, ...]
    sources: Mapping[str, str]
    sections: Mapping[str, str]
    fields: Mapping[str, WantedField]
    materials: Mapping[str, Wanted]
    certificates: Mapping[str, Wanted]
    photos: Mapping[str, Wanted]
    elsewhere: str


@lru_cache(maxsize=1)
def requirements() -> Requirements:
    """Those that ship with the program."""
    marked = read_marked(FILE)
    form = TypeAdapter(Requirements)
    try:
        return form.validate_python(marked.data)
    except ValidationError as error:
        raise BadInput(faults_of(PackFile(FILE.name, FILE, marked), error, form)) from None
