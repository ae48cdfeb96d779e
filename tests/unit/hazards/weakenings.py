"""Changes of a rule pack that weaken a hazard, and changes that do no harm.

Every kind of change is made for every hazard, part and kind of vehicle that it can touch. A
change works on the files of a pack as plain data (file name to content), so that the same
change can be made in a whole pack or written into a shop's own folder. It was written before
the check that has to find it, and knows nothing of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

Files = dict[str, Any]

HAZARDS = "hazards.yaml"
QUESTIONS = "facts/3_hazards.yaml"
PARTS = "facts/1_part.yaml"
PART, VEHICLE = "part.kind", "vehicle.kind"


@dataclass(frozen=True)
class Change:
    """One change: its kind, what it is made to, and the change itself, made in place."""

    kind: str
    what: str
    make: Callable[[Files], None]
    files: tuple[str, ...]
    """The files it changes."""

    @property
    def name(self) -> str:
        return f"{self.kind}: {self.what}"

    def made(self, files: Files) -> Files:
        """The files with this change; those given stay as they are."""
        found = dict(files)
        for name in self.files:
            found[name] = deepcopy(files[name])
        self.make(found)
        return found


def asked_pairs(files: Files) -> dict[str, set[tuple[str, str]]]:
    """For each hazard the pairs of part and vehicle, read from the files by hand.

    A second reading of what ``asked_for`` means, apart from the program's own.
    """
    parts = files[PARTS][PART]["options"]
    vehicles = list(files[PARTS][VEHICLE]["options"])
    found: dict[str, set[tuple[str, str]]] = {}
    named = set(files[HAZARDS].get("parts_without_hazards", ()))
    for entry in files[HAZARDS]["gates"].values():
        for row in entry["asked_for"]:
            named |= {*row.get("parts", ()), *row.get("except_parts", ())}
    for hazard, entry in files[HAZARDS]["gates"].items():
        # A part that is like none that is named is asked everything.
        pairs = found.setdefault(hazard, set())
        pairs |= {(p, v) for p in parts if not _line(parts, p) & named for v in vehicles}
        for row in entry["asked_for"]:
            for part in parts:
                line = _line(parts, part)
                wanted = row.get("parts")
                if wanted is not None and not line & set(wanted):
                    continue
                if line & set(row.get("except_parts", ())):
                    continue
                pairs |= {(part, vehicle) for vehicle in row.get("vehicles", vehicles)}
        # What is in no list is asked what any part is asked in its vehicle.
        odd = {part for part in parts if parts[part].get("not_covered")}
        listed = {pair for pair in pairs if pair[0] not in odd}
        found[hazard] = listed | {(part, vehicle) for part in odd for _, vehicle in listed}
    return found


def _line(options: Files, key: str) -> set[str]:
    found: set[str] = set()
    while key and key not in found:
        found.add(key)
        key = options[key].get("like", "")
    return found


def weakenings(files: Files) -> Iterator[Change]:
    """Every change that takes something away from a hazard."""
    for hazard in files[HAZARDS]["gates"]:
        yield from weakenings_of(files, hazard)
    yield from likened(files)


def weakenings_of(files: Files, hazard: str) -> Iterator[Change]:
    """Every change to one hazard, its question, and where it is asked."""
    entry = files[HAZARDS]["gates"][hazard]
    # A part in no list is asked everything whatever the rows say: nothing can be taken from it.
    pairs = sorted(pair for pair in asked_pairs(files)[hazard] if pair[0] != "none_of_these")
    yield from _dropped(hazard, entry["fact"])
    yield from _taken_from(hazard, pairs)
    yield from _narrowed(files, hazard, pairs)
    yield from _turned(files, hazard, entry)
    yield from _question_changed(files, hazard, entry["fact"])
    yield from _preset(files, hazard, entry["fact"])
    yield from _reworded(files, hazard, entry)


# -- dropped, or taken from a part or vehicle ------------------------------------------------


def _dropped(hazard: str, fact: str) -> Iterator[Change]:
    def without_entry(files: Files) -> None:
        del files[HAZARDS]["gates"][hazard]

    def without_all(files: Files) -> None:
        without_entry(files)
        del files[QUESTIONS][fact]
        _forget(files[HAZARDS]["gates"], fact)

    def no_question(files: Files) -> None:
        files[QUESTIONS][fact]["gate"] = False
        files[QUESTIONS][fact]["prior"] = _even(files[QUESTIONS][fact])
        without_entry(files)
        _forget(files[HAZARDS]["gates"], fact)

    yield Change("dropped", hazard, without_entry, (HAZARDS,))
    yield Change("dropped with its question", hazard, without_all, (HAZARDS, QUESTIONS))
    yield Change("made an ordinary question", hazard, no_question, (HAZARDS, QUESTIONS))


def _forget(gates: Files, fact: str) -> None:
    """Conditions of other hazards no longer name a question that is gone."""
    for entry in gates.values():
        for key in ("asked_when", "caution_when"):
            if fact in repr(entry.get(key)):
                del entry[key]


def _even(question: Files) -> Files:
    keys = list(question.get("options", {})) or ["no", "yes"]
    return {"weights": dict.fromkeys(keys, 1), "source": "practice", "status": "estimate"}


def _taken_from(hazard: str, pairs: list[tuple[str, str]]) -> Iterator[Change]:
    parts = sorted({part for part, _ in pairs})
    vehicles = sorted({vehicle for _, vehicle in pairs})

    def only(wanted: set[tuple[str, str]]) -> Callable[[Files], None]:
        """Written as one row a vehicle, with every part named and none like them meant."""

        def make(files: Files) -> None:
            every = list(files[PARTS][PART]["options"])
            rows = []
            for vehicle in vehicles:
                here = [part for part in every if (part, vehicle) in wanted]
                if here:
                    rows.append({
                        "vehicles": [vehicle],
                        "parts": here,
                        "except_parts": [part for part in every if part not in here],
                    })
            files[HAZARDS]["gates"][hazard]["asked_for"] = rows or [
                {"vehicles": [vehicles[0]], "parts": [parts[0]], "except_parts": [parts[0]]}
            ]

        return make

    whole = set(pairs)
    for part in parts:
        left = {pair for pair in whole if pair[0] != part}
        yield Change("taken from a part", f"{hazard}, {part}", only(left), (HAZARDS,))
        yield Change("left out for a part", f"{hazard}, {part}", _except(hazard, part), (HAZARDS,))
    for vehicle in vehicles:
        left = {pair for pair in whole if pair[1] != vehicle}
        yield Change("taken from a vehicle", f"{hazard}, {vehicle}", only(left), (HAZARDS,))
    for part, vehicle in pairs:
        left = whole - {(part, vehicle)}
        what = f"{hazard}, {part} in {vehicle}"
        yield Change("taken from a part in a vehicle", what, only(left), (HAZARDS,))
    yield Change("asked for nothing", hazard, only(set()), (HAZARDS,))


def _except(hazard: str, part: str) -> Callable[[Files], None]:
    def make(files: Files) -> None:
        for row in files[HAZARDS]["gates"][hazard]["asked_for"]:
            row["except_parts"] = [*row.get("except_parts", ()), part]

    return make


# -- narrowed by a condition -----------------------------------------------------------------


def _narrowed(files: Files, hazard: str, pairs: list[tuple[str, str]]) -> Iterator[Change]:
    parts = sorted({part for part, _ in pairs})
    vehicles = sorted({vehicle for _, vehicle in pairs})
    conditions: dict[str, Files] = {}
    for part in parts:
        conditions[f"not on {part}"] = {"fact": PART, "is_not": part}
        conditions[f"only on {part}"] = {"fact": PART, "is": part}
    for vehicle in vehicles:
        conditions[f"not in {vehicle}"] = {"fact": VEHICLE, "is_not": vehicle}
        conditions[f"only in {vehicle}"] = {"fact": VEHICLE, "is": vehicle}
    for fact, question in _choices(files):
        first = next(iter(question["options"]))
        conditions[f"only where {fact} is {first}"] = {"fact": fact, "is": first}
        conditions[f"not where {fact} is {first}"] = {"fact": fact, "is_not": first}
    conditions["only on an old vehicle"] = {"fact": "vehicle.age", "at_least": "20 yr"}
    conditions["only on a long damage"] = {"fact": "damage.length", "at_least": "50 mm"}
    conditions["never"] = {
        "all": [{"fact": VEHICLE, "is": "car"}, {"not": {"fact": VEHICLE, "is": "car"}}]
    }
    for words, condition in conditions.items():
        if len(parts) == 1 and words == f"only on {parts[0]}":
            continue  # it is asked of no other part anyway
        if any(words == f"only in {kind}" for kind in vehicles if _all_like(files, vehicles, kind)):
            continue  # it is asked in no other kind of vehicle anyway
        yield Change("asked only", f"{hazard}, {words}", _set_asked(hazard, condition), (HAZARDS,))


def _all_like(files: Files, vehicles: list[str], kind: str) -> bool:
    """Whether a condition on one kind of vehicle is met by all of these."""
    options = files["facts/1_part.yaml"][VEHICLE]["options"]
    return all(kind in (vehicle, options[vehicle].get("like")) for vehicle in vehicles)


def _choices(files: Files) -> Iterator[tuple[str, Files]]:
    """Questions with answers to choose from, besides part, vehicle and the hazards."""
    for name, content in files.items():
        if name.startswith("facts/"):
            for fact, question in content.items():
                if question["kind"] == "choice" and fact not in (PART, VEHICLE):
                    yield fact, question


def _set_asked(hazard: str, condition: Files) -> Callable[[Files], None]:
    def make(files: Files) -> None:
        entry = files[HAZARDS]["gates"][hazard]
        old = entry.get("asked_when")
        entry["asked_when"] = {"all": [old, condition]} if old else condition

    return make


# -- turned round, contradicted, unreachable ---------------------------------------------------


def _turned(files: Files, hazard: str, entry: Files) -> Iterator[Change]:
    def setting(key: str, value: Any) -> Callable[[Files], None]:
        def make(made: Files) -> None:
            made[HAZARDS]["gates"][hazard][key] = value

        return make

    closed = entry["closed_when"]
    for words, value in {
        "turned round": {"not": closed},
        "contradicted": {"all": [closed, {"not": closed}]},
        "only on an old vehicle": {"all": [closed, {"fact": "vehicle.age", "at_least": "20 yr"}]},
        "only for a tear": {"all": [closed, {"fact": "damage.kind", "is": "tear"}]},
    }.items():
        yield Change("stops", f"{hazard}, {words}", setting("closed_when", value), (HAZARDS,))
    for part in files[PARTS][PART]["options"]:
        value = {"all": [closed, {"fact": PART, "is_not": part}]}
        change = setting("closed_when", value)
        yield Change("stops", f"{hazard}, not on {part}", change, (HAZARDS,))
    reached = {"aircraft"} if "aircraft" in repr(closed) else files[PARTS][VEHICLE]["options"]
    for vehicle in reached:
        value = {"all": [closed, {"fact": VEHICLE, "is_not": vehicle}]}
        change = setting("closed_when", value)
        yield Change("stops", f"{hazard}, not in {vehicle}", change, (HAZARDS,))
    for other, their in files[HAZARDS]["gates"].items():
        if other != hazard:
            change = setting("closed_when", their["closed_when"])
            yield Change("stops", f"{hazard}, as {other} does", change, (HAZARDS,))
    question = files[QUESTIONS][entry["fact"]]
    for key in question.get("options", {}):
        if f"'{key}'" not in repr(closed):
            change = setting("closed_when", {"fact": entry["fact"], "is": key})
            yield Change("stops", f"{hazard}, at {key} alone", change, (HAZARDS,))
    if "caution_when" in entry:
        yield Change("no caution", hazard, _without(hazard, "caution_when"), (HAZARDS,))

        def swapped(made: Files) -> None:
            gate = made[HAZARDS]["gates"][hazard]
            gate["closed_when"], gate["caution_when"] = gate["caution_when"], gate["closed_when"]

        yield Change("stop and caution swapped", hazard, swapped, (HAZARDS,))
    for other, their in files[HAZARDS]["gates"].items():
        if other != hazard:
            change = setting("fact", their["fact"])
            yield Change("asks the question of another", f"{hazard}, {other}", change, (HAZARDS,))


def _without(hazard: str, key: str) -> Callable[[Files], None]:
    def make(files: Files) -> None:
        del files[HAZARDS]["gates"][hazard][key]

    return make


# -- the question ------------------------------------------------------------------------------


def _question_changed(files: Files, hazard: str, fact: str) -> Iterator[Change]:
    question = files[QUESTIONS][fact]
    options = list(question.get("options", {}))

    def on_question(change: Callable[[Files], None]) -> Callable[[Files], None]:
        return lambda made: change(made[QUESTIONS][fact])

    for i, one in enumerate(options):
        for other in options[i + 1 :]:
            what = f"{hazard}, {one} and {other}"
            swap = on_question(_swap_titles(one, other))
            yield Change("answers swapped", what, swap, (QUESTIONS,))
            yield Change(
                "keys of answers swapped", what, on_question(_swap_keys(one, other)), (QUESTIONS,)
            )
        yield Change("answer reworded", f"{hazard}, {one}", on_question(_title(one)), (QUESTIONS,))
        yield Change(
            "answer renamed", f"{hazard}, {one}", _renamed(hazard, fact, one), (QUESTIONS, HAZARDS)
        )
        yield Change(
            "answer taken away", f"{hazard}, {one}", on_question(_drop(one)), (QUESTIONS,)
        )
        for other in options:
            if other != one:
                like = on_question(_like(one, other))
                yield Change(
                    "answer likened", f"{hazard}, {one} to {other}", like, (QUESTIONS,)
                )
    if options:
        add = on_question(lambda asked: asked["options"].update(sure={"title": "I think not"}))
        yield Change("a further way out", hazard, add, (QUESTIONS,))
        kind = on_question(_as_yes_no)
        yield Change("made a yes or no", hazard, kind, (QUESTIONS,))
    narrow = {"fact": VEHICLE, "is": "boat"}
    for key, value in {
        "asked_when": narrow,
        "stage": "job",
        "narrows": "skin.material",
    }.items():
        change = on_question(_setting(key, value))
        yield Change(f"its {key} set", hazard, change, (QUESTIONS,))


def _setting(key: str, value: Any) -> Callable[[Files], None]:
    return lambda question: question.update({key: value})


def _swap_titles(one: str, other: str) -> Callable[[Files], None]:
    def make(question: Files) -> None:
        options = question["options"]
        options[one], options[other] = options[other], options[one]

    return make


def _swap_keys(one: str, other: str) -> Callable[[Files], None]:
    """The same titles in the same order, under each other's keys."""

    def make(question: Files) -> None:
        turned = {one: other, other: one}
        question["options"] = {
            turned.get(key, key): option for key, option in question["options"].items()
        }

    return make


