"""A shop's own rules in the window: broken files, a hazard switched off, hazards still open."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel, QPushButton

from advisor import paths
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.gui import app
from advisor.gui.widgets import dialogs
from advisor.gui.window.main_window import MainWindow
from advisor.paths import demo_folder, overlay_folder
from advisor.session.screens import JOB_SHEET
from tests.unit.hazards.own_files import GAS_LINE, SWITCHED_OFF


@pytest.fixture
def told(own_folders: None, monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, list[str]]]:
    """What was shown in a dialog of faults."""
    shown: list[tuple[str, list[str]]] = []
    monkeypatch.setattr(
        dialogs, "show_faults", lambda parent, heading, faults: shown.append((heading, [*faults]))
    )
    return shown


def put(name: str, text: str) -> Path:
    path = overlay_folder() / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def texts(window: MainWindow) -> list[str]:
    return [label.text() for label in window.findChildren(QLabel) if label.isVisible()]


def test_a_broken_file_is_told_with_its_line_and_the_window_goes_on(
    told: list[tuple[str, list[str]]], show
) -> None:
    path = put("methods/lace_over.yaml", "method: lace_over\nsteps: [")
    engine = app.lasting_engine(None, app.told_of_faults)
    (heading, faults), = told
    assert "goes on with its own rules alone" in heading
    assert faults[0].startswith(f"{path}:3:1: not valid YAML")
    assert engine.pack.own.broken == ("methods/lace_over.yaml",)
    window = show(read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts))
    assert window.isVisible()


def test_a_hazard_of_the_shop_is_not_left_out_for_a_broken_file(
    told: list[tuple[str, list[str]]]
) -> None:
    put("hazards.yaml", GAS_LINE)
    put("methods/lace_over.yaml", "method: lace_over\nsteps: [")
    with pytest.raises(BadInput):
        app.lasting_engine(None, app.told_of_faults)
    assert "may ask for hazards of your own" in told[0][0]


def test_a_named_pack_with_faults_ends_the_program(
    told: list[tuple[str, list[str]]], tmp_path: Path
) -> None:
    with pytest.raises(BadInput):
        app.lasting_engine(tmp_path / "none", app.told_of_faults)
    assert told == []


def test_a_switched_off_hazard_is_said_over_every_screen(own_folders: None, open_window) -> None:
    put("hazards.yaml", SWITCHED_OFF)
    engine = app.load_engine(None)
    session = app.Session(engine.pack, engine.quick, advise_fully=engine.full)
    window = open_window(session)
    said = "The shop has switched off a hazard question: A heating element lies under the damage."
    for entry in window.navigator.order[:6]:
        window.navigator.go(entry.key)
        assert window.switched_off.isVisible()
        assert window.switched_off.text().startswith(said)
        assert window.switched_off.text().endswith("Signed by Ida Moe on 2026-11-30.")


def test_the_job_page_names_the_open_hazards_and_promises_nothing(engine, show, qapp) -> None:
    case = read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts)
    window = show(case.without("gate.airbag").without("gate.contamination"))
    window.navigator.go(JOB_SHEET)
    for _ in range(6):
        qapp.processEvents()
    said = "\n".join(texts(window))
    assert "Clear these hazards first" in said
    assert "Is there an airbag behind or in this section" in said
    assert "Look for a label or tag" in said and "blood, other body fluid" in said
    pressed = [one.text() for one in window.findChildren(QPushButton) if one.isVisible()]
    assert "Print..." not in pressed
    assert "EUR" not in said


def test_what_own_files_do_is_on_the_record_page(own_folders: None, open_window) -> None:
    text = (paths.rules_folder() / "prices.yaml").read_text(encoding="utf-8")
    put("prices.yaml", text)
    engine = app.load_engine(None)
    window = open_window(app.Session(engine.pack, engine.quick, advise_fully=engine.full))
    window.navigator.go(window.navigator.order[-1].key)
    assert any("Replaced by the shop: prices.yaml." in text for text in texts(window))
