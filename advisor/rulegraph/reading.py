"""Reading and validating the files of a rule pack; all faults are collected."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from advisor.facts.faults import BadInput, Fault, nearest_name
from advisor.facts.marked_yaml import Marked, read_marked

from .schema import CONTENTS, CURRENCY, OPTIONAL
from .schema_facts import FactModel

Model = TypeVar("Model")
Loc = tuple[str | int, ...]


@dataclass
class PackFile:
    """One file of the pack: its marks for messages, and its validated content."""

    name: str
    path: Path
    marked: Marked
    content: Any = None

    def fault(
        self,
        loc: Loc,
        problem: str,
        found: str = "",
        accepted: str = "",
        nearest: str = "",
        *,
        at_key: bool = False,
    ) -> Fault:
        """A fault at a place in this file: at a value, or at the key that names it."""
        line, column = self.marked.key_mark(loc) if at_key else self.marked.mark(loc)
        where = ".".join(str(part) for part in loc)
        return Fault(str(self.path), line, column, where, problem, found, accepted, nearest)


@dataclass
class PackFiles:
    """All files of a pack, shipped and overlaid."""

    files: dict[str, PackFile] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    overlaid: list[str] = field(default_factory=list)
    digest: str = ""

    def one(self, name: str) -> PackFile:
        """The single file called ``name``."""
        return self.files[name]

    def folder(self, prefix: str) -> list[PackFile]:
        """Files of one folder, by name."""
        return [self.files[name] for name in sorted(self.files) if name.startswith(prefix)]

    def facts(self) -> Iterator[tuple[PackFile, str, FactModel]]:
        """Every declared fact with the file it stands in, in asking order."""
        for file in self.folder("facts/"):
            for name, model in file.content.items():
                yield file, name, model


def listing(folder: Path) -> dict[str, Path]:
    return {
        path.relative_to(folder).as_posix(): path
        for path in sorted(folder.rglob("*.yaml"))
        if path.is_file()
    }


def _nearly_yaml(*folders: Path | None) -> list[Path]:
    """Files that were meant for the pack but would be passed over for their suffix."""
    return [
        path
        for folder in folders
        if folder is not None and folder.is_dir()
        for path in sorted(folder.rglob("*"))
        if path.suffix.lower() in (".yml", ".yaml") and path.suffix != ".yaml" and path.is_file()
    ]


def _misnamed(path: Path) -> Fault:
    problem, accepted = "the name must end in .yaml", path.with_suffix(".yaml").name
    return Fault(str(path), 0, 0, "", problem, path.name, accepted)


def read_files(base: Path, overlay: Path | None) -> PackFiles:
    found = PackFiles()
    if not base.is_dir():
        found.faults.append(
            Fault(str(base), 0, 0, "", "no such folder", "", "a folder with a rule pack")
        )
        return found
    paths = listing(base)
    if overlay is not None and overlay.is_dir():
        extra = listing(overlay)
        found.overlaid = sorted(extra)
        paths.update(extra)
    found.faults += [_misnamed(path) for path in _nearly_yaml(base, overlay)]
    for required in CONTENTS:
        if required not in OPTIONAL and not any(name.startswith(required) for name in paths):
            accepted = f"{required}*.yaml" if required.endswith("/") else required
            message = f"the rule pack lacks {required}"
            found.faults.append(Fault(str(base), 0, 0, "", message, "", accepted))
    digest = hashlib.sha256()
    for name in sorted(paths):
        _read_one(found, name, paths[name], digest)
    found.digest = digest.hexdigest()
    return found


def _read_one(found: PackFiles, name: str, path: Path, digest: Any) -> None:
    known = name if name in CONTENTS else name.split("/")[0] + "/"
    if known not in CONTENTS or name.count("/") > 1:
        accepted = ", ".join(CONTENTS)
        near = nearest_name(name, CONTENTS)
        found.faults.append(
            Fault(str(path), 0, 0, "", "not a file of a rule pack", name, accepted, near)
        )
        return
    try:
        marked = read_marked(path)
    except BadInput as bad:
        found.faults.extend(bad.faults)
        return
    digest.update(name.encode() + b"\0" + path.read_bytes() + b"\0")
    file = PackFile(name, path, marked)
    found.files[name] = file
    try:
        file.content = adapter(known).validate_python(marked.data)
    except ValidationError as error:
        found.faults.extend(_translate(file, error))


#: Kind of finding to the problem and what is accepted.
_WORDS = {
    "float_type": ("not a number", "a number"),
    "float_parsing": ("not a number", "a number"),
    "finite_number": ("not a finite number", "a number"),
    "int_type": ("not a whole number", "a whole number"),
    "int_parsing": ("not a whole number", "a whole number"),
    "int_from_float": ("not a whole number", "a whole number"),
    "bool_type": ("not yes or no", "yes or no"),
    "bool_parsing": ("not yes or no", "yes or no"),
    "string_type": ("not a text", "a text"),
    "string_too_long": ("too long a text", "a shorter one"),
    "string_too_short": ("an empty text", "at least one letter"),
    "tuple_type": ("not a list", "a list, such as [a, b]"),
    "list_type": ("not a list", "a list, such as [a, b]"),
    "dict_type": ("not a mapping", "keys with values"),
    "model_type": ("not a mapping", "keys with values"),
}
#: Kind of finding to the words before its limit.
_LIMITS = {
    "greater_than": "more than",
    "greater_than_equal": "at least",
    "less_than": "less than",
    "less_than_equal": "at most",
}
_ADAPTERS: dict[str, TypeAdapter[Any]] = {}


def adapter(known: str) -> TypeAdapter[Any]:
    """The validator of one kind of file, built on first use."""
    if known not in _ADAPTERS:
        _ADAPTERS[known] = TypeAdapter(CONTENTS[known])
    return _ADAPTERS[known]


def _translate(file: PackFile, error: ValidationError) -> list[Fault]:
    """Pydantic's findings as faults with file, line and nearest name."""
    faults = []
    seen: set[tuple[Loc, str]] = set()
    items = [
        (_place(file.marked.data, item["loc"]), item)
        for item in error.errors(include_url=False)
    ]
    # Of the kinds of value that may stand in a place, the one that was meant says most.
    meant = {loc for loc, item in items if not item["type"].endswith(("_type", "_parsing"))}
    for loc, item in items:
        kind = item["type"]
        if kind.endswith(("_type", "_parsing")) and any(m[: len(loc)] == loc for m in meant):
            continue
        at_key = kind == "extra_forbidden" or item["loc"][-1:] == ("[key]",)
        problem, accepted, nearest = item["msg"].removeprefix("Value error, "), "", ""
        found = _shown(item.get("input"))
        if kind == "extra_forbidden":
            name = str(item["loc"][-1])
            problem, found = "unknown key", name
            siblings = _keys_beside(file, loc)
            accepted, nearest = ", ".join(siblings), nearest_name(name, siblings)
        elif kind == "missing":
            problem, found = f"{item['loc'][-1]} is missing", ""
        elif kind == "value_error":
            found = ""
        elif kind == "too_short":
            problem, found = "nothing is listed", ""
        elif kind == "literal_error":
            problem, accepted = "not one of the accepted words", str(item["ctx"]["expected"])
            words = accepted.replace("'", "").replace(" or ", ", ").split(", ")
            nearest = nearest_name(str(item.get("input")), words)
        elif kind == "string_pattern_mismatch":
            problem = "not a name"
            accepted = "small letters, digits, _ and . such as skin.thickness"
            if item["ctx"]["pattern"] == CURRENCY:
                problem, accepted = "not a currency", "three capital letters such as EUR"
        elif kind in _WORDS:
            problem, accepted = _WORDS[kind]
        elif kind in _LIMITS:
            limit = next(iter(item["ctx"].values()))
            problem, accepted = "outside the range", f"{_LIMITS[kind]} {limit:g}"
        if (loc, problem) in seen:
            continue
        seen.add((loc, problem))
        faults.append(file.fault(loc, problem, found, accepted, nearest, at_key=at_key))
    return faults