def _title(key: str) -> Callable[[Files], None]:
    return lambda question: question["options"][key].update(title="It is fine")


def _drop(key: str) -> Callable[[Files], None]:
    return lambda question: question["options"].pop(key)


def _like(one: str, other: str) -> Callable[[Files], None]:
    return lambda question: question["options"][one].update(like=other)


def _as_yes_no(question: Files) -> None:
    del question["options"]
    question["kind"] = "yes_no"


def _renamed(hazard: str, fact: str, key: str) -> Callable[[Files], None]:
    """The answer under another name in the question, and in the hazard's own conditions."""

    def make(files: Files) -> None:
        question = files[QUESTIONS][fact]
        question["options"] = {
            (f"{name}_x" if name == key else name): option
            for name, option in question["options"].items()
        }
        entry = files[HAZARDS]["gates"][hazard]
        for part in ("closed_when", "caution_when"):
            if part in entry:
                entry[part] = _with_key(entry[part], key)

    return make


def _with_key(value: Any, key: str) -> Any:
    if isinstance(value, dict):
        return {name: _with_key(inside, key) for name, inside in value.items()}
    if isinstance(value, list):
        return [_with_key(inside, key) for inside in value]
    return f"{key}_x" if value == key else value


def _preset(files: Files, hazard: str, fact: str) -> Iterator[Change]:
    question = files[QUESTIONS][fact]

    def with_prior(made: Files) -> None:
        made[QUESTIONS][fact]["prior"] = _even(question)

    def of_a_part(part: str) -> Callable[[Files], None]:
        def make(made: Files) -> None:
            made[f"parts/{part}.yaml"].setdefault("priors", {})[fact] = _even(question)

        return make

    yield Change("an answer assumed", hazard, with_prior, (QUESTIONS,))
    for name, content in files.items():
        if name.startswith("parts/"):
            part = content["part"]
            yield Change("an answer assumed", f"{hazard}, {part}", of_a_part(part), (name,))
    if question["kind"] == "yes_no":

        def from_earlier(made: Files) -> None:
            made[QUESTIONS][fact]["earlier"] = "adhesive_bond"

        yield Change("answered by an earlier repair", hazard, from_earlier, (QUESTIONS,))
    else:

        def from_a_mark(made: Files) -> None:
            for content in (made[name] for name in made if name.startswith("facts/")):
                for other in content.values():
                    if "reads" in other:
                        other["reads"] = {"fact": fact, "unread": list(question["options"])[-1]}

        names = tuple(
            name for name, content in files.items()
            if name.startswith("facts/") and any("reads" in one for one in content.values())
        )  # fmt: skip
        yield Change("answered by a mark", hazard, from_a_mark, names)


