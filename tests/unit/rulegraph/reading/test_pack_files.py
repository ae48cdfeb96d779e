"""Files that are missing, hostile or no text; every fault at once; the kept pack."""

from __future__ import annotations

import hashlib
import os
import pickle
import shutil
import time
from pathlib import Path

import pytest

from advisor.advice.advise import advise
from advisor.facts.case import Case
from advisor.facts.faults import BadInput
from advisor.paths import PACKAGE, seal_key_file
from advisor.rulegraph import load
from advisor.rulegraph.load import load_pack
from tests.unit.rulegraph.spoiled import Spoiled

REQUIRED = [
    "drawing.yaml", "hazards.yaml", "job.yaml", "needs.yaml", "pack.yaml", "parts.yaml",
    "prices.yaml", "roles.yaml", "sources.yaml",
]  # fmt: skip
BIG = 50_000_000


@pytest.mark.parametrize("name", REQUIRED)
def test_missing_file(name: str, spoiled: Spoiled) -> None:
    (spoiled.folder / name).unlink()
    assert [fault.text for fault in spoiled.faults()] == [
        f"{spoiled.folder}: the rule pack lacks {name}; accepted: {name}"
    ]


def test_empty_folder_lists_all_that_is_missing(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        load_pack(tmp_path)
    missing = [fault.accepted for fault in caught.value.faults]
    assert set(REQUIRED) <= set(missing)


@pytest.mark.parametrize("name", ["nowhere", "x" * 3000])
def test_no_such_folder(name: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such folder"):
        load_pack(tmp_path / name)


def test_duplicate_key_names_both_places(spoiled: Spoiled) -> None:
    spoiled.edit("loads/", "  skin.strength_left:\n", "  skin.poisson:\n")
    (fault,) = spoiled.faults()
    first = spoiled.place("loads/", "skin.poisson")
    second = spoiled.place("loads/", "  skin.poisson:\n    title: Strength")
    assert (fault.line, fault.column) == (second[0], second[1] + 2)
    assert fault.problem == f"given twice, first in line {first[0]}, column {first[1]}"


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"needs: &all {close: 1}\nmore: *all\n", "anchors and aliases"),
        (b"needs: &a [*a]\n", "anchors and aliases"),
        (b"\x7fELF\0\0\1", "not a text file"),
        (b"needs: \xff\xfe\n", "not UTF-8"),
        (b"- close\n", "not a mapping"),
        (b"", "empty"),
        (b"needs: {close: [}\n", "not valid YAML"),
        (b"needs: !!python/object/apply:os.getcwd []\n", "tags"),
        (b"[" * 5000, "nest"),
    ],
)
def test_hostile_file(content: bytes, problem: str, spoiled: Spoiled) -> None:
    (spoiled.folder / "needs.yaml").write_bytes(content)
    faults = spoiled.faults()
    assert {spoiled.name_of(fault) for fault in faults} == {"needs.yaml"}
    assert problem in faults[0].problem


def sparse(path: Path) -> None:
    with path.open("wb") as stream:
        stream.truncate(BIG)


