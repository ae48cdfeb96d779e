"""A variant of a method says only what differs: the rest is taken from the method's file.

Mappings are merged key by key; lists, figures and conditions replace what the method has.
In place of a list a mapping from the numbers of its entries (``"2"``) merges into those.
Of the nodes only those are the variant's own that it changes, and those that follow from
them; other names mean the nodes of the method.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from advisor.facts.faults import Fault, nearest_name
from advisor.facts.marked_yaml import Where
from advisor.rulegraph.reading.pack_files import PackFile, PackFiles

T = TypeVar("T")
VARIANT_OF = "variant_of"
#: Not taken over: what names the method itself, and what counts for its variants anyway.
_STAYS = ("called", "fallback", "tips", "waits", "lasts", "renewal")
#: A mapping with one of these is a figure or a condition and is replaced as a whole.
_WHOLE = ("value", "low", "fact", "node", "all", "any", "not")
#: Keys of a node that are read by people alone.
_WORDS = ("title", "note", "source", "status", "unit", "relation")


def inherit(files: PackFiles) -> None:
    """Complete every file that is a ``variant_of`` another; faults for those that cannot be."""
    methods = {
        str(file.marked.data.get("method")): file
        for name, file in files.files.items()
        if name.startswith("methods/") and "variant" not in file.marked.data
    }
    for file in [one for one in files.files.values() if VARIANT_OF in one.marked.data]:
        base = methods.get(str(file.marked.data[VARIANT_OF]))
        fault = _fault(file, base, methods)
        if fault is not None or base is None:
            missed = base is None and files.lost.names(str(file.marked.data[VARIANT_OF]))
            files.faults += [fault] if fault and not missed else []
            files.lost.add(file.name, file.marked.data)
            del files.files[file.name]
        else:
            _complete(file, base, files.faults)


def _fault(file: PackFile, base: PackFile | None, methods: Mapping[str, PackFile]) -> Fault | None:
    """What keeps a file from being a variant of ``base``."""
    data = file.marked.data
    if not file.name.startswith("methods/"):
        return file.fault((VARIANT_OF,), "only a method has variants", at_key=True)
    if base is None:
        near = nearest_name(str(data[VARIANT_OF]), methods)
        return file.fault(
            (VARIANT_OF,), "no such method", str(data[VARIANT_OF]), ", ".join(methods), near
        )
    if "variant" not in data:
        return file.fault((VARIANT_OF,), "variant is missing", accepted="a name of its own")
    if data.get("method", data[VARIANT_OF]) != data[VARIANT_OF]:
        return file.fault(("method",), "not the method that it is a variant of",
                          str(data["method"]), str(data[VARIANT_OF]))  # fmt: skip
    return None


def _complete(file: PackFile, base: PackFile, faults: list[Fault]) -> None:
    """Put what ``file`` takes over from ``base`` into it; both keep their places for faults."""
    own, given = file.marked.data, base.marked.data
    taken = {key: value for key, value in given.items() if key not in _STAYS}
    merge = _Merge(file, faults)
    data = merge.of(own, taken, (), ())
    nodes = data.get("nodes")
    if isinstance(nodes, dict):
        changed = _with_followers(set(own.get("nodes") or ()), given.get("nodes") or {})
        data["nodes"] = {name: node for name, node in nodes.items() if name in changed}
    marked = file.marked
    file.base = base
    file.marked = replace(
        marked,
        data=data,
        marks=merge.moved(marked.marks),
        key_marks=merge.moved(marked.key_marks),
        texts={**base.marked.texts, **merge.moved(marked.texts)},
    )


def _with_followers(names: set[str], nodes: Mapping[str, Any]) -> set[str]:
    """The names, and those of all nodes that are calculated from one of them."""
    while True:
        more = {
            name
            for name, node in nodes.items()
            if name not in names and not names.isdisjoint(_names_in(node))
        }
        if not more:
            return names
        names = names | more


def _names_in(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inside in value.items():
            if key not in _WORDS:
                yield from _names_in(inside)
    elif isinstance(value, list):
        for inside in value:
            yield from _names_in(inside)
    elif isinstance(value, str):
        yield value


@dataclass
class _Merge:
    """Merges what a file says into what it takes over, and keeps where its own parts went."""

    file: PackFile
    faults: list[Fault]
    places: dict[Where, Where] = field(default_factory=dict)
    """Place in the merged data to the place in the file, of all that the file says itself."""

    def of(self, own: Any, given: Any, at: Where, own_at: Where) -> Any:
        self.places[at] = own_at
        if isinstance(own, dict) and isinstance(given, list):
            return self._entries(own, given, at, own_at)
        if not isinstance(own, dict):
            given = None
        elif not isinstance(given, dict) or not own.keys().isdisjoint(_WHOLE):
            given = {}
        if given is not None:
            inside = {
                key: self.of(value, given.get(key), (*at, key), (*own_at, key))
                for key, value in own.items()
            }
            return {**given, **inside}
        if isinstance(own, list):
            return [
                self.of(value, None, (*at, i), (*own_at, i)) for i, value in enumerate(own)
            ]
        return own

    def _entries(self, own: Mapping[str, Any], given: list[Any], at: Where, own_at: Where) -> Any:
        merged = list(given)
        for key, value in own.items():
            number = int(key) if key.isdecimal() else 0
            if 1 <= number <= len(given):
                place = number - 1
                merged[place] = self.of(value, given[place], (*at, place), (*own_at, key))
            else:
                accepted = f'the number of an entry of the method, "1" to "{len(given)}", or a list'
                where = (*own_at, key)
                self.faults.append(
                    self.file.fault(where, "no such entry", key, accepted, at_key=True)
                )
        return merged

    def moved(self, table: Mapping[Where, T]) -> dict[Where, T]:
        """A table by places in the file, by the places in the merged data."""
        return {at: table[own_at] for at, own_at in self.places.items() if own_at in table}