# -- words -------------------------------------------------------------------------------------


def _reworded(files: Files, hazard: str, entry: Files) -> Iterator[Change]:
    fact = entry["fact"]
    for key in ("ask", "how", "title"):
        change = _on(QUESTIONS, fact, key, "Is everything fine?")
        yield Change(f"question's {key} changed", hazard, change, (QUESTIONS,))
    for key in ("refer", "caution", "title"):
        if key in entry:
            change = _on_gate(hazard, key, "Carry on with care.")
            yield Change(f"hazard's {key} changed", hazard, change, (HAZARDS,))
    for option, said in files[QUESTIONS][fact].get("options", {}).items():
        if "sentence" in said:
            change = _sentence(fact, option)
            yield Change("sentence changed", f"{hazard}, {option}", change, (QUESTIONS,))


def _on(file: str, fact: str, key: str, text: str) -> Callable[[Files], None]:
    return lambda files: files[file][fact].update({key: text})


def _on_gate(hazard: str, key: str, text: str) -> Callable[[Files], None]:
    return lambda files: files[HAZARDS]["gates"][hazard].update({key: text})


def _sentence(fact: str, option: str) -> Callable[[Files], None]:
    return lambda files: files[QUESTIONS][fact]["options"][option].update(sentence="Never mind")


