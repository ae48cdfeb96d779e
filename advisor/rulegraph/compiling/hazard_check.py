"""Whether a pack asks, stops and says of every hazard at least what is required.

Decided for all cases: every combination of part, vehicle and of the answers that a hazard's
conditions read is gone through. A hazard whose conditions read so much that this cannot be
done is refused for that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from advisor.facts.case import PART, VEHICLE
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.required_hazards import (
    CLEAR,
    STOP,
    RequiredHazard,
    RequiredHazards,
    answers_of,
    required_hazards,
)
from advisor.rulegraph.model.asked import GateRule
from advisor.rulegraph.model.conditions import Condition, Within, simple_parts
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.facts import FactModel

Mask = NDArray[np.bool_]
#: Combinations gone through for one hazard; more are not needed by any honest question.
MOST_CASES = 500_000
#: Pairs of part and vehicle named in one message.
SHOWN = 3


@dataclass(frozen=True)
class _Place:
    """Where something of the hazards stands, for messages."""

    file: PackFile
    loc: Loc

    def fault(self, compiler: Compiler, key: str, problem: str, found: str, accepted: str) -> None:
        loc = (*self.loc, key) if key and key in _at(self.file.marked.data, self.loc) else self.loc
        at_key = loc == self.loc
        compiler.faults.append(
            self.file.fault(loc, problem, found, accepted, at_key=at_key and bool(loc))
        )


def _at(data: Any, loc: Loc) -> Any:
    for part in loc:
        data = data[part]
    return data


def check_hazards(files: PackFiles, compiler: Compiler, gates: Mapping[str, GateRule]) -> None:
    """Faults for every hazard that asks, stops or says less than is required.

    Nothing is said of what could not be read or compiled: that is a fault already.
    """
    (file,) = files.each("hazards.yaml") or (None,)
    parts, vehicles = (compiler.facts.get(name) for name in (PART, VEHICLE))
    if file is None or parts is None or vehicles is None or files.lost.untold:
        return
    required = required_hazards()
    places = {key: _Place(owner, ("gates", key)) for owner, key in _entries(files)}
    for key, hazard in required.hazards.items():
        if key in gates:
            _check_words(places[key], hazard, gates[key], compiler)
        elif key not in places and not compiler.lost.names(key):
            problem = f"the hazard {key} is missing ({hazard.title})"
            accepted = "every hazard of this program; your own may be added"
            compiler.faults.append(file.fault(("gates",), problem, "", accepted, at_key=True))
    questions = {name: _Place(owner, (name,)) for owner, name, _ in files.facts()}
    for owner, name, model in files.facts():
        if model.gate:
            _check_question(files, owner, name, model, compiler)
    by_fact = {hazard.fact: hazard for hazard in required.hazards.values()}
    for name, hazard in by_fact.items():
        if name in compiler.facts:
            _check_question_words(questions[name], hazard, compiler.facts[name], compiler)
    for key, gate in gates.items():
        if gate.fact not in compiler.facts:
            continue
        found = _Cases.of(gate, gates, compiler.facts)
        place = places[key]
        if isinstance(found, str):
            accepted = "conditions on part, vehicle and a few other answers"
            place.fault(compiler, "", f"cannot be decided for all cases: {found}", "", accepted)
        elif key in required.hazards:
            found.check_required(place, required, required.hazards[key], compiler)
        else:
            found.check_own(place, compiler)


def _entries(files: PackFiles) -> Iterator[tuple[PackFile, str]]:
    for file in files.each("hazards.yaml"):
        for key in file.content.gates:
            yield file, key


# -- words --------------------------------------------------------------------------------------


def _check_words(
    place: _Place, hazard: RequiredHazard, gate: GateRule, compiler: Compiler
) -> None:
    for key in ("fact", "title", "refer", "caution"):
        wanted, found = getattr(hazard, key), getattr(gate, key)
        if found != wanted:
            place.fault(compiler, key, "this hazard says something else", found, wanted)


def _check_question_words(
    place: _Place, hazard: RequiredHazard, decl: FactDecl, compiler: Compiler
) -> None:
    if not decl.gate:
        problem = "no longer asked as a hazard"
        place.fault(compiler, "gate", problem, "", "gate: yes")
        return
    for key, wanted in hazard.question.items():
        found = str(getattr(decl, key))
        if found != wanted:
            place.fault(compiler, key, "this hazard question says something else", found, wanted)
    if decl.kind is not Kind.CHOICE or hazard.question["kind"] != Kind.CHOICE:
        return
    inside = _Place(place.file, (*place.loc, "options"))
    for word, answer in hazard.answers.items():
        if word not in decl.keys:
            inside.fault(compiler, "", f"the answer {word} is missing", "", answer["title"])
            continue
        option = decl.option(word)
        for key in ("title", "sentence"):
            wanted, found = answer.get(key, ""), getattr(option, key)
            if found != wanted:
                problem = "this answer says something else"
                at = _Place(place.file, (*inside.loc, word))
                at.fault(compiler, key, problem, found, wanted or "nothing")


def _check_question(
    files: PackFiles, file: PackFile, name: str, model: FactModel, compiler: Compiler
) -> None:
    """A hazard is asked outright: nothing hides its question, nothing answers for a person."""
    place = _Place(file, (name,))
    accepted = "leave it out: a hazard is asked outright, and only a person answers it"
    for key in ("asked_when", "narrows", "prior", "earlier", "reads"):
        if getattr(model, key) is not None:
            place.fault(compiler, key, f"a hazard question cannot have {key}", "", accepted)
    if model.stage != "hazards":
        place.fault(compiler, "stage", "a hazard question is elsewhere", model.stage, "hazards")
    for key, option in model.options.items():
        if option.like is not None:
            at = _Place(file, (name, "options", key))
            at.fault(
                compiler, "like", "an answer to a hazard is like no other", option.like, accepted
            )
    for other, fact, reader in files.facts():
        if reader.reads is not None and reader.reads.fact == name:
            problem = "a hazard is not answered by a mark"
            _Place(other, (fact,)).fault(compiler, "reads", problem, name, accepted)
    for part in files.each("parts/"):
        if name in part.content.priors:
            problem = "no answer to a hazard is assumed"
            _Place(part, ("priors",)).fault(compiler, name, problem, name, accepted)


# -- conditions, over all cases -------------------------------------------------------------------


@dataclass(frozen=True)
class _Cases:
    """All combinations of what a hazard's conditions read, as one array for each fact."""

    gate: GateRule
    facts: Mapping[str, FactDecl]
    values: Mapping[str, NDArray[Any]]
    pairs: Sequence[tuple[str, str]]
    """Part and vehicle of each pair that the arrays number."""
    pair: NDArray[np.intp]
    """For every combination the number of its pair."""
    closed_by: Mapping[str, Mask]
    """Combinations in which another hazard stops the job, where they say so."""

    @classmethod
    def of(
        cls, gate: GateRule, gates: Mapping[str, GateRule], facts: Mapping[str, FactDecl]
    ) -> _Cases | str:
        """All cases of a hazard, or why they cannot be gone through."""
        conditions = [
            one for one in (gate.asked_when, gate.closed_when, gate.caution_when) if one is not None
        ]
        names = {name for one in conditions for name in one.reads}
        no_facts = sorted(names - facts.keys())
        if no_facts:
            return f"{no_facts[0]} is no answer that a person gives"
        others = {PART, VEHICLE}
        names = {*names, gate.fact} - others
        columns = {name: _points(facts[name], conditions) for name in sorted(names)}
        kinds, vehicles = facts[PART].keys, facts[VEHICLE].keys
        pairs = list(product(kinds, vehicles))
        sizes = (len(pairs), *map(len, columns.values()))
        if prod(sizes) > MOST_CASES:
            return f"it reads {', '.join(sorted(names))}"
        grid = np.indices(sizes).reshape(len(sizes), -1)
        values: dict[str, NDArray[Any]] = {
            name: column[at] for (name, column), at in zip(columns.items(), grid[1:], strict=True)
        }
        values[PART], values[VEHICLE] = grid[0] // len(vehicles), grid[0] % len(vehicles)
        closed_by = {
            key: other.closed_when.test(values)
            for key, other in gates.items()
            if other is not gate and other.closed_when.reads <= values.keys()
        }
        return cls(gate, facts, values, pairs, grid[0], closed_by)

    def check_required(
        self, place: _Place, required: RequiredHazards, hazard: RequiredHazard, compiler: Compiler
    ) -> None:
        """Faults where it asks less or stops less than is required."""
        asked = self._of_pairs(
            [_required(required, self.facts, pair, hazard.asked) for pair in self.pairs]
        )
        always = self._of_pairs([pair in hazard.always for pair in self.pairs])
        closed, careful = self._closed, self._closed | self._caution
        quiet = asked & ~self._asked
        for other in hazard.after:
            quiet &= ~self.closed_by.get(other, np.bool_(False))
        self._tell(place, compiler, "asked_for", quiet, "is not asked of", "it is asked there")
        silent = always & ~closed
        accepted = "it stops the job there"
        self._tell(place, compiler, "closed_when", silent, "does not stop", accepted)
        unseen = set(self.facts[VEHICLE].keys) - set(required.vehicles)
        here = self._of_pairs([
            not hazard.stops_in or vehicle in (*hazard.stops_in, *unseen)
            for _, vehicle in self.pairs
        ])
        for word, mask in self._answers():
            means = hazard.answers[word]["means"] if word in hazard.answers else ""
            if means == CLEAR:
                continue
            enough = closed if means == STOP else careful
            words = f"answered {word} does not {'stop' if means == STOP else 'warn on'}"
            accepted = "an answer that stops the job" if means == STOP else "a caution or a stop"
            key = "closed_when" if means == STOP else "caution_when"
            self._tell(place, compiler, key, mask & here & ~enough, words, accepted)

    def check_own(self, place: _Place, compiler: Compiler) -> None:
        """Faults for a shop's own hazard that is never asked, or says the same whatever is told."""
        if not self._asked.any():
            place.fault(compiler, "asked_when", "this hazard is asked in no case", "",
                        "a part and a vehicle for which it is asked")  # fmt: skip
        answered = dict(self._answers())
        if not (self._closed | self._caution).any():
            place.fault(compiler, "closed_when", "no answer stops the job or warns", "",
                        "an answer for which it does")  # fmt: skip
        elif all(self._closed[mask].all() for mask in answered.values()):
            place.fault(compiler, "closed_when", "it stops every job, whatever is answered", "",
                        "an answer that lets the job go on")  # fmt: skip

    @property
    def _asked(self) -> Mask:
        called = self._of_pairs([pair in self.gate.asked_for for pair in self.pairs])
        when = self.gate.asked_when
        return called if when is None else called & when.test(self.values)

    @property
    def _closed(self) -> Mask:
        return self.gate.closed_when.test(self.values)

    @property
    def _caution(self) -> Mask:
        when = self.gate.caution_when
        return np.zeros(self.pair.shape, np.bool_) if when is None else when.test(self.values)

    def _of_pairs(self, flags: Sequence[bool]) -> Mask:
        return np.asarray(flags, dtype=np.bool_)[self.pair]

    def _answers(self) -> Iterator[tuple[str, Mask]]:
        """Every answer to the question with the combinations in which it is given."""
        decl = self.facts[self.gate.fact]
        column = self.values[self.gate.fact]
        for code, word in enumerate(answers_of(decl)):
            yield word, column == (code if decl.kind is Kind.CHOICE else bool(code))

    def _tell(
        self, place: _Place, compiler: Compiler, key: str, lacking: Mask, words: str, accepted: str
    ) -> None:
        if not lacking.any():
            return
        numbers = np.unique(self.pair[lacking])
        named = [f"{self.pairs[i][0]} in {self.pairs[i][1]}" for i in numbers[:SHOWN]]
        more = len(numbers) - len(named)
        where = ", ".join(named) + (f" and {more} more" if more else "")
        at = key if getattr(self.gate, key) else "closed_when"
        place.fault(compiler, at, f"{self.gate.key} {words} {where}", "", accepted)


