"""Customer and vehicle in the window, and what the vehicle's history offers. Own rules."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt

from advisor.casebook.people import Vehicle, add, belongs_to, customer_of, people_of
from advisor.gui.casebook.people_dialog import PeopleDialog
from advisor.gui.questions.repairs_and_photos import RepairsEditor
from advisor.gui.window.main_window import MainWindow
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.screens import EARLIER_REPAIRS, Tab
from tests.gui.casebook.conftest import once_there


def asked(keeping: CaseKeeping, work):  # type: ignore[no-untyped-def]
    """What the casebook says."""
    return keeping.ask(lambda book: book.read(work)).result(20)


def test_whose_case_it_is_is_kept_apart_and_erased(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping
) -> None:
    def write(dialog: PeopleDialog) -> None:
        dialog.fields["customer"]["contact"].setText("quay 4")
        qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
        assert "Customer: name is missing." in dialog.faults.text()
        qtbot.keyClicks(dialog.fields["customer"]["name"], "Quillfeather Boats")
        qtbot.keyClicks(dialog.fields["vehicle"]["name"], "Harbour shuttle 4")
        qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)

    once_there(PeopleDialog, write)
    kept_window.files.people()
    key = keeping.keeper.key
    customer, vehicle = asked(keeping, partial(people_of, key=key))
    assert vehicle is not None
    assert asked(keeping, partial(customer_of, number=customer)).name == "Quillfeather Boats"
    assert all("Quillfeather" not in row.value for row in keeping.keeper.journal.waiting())

    def erase(dialog: PeopleDialog) -> None:
        assert dialog.fields["customer"]["name"].text() == "Quillfeather Boats"
        dialog.erase["customer"].click()
        assert "cannot be taken back" in dialog.faults.text()
        dialog.erase["customer"].click()
        assert dialog.fields["customer"]["name"].text() == ""
        dialog.reject()

    once_there(PeopleDialog, erase)
    kept_window.files.people()
    assert asked(keeping, partial(people_of, key=key)) == (None, vehicle)
    assert not keeping.ask(lambda book: book.damage(key)).result(20)


def test_the_history_of_a_vehicle_is_offered_and_counts_once_confirmed(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping
) -> None:
    earlier = keeping.ask(lambda book: book.all_keys()[0]).result(20)  # an armrest

    def known(connection) -> None:  # type: ignore[no-untyped-def]
        number = add(connection, Vehicle("Harbour shuttle 4"))
        belongs_to(connection, earlier, vehicle=number)
        belongs_to(connection, keeping.keeper.key, vehicle=number)

    kept_window.navigator.answer("damage.kind", ("tear",))
    keeping.ask(lambda book: book.write(known)).result(20)
    assert kept_window.files.earlier_notice() == ""
    kept_window.navigator.answer("part.kind", ("armrest",))
    qtbot.waitUntil(lambda: "an earlier repair" in kept_window.notice.text(), timeout=20_000)
    assert kept_window.session.case.earlier_repairs is None
    kept_window.navigator.go(EARLIER_REPAIRS)
    editor = kept_window.card.editor
    assert isinstance(editor, RepairsEditor)
    qtbot.waitUntil(lambda: editor.take.isVisible(), timeout=20_000)
    assert "Hand stitch" in editor.known.text()
    qtbot.mouseClick(editor.take, Qt.MouseButton.LeftButton)
    found = kept_window.session.case.earlier_repairs
    assert found is not None
    assert found[0].method == "hand_stitch"
    assert "(casebook, Jul 2017)" in found[0].what
    qtbot.waitUntil(lambda: not editor.take.isVisible(), timeout=20_000)
    assert kept_window.files.earlier_notice() == ""


def test_leaving_a_stage_makes_a_revision(
    kept_window: MainWindow, keeping: CaseKeeping
) -> None:
    kept_window.navigator.answer("part.kind", ("armrest",))
    kept_window.navigator.go_tab(Tab.DAMAGE)
    key = keeping.keeper.key
    before = keeping.ask(lambda book: book.case(key).number).result(20)
    kept_window.navigator.answer("skin.material", ("vinyl",))
    kept_window.navigator.go_tab(Tab.VERDICT)
    assert keeping.ask(lambda book: book.case(key).number).result(20) == before + 1