# -- by the way of another part ----------------------------------------------------------------


def likened(files: Files) -> Iterator[Change]:
    """A part made like another, or no longer like one, where a hazard is lost by it."""
    pairs = asked_pairs(files)
    options = files[PARTS][PART]["options"]

    def like(part: str, other: str | None) -> Callable[[Files], None]:
        def make(made: Files) -> None:
            option = made[PARTS][PART]["options"][part]
            if other is None:
                del option["like"]
            else:
                option["like"] = other

        return make

    excepted = sorted({
        part
        for entry in files[HAZARDS]["gates"].values()
        for row in entry["asked_for"]
        for part in row.get("except_parts", ())
    })
    for part, option in options.items():
        changes = [
            Change("made like", f"{part}, {other}", like(part, other), (PARTS,))
            for other in excepted
            if other != part and part not in _line(options, other)
        ]
        if "like" in option:
            changes.append(Change("no longer like", part, like(part, None), (PARTS,)))
        for change in changes:
            after = asked_pairs(change.made(files))
            if any(before - after[hazard] for hazard, before in pairs.items()):
                yield change


# -- changes that do no harm ---------------------------------------------------------------------


def harmless(files: Files) -> Iterator[Change]:
    """Changes that leave every shipped hazard as it is, or add to it."""
    for key in ("hourly_rate", "call_out_minimum", "material_markup", "aborted_minutes"):
        yield Change("price", key, _scaled("prices.yaml", key), ("prices.yaml",))
    for name, content in list(files.items()):
        if not name.startswith("methods/") or "variant_of" in content:
            continue
        if "steps" in content:
            yield Change("a step reworded", name, _step(name), (name,))
        if "title" in content:
            yield Change("a method retitled", name, _retitled(name), (name,))
    for hazard, entry in files[HAZARDS]["gates"].items():
        yield Change("asked more widely", hazard, _widened(hazard), (HAZARDS,))
        if "options" in files[QUESTIONS][entry["fact"]]:
            change = _stricter(hazard, entry["fact"])
            yield Change("a further answer that stops", hazard, change, (HAZARDS, QUESTIONS))
    yield Change("a hazard added", "gas line", _gas_line, (HAZARDS, QUESTIONS))
    yield Change(
        "a hazard added to a part", "gas line", _gas_line_on_a_part,
        (HAZARDS, QUESTIONS, "parts/seat_cushion.yaml"),
    )  # fmt: skip


