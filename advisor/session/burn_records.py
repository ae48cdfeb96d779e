"""Burn-test records that the window keeps: a file each, changed field by field. Knows no Qt.

What is entered is on disk before a call returns, complete or not: the verdict says what is
missing. The rule set is what the station gave; nothing is filled in for it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from advisor.facts.faults import BadInput, Fault
from advisor.facts.marked_yaml import marked_text
from advisor.facts.text_file import MAX_BYTES, read_text
from advisor.facts.whole_file import private_folder, write_whole
from advisor.papers.burn.judge import Judged, judge
from advisor.papers.burn.record import BurnRecord, burn_record_in
from advisor.papers.burn.rule_sets import KINDS, READINGS, shipped_rules
from advisor.papers.yaml_record import as_written, plain_text
from advisor.paths import papers_folder
from advisor.session.form_fields import FormField, Kind, shown_value

YES = Kind.YES_NO
DIRECTIONS = ("any", "warp", "fill")
_BARE = re.compile(r"-?(?:[0-9]+ )?[0-9]+(?:[./][0-9]+)?")
_WENT_OUT = (
    ("before_first_mark", "before the first mark"), ("before_last_mark", "before the last mark"),
    ("did_not", "did not go out"),
)  # fmt: skip
#: What a reading is called over its column, and what is written there.
_READ_AS: Mapping[str, str] = {
    "burn_length": "Burn length", "flame_time": "Flame after", "drip_flame_time": "Drips burn",
    "glow_time": "Glow after", "penetration": "Penetration", "went_out": "Went out",
    "distance": "Distance", "time": "Time", "rate": "Rate, if no time",
    "weight_before": "Weight before", "weight_after": "Weight after",
    "weight_loss": "Loss, if not weighed", "far_side_reached": "Far side reached",
    "heat_peak": "Peak heat", "heat_total": "Heat in 2 min", "smoke_density": "Smoke density",
    "cotton_lit": "Cotton wool lit",
}  # fmt: skip
_YES_NO_READINGS = ("penetration", "far_side_reached", "cotton_lit")


def burn_folder() -> Path:
    """Where this user's records are kept; need not exist."""
    return papers_folder() / "burn"


@dataclass(frozen=True)
class Listed:
    """One record of the list."""

    path: Path
    name: str
    said: str
    """Its verdict, or why it cannot be read."""


@dataclass(frozen=True)
class Reading:
    """One column of the table of specimens."""

    key: str
    title: str
    options: tuple[tuple[str, str], ...] = ()


def listed(folder: Path | None = None) -> list[Listed]:
    """The records that are kept, by name."""
    place = folder or burn_folder()
    found = []
    for path in sorted(place.glob("*.yaml")) if place.is_dir() else ():
        try:
            record = KeptBurnRecord.open(path)
        except BadInput as error:
            found.append(Listed(path, path.stem, f"cannot be read: {error.faults[0].text}"))
        else:
            found.append(Listed(path, record.record.record, record.judged.verdict.value))
    return found


