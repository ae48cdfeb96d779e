"""Bad input: one clear line for each fault, code 3, nothing printed, nothing written."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from advisor.paths import rules_folder
from tests.unit.cli.command import DEMOS, SPLIT, Command, Ran

HEAD = "part.kind: armrest\nvehicle.kind: bus\ndamage.kind: seam_open\n"


def refused(ran: Ran, *said: str) -> None:
    """One line on standard error for each of ``said``, which it must contain."""
    assert (ran.code, ran.out) == (3, ""), ran.err
    assert "Traceback" not in ran.err
    assert len(ran.lines) == len(said), ran.err
    for line, words in zip(ran.lines, said, strict=True):
        assert words in line, line


@pytest.mark.parametrize(
    ("fact", "said"),
    [
        ("skin.thicknes: 1.1 mm",
         "harbour.yaml:7:3: skin.thicknes: no such fact; accepted: a fact that the rules declare "
         "(did you mean skin.thickness?)"),
        ("damage.length: 120 kg",
         'harbour.yaml:7:18: damage.length: not a length; found "120 kg" (a mass); accepted: '),
        ("damage.length: -3 mm", 'found "-3 mm"; accepted: 1 to '),
        ("vehicle.age: -3 yr", 'outside what is possible; found "-3 yr"; accepted: 0 to 100 yr'),
        ("damage.length: 9 m", "harbour.yaml:7:18: damage.length: "),
        ("damage.length: 2 m", 'not possible on an armrest; found "2 m" (2000 mm)'),
        ("damage.length: 120", "the unit is missing"),
        ("damage.length: 130..120 mm", "the range runs backwards"),
        ("damage.length: 1,200 mm", "a comma in a number"),
        ("damage.length: .nan mm", "not a finite number"),
        ("skin.feel: britle", "(did you mean brittle?)"),
        ("skin.feel: []", "an empty list says nothing"),
        ("load.leaned_on: often", "not a yes or no"),
        ("gate.airbag: maybe", "not one of the answers"),
    ],
)  # fmt: skip
def test_one_wrong_fact(fact: str, said: str, command: Command) -> None:
    refused(command("advise", command.case(HEAD + fact)), said)


def test_all_faults_of_all_files_at_once(command: Command) -> None:
    one = command.case(HEAD + "skin.feel: britle\ndamage.length: 120 kg", "a.yaml")
    two = command.case("part.kind: armrst", "b.yaml")
    ran = command("advise", one, SPLIT, two, command.folder / "c.yaml")
    refused(ran, "a.yaml:7:14", "a.yaml:8:18", "b.yaml:4:14", "c.yaml: there is no such file")


BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{b}: &{b} [{', '.join(['*' + a] * 9)}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (BOMB, "anchors and aliases are not accepted"),
        ("facts: &f\n  part.kind: *f\n", "anchors and aliases are not accepted"),
        ("facts: {part.kind: [armrest\n", "not valid YAML"),
        ("format: 1\n\tcase: HB-1\n", "a tab is where spaces are needed"),
        ("- one\n- two\n", "not a mapping at the top level"),
        ("just words", "not a mapping at the top level"),
        ("", "the file is empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "not a text file"),
        (b"format: 1\ncase: \xff\xfe\n", "not UTF-8 text"),
        ("[" * 20_000, "not valid YAML"),
        ("format: 1\nformat: 1\ncase: HB-1\n", "given twice, first in line 1, column 1"),
        ("format: 7\ncase: HB-1\n", "made by a newer program"),
        ("format: 1\ncase: a/b\n", "a character that a file name cannot hold"),
        ("format: 1\ncase: HB-1\ncolour: red\n", "no such entry"),
        ("format: 1\ncase: HB-1\nnote: !!python/name:os.system ''\n", "tags are not accepted"),
    ],
)
def test_one_bad_file(content: str | bytes, said: str, command: Command) -> None:
    path = command.put(content)
    for ran in (command("advise", path), command("advise", path, "--json")):
        refused(ran, said)
        assert ran.err.startswith(f"{path}")


def test_a_huge_file_is_refused(command: Command) -> None:
    path = command.folder / "huge.yaml"
    with path.open("wb") as stream:
        stream.truncate(50_000_000)
    refused(command("advise", path), "too large: 50,000,000 bytes")


def test_what_is_no_file(command: Command) -> None:
    refused(command("advise", command.folder / "nowhere.yaml"), "there is no such file")
    refused(command("advise", command.folder), "no case files in this folder")
    refused(command("advise", "x" * 5000 + ".yaml"), "cannot be read: File name too long")
    refused(command("rationale", DEMOS, "--to", command.folder / "a.txt"), "this is a folder")


def test_an_earlier_repair_must_be_a_method(command: Command) -> None:
    path = command.put("format: 1\ncase: HB-1\nearlier_repairs: [{method: adhesive_bnd}]\n")
    refused(command("advise", path), "did you mean adhesive_bond?")


@pytest.mark.parametrize("words", [("rules", "check"), ("advise", str(SPLIT), "--rules"),
                                   ("rules", "facts", "--rules")])  # fmt: skip
def test_rule_pack_with_a_circle(words: tuple[str, ...], command: Command) -> None:
    folder = command.folder / "rules"
    shutil.copytree(rules_folder(), folder)
    loads = folder / "loads/padding.yaml"
    text = loads.read_text(encoding="utf-8")
    loads.write_text(text.replace("{plateau: core.plateau}", "{plateau: core.shear}", 1), "utf-8")
    ran = command(*words, folder)
    refused(ran, "core.modulus > core.shear > core.modulus")
    line, column = map(int, ran.err.removeprefix(f"{loads}:").split(":")[:2])
    assert text.splitlines()[line - 1][column - 1 :].startswith("core.modulus:")


@pytest.mark.parametrize("name", ["nowhere", "x" * 5000])
def test_rule_folder_that_is_not_there(name: str, command: Command) -> None:
    refused(command("advise", SPLIT, "--rules", command.folder / name), "no such folder")


def test_nothing_is_written_for_bad_input(command: Command) -> None:
    target = command.folder / "choice.pdf"
    refused(command("rationale", command.case(HEAD + "skin.feel: britle"), "--to", target), "feel")
    assert [path.name for path in command.folder.iterdir()] == ["harbour.yaml"]


@pytest.mark.parametrize("suffix", ["pdf", "html", "txt"])
def test_where_nothing_can_be_written(suffix: str, command: Command) -> None:
    no_folder = command.folder / "nowhere" / f"choice.{suffix}"
    ran = command("rationale", SPLIT, "--to", no_folder, "--worlds", "64")
    refused(ran, "cannot be written: No such file or directory; accepted: a folder that exists")
    folder = command.folder / f"folder.{suffix}"
    folder.mkdir()
    refused(command("rationale", SPLIT, "--to", folder, "--worlds", "64"), "cannot be written")
    long = command.folder / ("x" * 300 + f".{suffix}")
    refused(command("rationale", SPLIT, "--to", long, "--worlds", "64"), "cannot be written")
    assert [path.name for path in command.folder.iterdir()] == [folder.name]
    assert list(folder.iterdir()) == []


def test_an_old_rationale_survives_a_failure(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = command.folder / "choice.txt"
    target.write_text("last year's", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    refused(command("rationale", SPLIT, "--to", target, "--worlds", "64"), "No space left")
    assert target.read_text(encoding="utf-8") == "last year's"
    assert [path.name for path in command.folder.iterdir()] == ["choice.txt"]


def test_a_read_only_folder(command: Command) -> None:
    """Skipped for a superuser, who may write anywhere."""
    folder = command.folder / "locked"
    folder.mkdir()
    folder.chmod(0o500)
    try:
        (folder / "try").touch()
    except OSError:
        refused(command("rationale", SPLIT, "--to", folder / "a.txt", "--worlds", "64"),
                "Permission denied")  # fmt: skip
    else:
        pytest.skip("this user may write anywhere")


def test_a_case_that_cannot_be_opened_says_so_in_its_own_words(command: Command) -> None:
    loop = command.folder / "loop.yaml"
    loop.symlink_to(Path("loop.yaml"))
    refused(command("advise", loop), "cannot be read: Too many levels of symbolic links")
