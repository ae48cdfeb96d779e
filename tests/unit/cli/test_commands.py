"""The command line: what it prints, what it writes, and the code it leaves with."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from pypdf import PdfReader

from advisor import __version__
from advisor.paths import rules_folder
from tests.unit.cli.command import DEMOS, ROOT, SPLIT, Command

FEW = ("--worlds", "256")
KEYS = {"format", "case", "rules", "seed", "worlds", "verdict", "plan", "methods", "loads", "ask",
        "flips", "cautions"}  # fmt: skip


def test_advise_prints_the_choice(command: Command) -> None:
    ran = command("advise", SPLIT, *FEW)
    assert (ran.code, ran.err) == (0, "")
    assert "HB-2041" in ran.out and "Hand stitch" in ran.out
    assert "Estimate, not a test result." in ran.out


def test_advise_as_json(command: Command) -> None:
    ran = command("advise", SPLIT, "--json", *FEW)
    assert (ran.code, ran.err) == (0, "")
    form = json.loads(ran.out)
    folder = files("advisor.report.json_forms")
    schema = folder.joinpath("schema/advise-1.json").read_text("utf-8")
    Draft202012Validator(json.loads(schema)).validate(form)
    assert form.keys() >= KEYS
    assert (form["format"], form["case"], form["verdict"]) == (1, "HB-2041", "plan")
    assert form["plan"]["lead"] == "hand_stitch" and form["worlds"] >= 256
    assert form["plan"]["price"].keys() == {"low", "typical", "high", "currency", "tax"}
    first = form["methods"][0]
    assert {"method", "status", "hold_probability", "limiting", "because"} <= first.keys()
    assert {"demand", "low", "typical", "high", "unit", "by_cause"} <= form["loads"][0].keys()
    assert all({"fact", "value", "minutes", "gate"} <= ask.keys() for ask in form["ask"])
    assert all({"fact", "from", "to", "then"} <= flip.keys() for flip in form["flips"])


def test_the_same_case_prints_the_same_json(command: Command) -> None:
    first = command("advise", SPLIT, "--json", *FEW).out
    assert command("advise", SPLIT, "--json", *FEW).out == first


def test_several_cases_come_as_a_list(command: Command) -> None:
    ran = command("advise", SPLIT, DEMOS / "airbag_seam.yaml", "--json", *FEW)
    forms = json.loads(ran.out)
    assert [form["verdict"] for form in forms] == ["plan", "refer"]
    text = command("advise", SPLIT, DEMOS / "airbag_seam.yaml", *FEW).out
    assert text.index(forms[0]["case"]) < text.index(forms[1]["case"])


def test_a_folder_stands_for_the_cases_in_it(command: Command) -> None:
    for name in ("split_armrest", "unknown_split"):
        shutil.copy(DEMOS / f"{name}.yaml", command.folder)
    forms = json.loads(command("advise", command.folder, "--json", *FEW).out)
    assert [(f["case"], f["verdict"]) for f in forms] == [("HB-2041", "plan"), ("HB-2050", "ask")]


def test_units_change_what_is_shown_and_not_the_choice(command: Command) -> None:
    metric, imperial = (command("advise", SPLIT, "--units", u, *FEW).out for u in
                        ("metric", "imperial"))  # fmt: skip
    assert "N/mm" in metric and "N/mm" not in imperial
    assert "lbf/in" in imperial


@pytest.mark.parametrize(
    ("suffix", "start"), [("pdf", b"%PDF-"), ("html", b"<!doctype html"), ("txt", b"")]
)
def test_rationale_by_suffix(suffix: str, start: bytes, command: Command) -> None:
    target = command.folder / f"choice.{suffix}"
    ran = command("rationale", SPLIT, "--to", target, *FEW)
    assert (ran.code, ran.out, ran.err) == (0, f"{target} written.\n", "")
    content = target.read_bytes()
    assert content[: len(start)].lower() == start.lower() and len(content) > 1000
    if suffix != "pdf":
        assert "Hand stitch" in content.decode() and "HB-2041" in content.decode()
    assert [path.name for path in command.folder.iterdir()] == [target.name]


def test_rationale_reports_what_it_wrote(command: Command) -> None:
    target = command.folder / "choice.TXT"
    ran = command("rationale", SPLIT, "--to", target, "--json", *FEW)
    assert json.loads(ran.out) == {
        "format": 1, "case": "HB-2041", "verdict": "plan", "written": str(target),
    }  # fmt: skip


def test_rules_check(command: Command) -> None:
    ran = command("rules", "check")
    assert ran.code == 0 and "no faults" in ran.out
    form = json.loads(command("rules", "check", "--json").out)["rules"]
    assert form["own"] is None and form["methods"] >= 15 and form["gates"] == 17
    again = json.loads(command("rules", "check", rules_folder(), "--json").out)["rules"]
    assert again["digest"] == form["digest"]


def test_an_overlay_is_used_and_shown(command: Command, tmp_path: Path) -> None:
    own = tmp_path / "config" / "trim-advisor" / "rules"
    own.mkdir(parents=True)
    text = (rules_folder() / "prices.yaml").read_text(encoding="utf-8")
    (own / "prices.yaml").write_text(text.replace("currency: EUR", "currency: NOK"), "utf-8")
    ran = command("rules", "check")
    assert "Replaced by the shop: prices.yaml." in ran.out
    form = json.loads(command("advise", SPLIT, "--json", *FEW).out)
    assert form["plan"]["price"]["currency"] == "NOK"
    shipped = json.loads(command("rules", "check", rules_folder(), "--json").out)["rules"]
    assert form["rules"]["digest"] != shipped["digest"]


def test_rules_facts_lists_what_a_case_may_say(command: Command) -> None:
    ran = command("rules", "facts")
    assert "skin.thickness: How thick is the skin?\n    0.1 to 6 mm" in ran.out
    form = json.loads(command("rules", "facts", "--json").out)["facts"]
    assert form["gate.airbag"]["gate"] is True
    assert "brittle" in form["skin.feel"]["options"]


def test_demo_lists_the_demo_cases(command: Command) -> None:
    listed = command("demo").out
    form = json.loads(command("demo", "--json").out)["demo_cases"]
    assert form.keys() == {path.stem for path in DEMOS.glob("*.yaml")}
    assert all(name in listed and title in listed for name, title in form.items())


@pytest.mark.parametrize(
    "args",
    [
        ("advise",),
        ("advise", str(SPLIT), "--worlds", "3"),
        ("advise", str(SPLIT), "--worlds", "many"),
        ("advise", str(SPLIT), "--units", "cubits"),
        ("advise", str(SPLIT), "--loudly"),
        ("rationale", str(SPLIT)),
        ("rationale", str(SPLIT), "--to", "choice.docx"),
        ("rationale", str(SPLIT), "--to", "choice"),
        ("demo", "split_armrst"),
        ("rules", "sing"),
        ("sing",),
        ("x" * 5000,),
    ],
)
def test_wrong_usage_leaves_with_2(args: tuple[str, ...], command: Command) -> None:
    ran = command(*args)
    assert (ran.code, ran.out) == (2, "")
    assert "Error:" in ran.err and "Traceback" not in ran.err
    assert list(command.folder.iterdir()) == []


def test_a_misspelt_demo_suggests_the_right_one(command: Command) -> None:
    assert "did you mean split_armrest?" in command("demo", "split_armrst").err


def test_version_and_help(command: Command) -> None:
    assert __version__ in command("--version").out
    for args in (("--help",), ("advise", "--help"), ("rules", "check", "--help")):
        ran = command(*args)
        assert ran.code == 0 and "Usage: trim-advisor" in ran.out


def test_own_fault_leaves_with_1_and_keeps_the_working(
    command: Command, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("float division by zero")

    monkeypatch.setattr("advisor.advice.advise.work_out", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    target = command.folder / "choice.txt"
    ran = command("rationale", SPLIT, "--to", target, *FEW)
    assert (ran.code, ran.out) == (1, "")
    assert "The program made a mistake (ZeroDivisionError" in ran.err
    assert "Traceback" not in ran.err and len(ran.lines) == 1
    assert not target.exists()
    log = Path(ran.err.rpartition("Details: ")[2].strip())
    assert "Traceback" in log.read_text(encoding="utf-8")


def run(*args: str | Path, home: Path) -> subprocess.CompletedProcess[str]:
    folders = {f"XDG_{kind}_HOME": str(home / kind) for kind in ("CACHE", "CONFIG", "DATA")}
    return subprocess.run(
        [sys.executable, "-m", "advisor", *map(str, args)], cwd=ROOT, env=folders,
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip


def test_as_a_module(tmp_path: Path) -> None:
    ran = run("advise", SPLIT, "--json", *FEW, home=tmp_path)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert json.loads(ran.stdout)["case"] == "HB-2041"


def test_as_a_module_with_bad_input(tmp_path: Path) -> None:
    ran = run("advise", tmp_path / "nowhere.yaml", home=tmp_path)
    assert (ran.returncode, ran.stdout) == (3, "")
    assert ran.stderr == f"{tmp_path / 'nowhere.yaml'}: there is no such file\n"
    assert run("advise", home=tmp_path).returncode == 2


def test_the_page_for_the_invoice_is_one_page_with_customer_and_number(command: Command) -> None:
    target = command.folder / "page.pdf"
    ran = command("rationale", SPLIT, "--to", target, "--page", "--customer", "Harbour Lines",
                  "--invoice", "2026-7", *FEW)  # fmt: skip
    assert ran.code == 0, ran.err
    (page,) = PdfReader(target).pages
    text = " ".join(page.extract_text().split())
    for said in ("To invoice 2026-7", "Harbour Lines", "EUR 74 incl. VAT", "Should last"):
        assert said in text


def test_a_stop_has_no_page_for_the_invoice(command: Command) -> None:
    target = command.folder / "page.pdf"
    stopped = command("rationale", DEMOS / "airbag_seam.yaml", "--to", target, "--page", *FEW)
    assert stopped.code == 3
    assert "A hazard stops this job." in stopped.err
    assert not target.exists()


def test_the_page_is_a_pdf_and_alone_bears_a_customer(command: Command) -> None:
    text = command.folder / "page.txt"
    assert command("rationale", SPLIT, "--to", text, "--page").code == 2
    wrong = command("rationale", SPLIT, "--to", text, "--customer", "Harbour Lines")
    assert wrong.code == 2
    assert "--page" in wrong.err
    assert not text.exists()