def _place(data: Any, loc: Loc) -> Loc:
    """The longest prefix of a pydantic location that exists in the file."""
    place: list[str | int] = []
    for part in loc:
        known = isinstance(data, dict) and part in data
        if known or (isinstance(data, list) and isinstance(part, int) and part < len(data)):
            data = data[part]
            place.append(part)
    return tuple(place)


def _keys_beside(file: PackFile, loc: Loc) -> list[str]:
    """Keys accepted where an unknown one stands, found by asking the schema."""
    known = file.name if file.name in CONTENTS else file.name.split("/")[0] + "/"
    definitions = adapter(known).json_schema(by_alias=True)
    node: Any = definitions
    for part in loc[:-1]:
        node = _step(_resolve(node, definitions), part)
        if node is None:
            return []
    return sorted(_resolve(node, definitions).get("properties", {}))


def _resolve(node: Any, definitions: Any) -> Any:
    while isinstance(node, dict):
        if "$ref" in node:
            node = definitions["$defs"][node["$ref"].rsplit("/", 1)[1]]
        elif "anyOf" in node:
            node = next((n for n in node["anyOf"] if n.get("type") != "null"), {})
        else:
            return node
    return {}


def _step(node: Any, part: str | int) -> Any:
    if isinstance(part, int):
        return node.get("items")
    inside = node.get("properties", {}).get(part)
    if inside is None:
        inside = next(iter(node.get("patternProperties", {}).values()), None)
    return inside if inside is not None else node.get("additionalProperties")


def _shown(value: Any) -> str:
    if value is None or isinstance(value, dict | list | tuple):
        return "" if value is None else f"a {'mapping' if isinstance(value, dict) else 'list'}"
    return str(value)