class KeptBurnRecord:
    """One record and its file."""

    def __init__(self, path: Path, data: dict[str, Any]) -> None:
        """Raises BadInput where the data are no record."""
        self.path = path
        self.rules = shipped_rules()
        self.data = data
        self.record: BurnRecord = self._read(data)

    @classmethod
    def open(cls, path: Path) -> KeptBurnRecord:
        """The record in a file. Raises BadInput."""
        text = read_text(path, MAX_BYTES)
        burn_record_in(text, str(path), shipped_rules())  # its faults with their lines
        marked = marked_text(text, str(path))
        return cls(path, as_written(marked.data, marked))

    @classmethod
    def begin(cls, name: str, folder: Path | None = None) -> KeptBurnRecord:
        """A new, empty record. Raises BadInput where there is one of that name."""
        plain = re.sub(r"[^A-Za-z0-9._-]", "_", name)[:60].lstrip(".") or "record"
        path = (folder or burn_folder()) / f"{plain}.yaml"
        if path.exists():
            problem, accepted = "a record of this name is kept already", "another name"
            raise BadInput(Fault("burn test", 0, 0, "record", problem, name, accepted))
        made = cls(path, {"format": "1", "record": name})
        made._keep(made.data)
        return made

    @classmethod
    def taken_from(cls, file: Path, folder: Path | None = None) -> KeptBurnRecord:
        """A record from a file elsewhere, kept under its own name. Raises BadInput."""
        read = cls.open(file)
        made = cls.begin(read.record.record, folder)
        made._keep(read.data)
        return made

    @property
    def judged(self) -> Judged:
        """The verdict as the record stands."""
        return judge(self.record, self.rules)

    # -- fields --------------------------------------------------------------------------

    def basis_fields(self) -> tuple[FormField, ...]:
        """Which rule, and whose paper it is."""
        sets = tuple((key, one.title) for key, one in self.rules.sets.items())
        return (
            FormField("rule_set", "Rule set", Kind.CHOICE, sets, "as given, never guessed"),
            FormField("title", "Title"),
            FormField("laboratory", "Laboratory"),
            FormField("certificate", "Certificate", hint="its number"),
            FormField("date", "Date of the test"),
        )

    def item_fields(self) -> tuple[FormField, ...]:
        """What was tested, in the words of the rule set that was given."""
        rules = self.rules.sets.get(self.record.rule_set or "")
        items = rules.items if rules else {}
        item = items.get(self.record.item or "")
        asked = [*item.tests, *item.tests_not_required] if item else []
        tests = [*asked, *(name for name in self.rules.tests if name not in asked)]
        found = [
            FormField(
                "item", "Class of item", Kind.CHOICE,
                tuple((key, one.title) for key, one in items.items()),
                "" if rules else "first the rule set",
            ),
            FormField(
                "test", "Test", Kind.CHOICE,
                tuple((name, self.rules.tests[name].title) for name in tests),
            ),
            FormField("directional", "Has a warp and a fill, or a roll direction", YES),
            FormField("passengers", "Seats for passengers", hint="where the rule asks"),
            FormField("agreed_limit", "Limit agreed with the buyer", hint="ISO 3795 only"),
        ]  # fmt: skip
        return tuple(found)

    @staticmethod
    def air_fields() -> tuple[FormField, ...]:
        """What the specimens lay in before."""
        return (
            FormField("conditioning.temperature", "Temperature", hint="70 degF or 21 degC"),
            FormField("conditioning.humidity", "Humidity", hint="50 %"),
            FormField("conditioning.time", "For how long", hint="24 h"),
            FormField("conditioning.equilibrium", "Moisture equilibrium noted", YES),
        )

    @staticmethod
    def material_fields() -> tuple[FormField, ...]:
        """What was tested, as the certificate names it."""
        return (
            FormField("material.what", "Material"),
            FormField("material.maker", "Maker"),
            FormField("material.part_number", "Part number"),
            FormField("material.batch", "Batch"),
            FormField("material.colour", "Colour"),
            FormField("material.build_up", "Build-up"),
            FormField("material.finish", "Finish", Kind.LINE, (("none", "none"),)),
            FormField("material.thickness", "Thickness tested", hint="1.2 mm"),
            FormField("material.thinnest_in_use", "Thinnest that is used", hint="1.2 mm"),
        )

    def values(self, fields: Sequence[FormField]) -> dict[str, str]:
        """What the record says in these fields."""
        return {field.path: shown_value(self.data, field.path) for field in fields}

    def put(self, values: Mapping[str, object]) -> None:
        """Set fields by dotted names; an empty one is taken away. Raises BadInput.

        With another rule set an item that it does not know goes.
        """
        data = _copy(self.data)
        for name, value in values.items():
            *way, last = name.split(".")
            place = data
            for key in way:
                place = place.setdefault(key, {})
            if value in (None, ""):
                place.pop(last, None)
            else:
                place[last] = value
        rules = self.rules.sets.get(str(data.get("rule_set")))
        if "rule_set" in values and data.get("item") not in (rules.items if rules else {}):
            data.pop("item", None)
        self._keep(data)

    # -- specimens -----------------------------------------------------------------------

    def readings(self) -> tuple[Reading, ...]:
        """The columns of the table: what the test reads; none before the test is given."""
        test = self.rules.tests.get(self.record.test or "")
        keys = [name for quantity in test.reads for name in READINGS[quantity]] if test else []
        return tuple(Reading(key, _READ_AS[key], _options(key)) for key in dict.fromkeys(keys))

    def least_specimens(self) -> int:
        """How many the test asks for along a direction; 1 before the test is given."""
        test = self.rules.tests.get(self.record.test or "")
        return test.specimens.least if test else 1

    def rows(self) -> list[tuple[str, dict[str, str]]]:
        """The specimens, each with its direction and what was read."""
        groups = self.data.get("specimens") or {}
        return [
            (direction, {key: shown_value(one, key) for key in one})
            for direction, group in groups.items() for one in group or ()
        ]  # fmt: skip

    def put_rows(self, rows: Sequence[tuple[str, Mapping[str, str]]]) -> None:
        """Set all specimens. An empty reading stays blank. Raises BadInput."""
        groups: dict[str, list[dict[str, object]]] = {}
        for direction, read in rows:
            one: dict[str, object] = {key: _value(key, text) for key, text in read.items() if text}
            groups.setdefault(direction, []).append(one)
        data = _copy(self.data)
        data.pop("specimens", None)
        if groups:
            data["specimens"] = groups
        self._keep(data)

    # -- inside --------------------------------------------------------------------------

    def _read(self, data: Mapping[str, Any]) -> BurnRecord:
        return burn_record_in(plain_text(data), "burn test", self.rules)

    def _keep(self, data: dict[str, Any]) -> None:
        record = self._read(data)
        try:
            private_folder(self.path.parent)
            write_whole(self.path, plain_text(data).encode("utf-8"), private=True)
        except OSError as error:
            problem = f"cannot be written: {error.strerror or error}"
            raise BadInput(Fault(str(self.path), 0, 0, "", problem, "", "")) from None
        self.data, self.record = data, record


