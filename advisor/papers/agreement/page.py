"""The agreement as a document, with who it is between filled in."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Literal

from pydantic import TypeAdapter, ValidationError

from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import read_marked
from advisor.report.blocks import Document, Item, Items, Mark, Pairs, Section, Text, Tone
from advisor.report.status_words import SOURCE_STATUS
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Strict

FILE = Path(__file__).with_name("clauses.yaml")
_LINE = "_" * 34


class Clause(Strict):
    """One clause with where it comes from."""

    title: str
    text: str
    note: str = ""
    source: str
    status: Literal["looked_up", "from_memory", "common_practice"]


class Agreement(Strict):
    """The whole text."""

    heading: str
    stamp: str
    stamp_text: str
    intro: str
    sources: dict[str, str]
    clauses: tuple[Clause, ...]


@lru_cache(maxsize=1)
def agreement() -> Agreement:
    """The text that ships with the program."""
    marked = read_marked(FILE)
    form = TypeAdapter(Agreement)
    try:
        return form.validate_python(marked.data)
    except ValidationError as error:
        raise BadInput(faults_of(PackFile(FILE.name, FILE, marked), error, form)) from None


def build_agreement(shop: str = "", station: str = "") -> Document:
    """The document; a name that is not given is a line to write on."""
    said = agreement()
    shop, station = shop or _LINE, station or _LINE
    items = []
    for number, clause in enumerate(said.clauses, 1):
        notes = [f"{said.sources[clause.source]} ({SOURCE_STATUS[clause.status]})."]
        items.append(Item(f"{number}. {clause.title}", strong=True))
        items.append(Item(clause.text, tuple(filter(None, (clause.note, *notes))), level=1))
    return Document(
        language="en",
        heading="For the station's own counsel",
        subtitle=said.heading,
        meta=(("Shop", shop), ("Station", station)),
        stamp=said.stamp,
        stamp_text=said.stamp_text,
        front=(
            Section("", (Text(said.intro.format(shop=shop, station=station)),)),
            Section("Clauses", (Items(tuple(items), Mark.NONE),)),
            Section("Signed", (
                Pairs((("For the station", f"{_LINE}  {_LINE}"),
                       ("For the shop", f"{_LINE}  {_LINE}"))),
                Text("Name and title; signature and date.", Tone.SMALL),
            ), keep=True),
        ),
        working_apart=False,
        working_heading="",
        working_intro="",
        working=(),
        footer="A starting text, not legal advice.",
        footer_detail="Rules were read in reprints, not in force and whole.",
        author="trim-advisor",
    )  # fmt: skip