@pytest.mark.parametrize("name", ["needs.yaml", "methods/more.yaml"])
def test_huge_file_is_refused_unread(
    name: str, spoiled: Spoiled, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A pack that was kept before must not hide the file either."""
    load_pack(spoiled.folder)
    sparse(spoiled.folder / name)
    opened: list[Path] = []
    whole = Path.read_bytes

    def counted(path: Path) -> bytes:
        opened.append(path)
        return whole(path)

    monkeypatch.setattr(Path, "read_bytes", counted)
    began = time.perf_counter()
    (fault,) = spoiled.faults()
    assert time.perf_counter() - began < 5.0
    assert "too large: 50,000,000 bytes" in fault.problem
    assert spoiled.folder / name not in opened


def test_name_with_the_wrong_ending_is_not_passed_over(spoiled: Spoiled) -> None:
    (spoiled.folder / "methods/hand_stitch.yaml").rename(spoiled.folder / "methods/stitch.yml")
    (fault,) = spoiled.faults()
    assert fault.accepted == "stitch.yaml"


@pytest.mark.parametrize("name", ["extra.yaml", "methods/old/glue.yaml"])
def test_file_that_does_not_belong(name: str, spoiled: Spoiled) -> None:
    path = spoiled.folder / name
    path.parent.mkdir(exist_ok=True)
    path.write_text("a: 1\n", encoding="utf-8")
    (fault,) = spoiled.faults()
    assert (fault.problem, fault.found) == ("not a file of a rule pack", name)


def test_all_faults_at_once(spoiled: Spoiled) -> None:
    """Four files, five faults, sorted by file and line."""
    spoiled.edit("loads/", "shore_a: skin.shore", "shore_a: skin.shor")
    spoiled.edit("loads/", 'age: 1 yr', 'age: 1 mm')
    spoiled.edit("methods/hand_stitch.yaml", "site: skin", "site: skim")
    spoiled.edit("methods/hand_stitch.yaml", "[cyanoacrylate]", "[cyanoacrylat]")
    spoiled.edit("prices.yaml", "high: 90, source: estimate", "high: 90, source: estimat")
    faults = spoiled.faults()
    assert [spoiled.name_of(fault) for fault in faults] == [
        "loads/", "loads/", "methods/hand_stitch.yaml", "methods/hand_stitch.yaml",
        "prices.yaml",
    ]  # fmt: skip
    places = [(fault.file, fault.line) for fault in faults]
    assert places == sorted(places)
    assert all(fault.text.count("\n") == 0 for fault in faults)


def test_all_misshapen_entries_at_once(spoiled: Spoiled) -> None:
    spoiled.edit("methods/hand_stitch.yaml", "order: 40", "ordr: 40")
    spoiled.edit("loads/", "0.35, typical: 0.42, high: 0.48}", "0.55, typical: 0.42, high: 0.48}")
    assert [f.problem for f in spoiled.faults()] == [
        "low, typical and high must not fall",
        "order is missing",
        "unknown key",
    ]


def test_kept_pack_gives_the_same_advice(spoiled: Spoiled, monkeypatch: pytest.MonkeyPatch) -> None:
    fresh = load_pack(spoiled.folder)
    monkeypatch.setattr(load, "_keep", lambda *_: pytest.fail("it was compiled again"))
    kept = load_pack(spoiled.folder)
    case = Case("HB-1", facts={"part.kind": ("armrest",), "vehicle.kind": ("bus",),
                               "damage.kind": ("seam_open",)})
    assert kept.digest == fresh.digest
    assert advise(case, kept, 256) == advise(case, fresh, 256)


def test_spoiled_kept_pack_is_compiled_anew(spoiled: Spoiled, tmp_path: Path) -> None:
    digest = load_pack(spoiled.folder).digest
    (kept,) = (tmp_path / "cache").rglob("pack-*.pickle")
    kept.write_bytes(b"not a pickle")
    assert load_pack(spoiled.folder).digest == digest


def test_a_kept_pack_of_which_a_bit_has_changed_is_not_used(
    spoiled: Spoiled, tmp_path: Path
) -> None:
    """Most such files still open, and then hold another figure or name."""
    load_pack(spoiled.folder)
    (kept,) = (tmp_path / "cache").rglob("pack-*.pickle")
    whole = kept.read_bytes()
    for place in range(0, len(whole), len(whole) // 40):
        content = bytearray(whole)
        content[place] ^= 4
        kept.write_bytes(content)
        assert load._kept(kept.stem.removeprefix("pack-")) is None, place


class Runs:
    """Writes a file when a pickle of it is opened."""

    def __init__(self, place: Path) -> None:
        self.place = place

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return os.mkdir, (str(self.place),)


def test_a_foreign_pickle_is_never_opened(spoiled: Spoiled, tmp_path: Path) -> None:
    load_pack(spoiled.folder)
    (kept,) = (tmp_path / "cache").rglob("pack-*.pickle")
    kept.write_bytes(pickle.dumps(Runs(tmp_path / "ran")) + b"\0" * load.SEAL)
    load_pack(spoiled.folder)
    assert not (tmp_path / "ran").exists()


def test_a_seal_that_anybody_can_compute_opens_nothing(spoiled: Spoiled, tmp_path: Path) -> None:
    """Who can write to the cache, and knows this program, still lacks the user's key."""
    key = load._key(spoiled.folder, None)
    load_pack(spoiled.folder)
    (kept,) = (tmp_path / "cache").rglob("pack-*.pickle")
    evil = pickle.dumps(Runs(tmp_path / "ran"))
    for seal in (hashlib.sha256(key.encode() + evil).digest(), load._seal(b"", key, evil),
                 load._seal(b"\0" * load.SEAL, key, evil)):
        kept.write_bytes(evil + seal)
        load_pack(spoiled.folder)
    assert not (tmp_path / "ran").exists()


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="files have no rights here")
def test_key_and_kept_pack_are_for_this_user_alone(spoiled: Spoiled, tmp_path: Path) -> None:
    load_pack(spoiled.folder)
    key = seal_key_file()
    (kept,) = (tmp_path / "cache").rglob("pack-*.pickle")
    assert [path.stat().st_mode & 0o777 for path in (key, kept)] == [0o600, 0o600]
    assert [path.parent.stat().st_mode & 0o777 for path in (key, kept)] == [0o700, 0o700]


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="files have no rights here")
@pytest.mark.parametrize("harm", ["others may read it", "cut short"])
def test_a_key_that_is_none_is_made_anew(spoiled: Spoiled, tmp_path: Path, harm: str) -> None:
    load_pack(spoiled.folder)
    place = seal_key_file()
    before = place.read_bytes()
    if harm == "cut short":
        place.write_bytes(before[:5])
    else:
        place.chmod(0o644)
    key = load._key(spoiled.folder, None)
    assert load._kept(key) is None
    load_pack(spoiled.folder)
    assert place.read_bytes() != before and place.stat().st_mode & 0o777 == 0o600
    assert load._kept(key) is not None


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="files have no owner here")
def test_a_key_that_another_user_made_opens_nothing(
    spoiled: Spoiled, monkeypatch: pytest.MonkeyPatch
) -> None:
    key = load._key(spoiled.folder, None)
    load_pack(spoiled.folder)
    assert load._kept(key) is not None
    user = os.getuid() + 1
    monkeypatch.setattr(os, "getuid", lambda: user)
    assert load._kept(key) is None