def with_unit_above(text: str, above: Sequence[str], key: str) -> str:
    """What was typed, with the unit of the last reading above it where it has none itself.

    ``above`` are the readings over it, the nearest first. Nothing is added where there is no
    unit above: the unit is then asked for.
    """
    text = " ".join(text.split())
    kind = KINDS.get(key)
    if kind == "number" or not _BARE.fullmatch(text):
        return text
    for other in above:
        parts = re.fullmatch(rf"{_BARE.pattern} *(\S.*)", " ".join(other.split()))
        if parts is not None:
            return f"{text} {parts[1]}"
    return text


def specimen_faults(error: BadInput) -> list[str]:
    """Faults of specimens in words of the table: which specimen, which reading."""
    found = []
    for fault in error.faults:
        parts = re.fullmatch(r"specimens\.(\w+)\.(\d+)(?:\.(\w+))?", fault.field)
        said = fault.text.partition(f"{fault.field}: ")[2] if fault.field else fault.text
        if parts is None:
            found.append(said or fault.text)
            continue
        along = "" if parts[1] == "any" else f" along the {parts[1]}"
        read = f", {_READ_AS.get(parts[3], parts[3]).lower()}" if parts[3] else ""
        found.append(f"Specimen {int(parts[2]) + 1}{along}{read}: {said}")
    return found


def _options(key: str) -> tuple[tuple[str, str], ...]:
    if key in _YES_NO_READINGS:
        return (("yes", "yes"), ("no", "no"))
    return _WENT_OUT if key == "went_out" else ()


def _value(key: str, text: str) -> object:
    return text == "yes" if key in _YES_NO_READINGS else text


def _copy(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copy(inside) for key, inside in value.items()}
    return [_copy(inside) for inside in value] if isinstance(value, list) else value