def _scaled(file: str, key: str) -> Callable[[Files], None]:
    def make(files: Files) -> None:
        value = files[file][key]
        for name in ("low", "typical", "high", "value"):
            if name in value:
                value[name] *= 1.25

    return make


def _step(name: str) -> Callable[[Files], None]:
    return lambda files: files[name]["steps"][0].update(text="As the shop does it.")


def _retitled(name: str) -> Callable[[Files], None]:
    return lambda files: files[name].update(title="As the shop calls it")


def _widened(hazard: str) -> Callable[[Files], None]:
    return lambda files: files[HAZARDS]["gates"][hazard].update(asked_for=[{}])


def _stricter(hazard: str, fact: str) -> Callable[[Files], None]:
    """A shop lets its people say that they are not sure, and stops there."""

    def make(files: Files) -> None:
        files[QUESTIONS][fact]["options"]["unsure"] = {"title": "I cannot tell"}
        entry = files[HAZARDS]["gates"][hazard]
        entry["closed_when"] = {"any": [entry["closed_when"], {"fact": fact, "is": "unsure"}]}

    return make


def _gas_line(files: Files) -> None:
    files[QUESTIONS]["gate.gas_line"] = {
        "kind": "choice", "stage": "hazards", "gate": True, "title": "Gas line",
        "ask": "Is there a gas pipe behind or under this section?",
        "how": "Look for a copper pipe, a regulator or a bottle locker.",
        "options": {"in_section": {"title": "Yes"}, "none": {"title": "No"}},
    }  # fmt: skip
    files[HAZARDS]["gates"]["gas_line"] = {
        "fact": "gate.gas_line", "title": "A gas line lies behind the damage",
        "asked_for": [{"vehicles": ["camper", "boat"]}],
        "closed_when": {"fact": "gate.gas_line", "is": "in_section"},
        "refer": "Refer to a licensed gas fitter to make it safe first.",
        "source": "practice", "status": "common_practice",
    }  # fmt: skip


def _gas_line_on_a_part(files: Files) -> None:
    _gas_line(files)
    del files[HAZARDS]["gates"]["gas_line"]["asked_for"]
    files["parts/seat_cushion.yaml"]["gates"] = ["gas_line"]