def test_nothing_is_left_where_a_pack_cannot_be_kept(
    spoiled: Spoiled, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    load_pack(spoiled.folder)
    assert [path for path in (tmp_path / "cache").rglob("*") if path.is_file()] == []


def test_a_pack_changed_while_it_was_read_is_not_kept(
    spoiled: Spoiled, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from advisor.rulegraph.reading import read_pack as reading

    whole = reading.read_files

    def meanwhile(*folders: Path) -> object:
        found = whole(*folders)
        with (spoiled.folder / "prices.yaml").open("a", encoding="utf-8") as stream:
            stream.write("# changed\n")
        return found

    monkeypatch.setattr(reading, "read_files", meanwhile)
    load_pack(spoiled.folder)
    assert list((tmp_path / "cache").rglob("pack-*.pickle")) == []


def test_what_a_file_system_keeps_for_itself_is_no_rule(spoiled: Spoiled) -> None:
    before = load_pack(spoiled.folder).digest
    (spoiled.folder / "._prices.yaml").write_bytes(b"\0\5\x16\7")
    (spoiled.folder / ".git").mkdir()
    (spoiled.folder / ".git/old.yaml").write_text("a: 1\n", encoding="utf-8")
    assert load_pack(spoiled.folder).digest == before


def test_a_folder_that_is_no_pack_is_not_searched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "walk", lambda *_, **__: pytest.fail("it was searched"))
    with pytest.raises(BadInput, match="the rule pack lacks pack"):
        load_pack(tmp_path)


def test_digest_follows_every_byte(spoiled: Spoiled) -> None:
    before = load_pack(spoiled.folder).digest
    with (spoiled.folder / "prices.yaml").open("a", encoding="utf-8") as stream:
        stream.write("# checked\n")
    assert load_pack(spoiled.folder).digest != before


@pytest.mark.parametrize("part", ["facts", "mechanics", "rulegraph"])
def test_a_kept_pack_hangs_on_every_module_that_compiles_it(
    part: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "package"
    shutil.copytree(PACKAGE / part, package / part)
    monkeypatch.setattr(load, "PACKAGE", package)
    keys = {load._key(tmp_path / "rules", None)}
    modules = sorted((package / part).rglob("*.py"))
    for module in modules:
        os.utime(module, (1, 1))
        keys.add(load._key(tmp_path / "rules", None))
    assert len(keys) == 1 + len(modules)