def _required(
    required: RequiredHazards, facts: Mapping[str, FactDecl], pair: tuple[str, str],
    asked: frozenset[tuple[str, str]],
) -> bool:
    """Whether a pair must be asked; what nobody has looked at goes by what it is like.

    A part that is like none of the table, and a vehicle that is not in it, are asked
    whatever any of them is.
    """
    part, vehicle = pair
    if part in required.parts and vehicle in required.vehicles:
        return pair in asked
    parts = next(
        ((kind,) for kind in facts[PART].line(part) if kind in required.parts), required.parts
    )
    vehicles = (vehicle,) if vehicle in required.vehicles else required.vehicles
    return not asked.isdisjoint(product(parts, vehicles))


def _points(decl: FactDecl, conditions: Sequence[Condition]) -> NDArray[Any]:
    """Answers of which at least one lies on each side of every limit that is asked for."""
    if decl.kind is Kind.CHOICE:
        return np.arange(len(decl.keys))
    if decl.kind is Kind.YES_NO:
        return np.array([False, True])
    limits = {
        limit
        for one in conditions
        for part in simple_parts(one)
        if isinstance(part, Within) and part.name == decl.name
        for limit in (part.low, part.high)
        if np.isfinite(limit)
    }
    around = [np.nextafter(x, side) for x in limits for side in (-np.inf, np.inf)]
    return np.unique([decl.low, decl.high, *limits, *around])
