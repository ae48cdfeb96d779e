"""Every dialog that waits for a person, each one function so that tests may replace it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from concurrent.futures import Future

    from PySide6.QtPrintSupport import QPrinter

    from advisor.gui.widgets.two_versions import Choice, Versions

CASE_SUFFIX = ".trim.yaml"
"""Cases are saved so where no other ending is written: the one that the desktop opens."""
CASES = "Cases (*.trim.yaml *.yaml *.yml)"
PICTURES = "Pictures (*.jpg *.jpeg *.png *.heic *.webp);;All files (*)"
RATIONALES = "PDF (*.pdf);;Web page (*.html);;Text (*.txt)"


class Leave(StrEnum):
    """What to do with answers that are in no file of the technician's own."""

    SAVE = "save"
    KEEP = "keep"
    DROP = "drop"
    STAY = "stay"


class Found(StrEnum):
    """What to do with a case that an earlier run left behind."""

    TAKE_UP = "take up"
    LATER = "later"
    DELETE = "delete"


def fit(dialog: QWidget, wide: int, high: int) -> None:
    """Give a dialog its size in px at 100 % text, within the window that it stands before."""
    from advisor.gui import theme

    parent = dialog.parentWidget()
    room = parent.window().size() if parent is not None else dialog.screen().availableSize()
    dialog.resize(min(theme.px(wide), room.width() - 40), min(theme.px(high), room.height() - 40))


def not_written(path: Path, error: Exception) -> str:
    """Why a file was not written, by the name that was chosen for it."""
    # The error names the file that was to be put in its place, and a number of the system.
    if isinstance(error, OSError) and error.strerror:
        return f"{path} cannot be written: {error.strerror}. Choose another folder."
    return str(error)


def ask_open(parent: QWidget, folder: Path) -> Path | None:
    """Which case file to open."""
    from PySide6.QtWidgets import QFileDialog

    name, _ = QFileDialog.getOpenFileName(parent, "Open a case", str(folder), CASES)
    return Path(name) if name else None


def ask_save(parent: QWidget, proposed: Path) -> Path | None:
    """Where to save the case."""
    from PySide6.QtWidgets import QFileDialog

    # What a file already holds is shown before it is replaced, so that is not asked here.
    how = QFileDialog.Option.DontConfirmOverwrite
    name, _ = QFileDialog.getSaveFileName(
        parent, "Save the case", str(proposed), CASES, options=how
    )
    if not name:
        return None
    path = Path(name)
    return path if path.suffix else path.with_name(path.name + CASE_SUFFIX)


def ask_export(parent: QWidget, proposed: Path) -> Path | None:
    """Where to write the rationale; the ending decides the form."""
    from PySide6.QtWidgets import QFileDialog

    name, chosen = QFileDialog.getSaveFileName(
        parent, "Export the rationale", str(proposed), RATIONALES
    )
    if not name:
        return None
    path = Path(name)
    if path.suffix.lower() in (".pdf", ".html", ".txt"):
        return path
    ending = {"Web": ".html", "Tex": ".txt"}.get(chosen[:3], ".pdf")
    return path.with_name(path.name + ending)


def open_written(parent: QWidget, path: Path) -> None:
    """Say where a paper was written, and open it where one wants to read or print it."""
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(QMessageBox.Icon.NoIcon, "Written", f"It is in\n{path}", parent=parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    shown = box.addButton("Open to read or print", QMessageBox.ButtonRole.AcceptRole)
    box.addButton("Close", QMessageBox.ButtonRole.RejectRole)
    box.exec()
    wanted = box.clickedButton() is shown
    box.deleteLater()
    if wanted:
        open_file(path)


def ask_printer(parent: QWidget, paper: str) -> QPrinter | None:
    """Which printer, how many copies, which pages; None where it was called off."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    from advisor.gui.widgets.printing import set_up

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    set_up(printer, paper)
    box = QPrintDialog(printer, parent)
    chosen = box.exec() == QPrintDialog.DialogCode.Accepted
    box.deleteLater()
    return printer if chosen else None


def open_file(path: Path) -> bool:
    """Open a written paper in the program that shows such files; whether there is one."""
    from PySide6.QtCore import QUrl
    from PySide6.QtGui import QDesktopServices

    return QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))


def wait_for(parent: QWidget, text: str, ready: Callable[[], bool]) -> bool:
    """Wait until something is ready, with events going on; False where it was called off."""
    from PySide6.QtCore import Qt, QTimer
    from PySide6.QtWidgets import QProgressDialog

    box = QProgressDialog(text, "Do not wait", 0, 0, parent)
    box.setWindowModality(Qt.WindowModality.WindowModal)
    box.setMinimumDuration(0)
    look = QTimer(box)
    look.timeout.connect(lambda: box.accept() if ready() else None)
    look.start(30)
    done = bool(box.exec())
    box.deleteLater()
    return done


def waited_for(parent: QWidget, future: Future[Any]) -> list[str]:
    """Wait for something the casebook does, with events going on; why it could not, if so."""
    if not future.done():
        wait_for(parent, "The casebook is at work.", future.done)
    if not future.done():
        return ["The casebook has not answered yet."]
    error = future.exception()
    return [] if error is None else [str(error)]


def ask_name(parent: QWidget, title: str, what: str, proposed: str = "") -> str:
    """A name for something; empty where it was called off."""
    from PySide6.QtWidgets import QInputDialog

    name, given = QInputDialog.getText(parent, title, what, text=proposed)
    return name.strip() if given else ""


def ask_choice(parent: QWidget, title: str, what: str, choices: Sequence[str]) -> str:
    """One of several; empty where it was called off."""
    from PySide6.QtWidgets import QInputDialog

    chosen, given = QInputDialog.getItem(parent, title, what, choices, 0, False)
    return chosen if given else ""


def ask_photos(parent: QWidget) -> tuple[str, ...]:
    """Photos to add."""
    from PySide6.QtWidgets import QFileDialog

    names, _ = QFileDialog.getOpenFileNames(parent, "Add photos", "", PICTURES)
    return tuple(names)


def ask_picture(parent: QWidget) -> str:
    """One picture; empty where it was called off."""
    from PySide6.QtWidgets import QFileDialog

    return QFileDialog.getOpenFileName(parent, "Choose a picture", "", PICTURES)[0]


def ask_files(parent: QWidget) -> tuple[str, ...]:
    """Papers, scans or photos to add."""
    from PySide6.QtWidgets import QFileDialog

    names, _ = QFileDialog.getOpenFileNames(parent, "Add files")
    return tuple(names)


def ask_folder(parent: QWidget, proposed: Path) -> Path | None:
    """Where to write a folder of files: a name that is not there yet, or an empty folder."""
    from PySide6.QtWidgets import QFileDialog

    name, _ = QFileDialog.getSaveFileName(
        parent, "Write the pack into a new folder", str(proposed), "Folder (*)",
        options=QFileDialog.Option.DontConfirmOverwrite,
    )
    return Path(name) if name else None


def ask_read(parent: QWidget, title: str, kinds: str) -> Path | None:
    """Which file of some kinds to read."""
    from PySide6.QtWidgets import QFileDialog

    name, _ = QFileDialog.getOpenFileName(parent, title, "", kinds)
    return Path(name) if name else None


def ask_write(parent: QWidget, title: str, proposed: Path, kinds: str) -> Path | None:
    """Where to write a file; it has the ending of the proposed one where none is given."""
    from PySide6.QtWidgets import QFileDialog

    name, _ = QFileDialog.getSaveFileName(parent, title, str(proposed), kinds)
    if not name:
        return None
    path = Path(name)
    return path if path.suffix else path.with_suffix(proposed.suffix)


def ask_erase(parent: QWidget, text: str) -> bool:
    """Whether something is really to be erased for good."""
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(QMessageBox.Icon.Warning, "Erase", text, parent=parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    erase = box.addButton("Erase", QMessageBox.ButtonRole.DestructiveRole)
    keep = box.addButton("Keep", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(keep)
    box.setEscapeButton(keep)
    box.exec()
    clicked = box.clickedButton()
    box.deleteLater()
    return clicked is erase


def ask_leave(parent: QWidget, title: str, not_kept: str = "") -> Leave:
    """Before a case with unsaved answers leaves the window.

    ``not_kept`` says why they are on no disk at all, where that is so.
    """
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setWindowTitle("Not saved in a file yet")
    box.setText(f"{title} has answers that are not in a file of your own.")
    so_far = f"They are NOT kept: {not_kept}." if not_kept else "They are kept so far."
    box.setInformativeText(f"{so_far} What should be done with them?")
    save = box.addButton("Save...", QMessageBox.ButtonRole.AcceptRole)
    keep = box.addButton("Keep for the next start", QMessageBox.ButtonRole.ActionRole)
    drop = box.addButton("Throw away", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("Back to the case", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(save)
    box.setEscapeButton(stay)
    box.exec()
    clicked = box.clickedButton()
    box.deleteLater()
    if clicked is save:
        return Leave.SAVE
    if clicked is keep:
        return Leave.KEEP
    return Leave.DROP if clicked is drop else Leave.STAY


def ask_found(
    parent: QWidget, title: str, when: str, answers: int, remarks: Sequence[str] = ()
) -> Found:
    """At the start, for each case an earlier run left behind.

    ``remarks`` says what could not be read of it, or what became of its file.
    """
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setWindowTitle("An unfinished case was kept")
    box.setText(f"{title}: {answers} answers, last one {when}.")
    lines = ["It was not saved in a file of your own. Take it up again?", *remarks[:10]]
    box.setInformativeText("\n\n".join(lines))
    take = box.addButton("Take it up", QMessageBox.ButtonRole.AcceptRole)
    delete = box.addButton("Delete it", QMessageBox.ButtonRole.DestructiveRole)
    later = box.addButton("Ask again later", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(take)
    box.setEscapeButton(later)
    box.exec()
    clicked = box.clickedButton()
    box.deleteLater()
    if clicked is take:
        return Found.TAKE_UP
    return Found.DELETE if clicked is delete else Found.LATER


def ask_unreadable(parent: QWidget, name: str, when: str, faults: Sequence[str]) -> Found:
    """At the start, for a kept case of which nothing can be read. ``DELETE`` sets it aside."""
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle("A kept case cannot be read")
    box.setText(f"An earlier run kept a case ({when}), but nothing of it can be read.")
    box.setInformativeText("\n\n".join([name, *faults[:6]]))
    put_by = box.addButton("Set the file aside", QMessageBox.ButtonRole.AcceptRole)
    later = box.addButton("Ask again later", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(later)
    box.setEscapeButton(later)
    box.exec()
    clicked = box.clickedButton()
    box.deleteLater()
    return Found.DELETE if clicked is put_by else Found.LATER


def ask_versions(parent: QWidget, versions: Versions) -> tuple[Choice, frozenset[str]]:
    """Which of two versions counts, and which answers were picked from the other one."""
    from advisor.gui.widgets.versions_dialog import VersionsDialog

    dialog = VersionsDialog(versions, parent)
    dialog.exec()
    chosen = dialog.choice, dialog.from_theirs
    dialog.deleteLater()
    return chosen


def show_faults(parent: QWidget | None, heading: str, faults: Sequence[str]) -> None:
    """Everything that is wrong with a file, at once."""
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QMessageBox

    from advisor.gui.widgets.fitted_words import breakable

    box = QMessageBox(parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle("This cannot be used")
    box.setText(heading)
    box.setInformativeText(breakable("\n\n".join(faults[:12])))
    if len(faults) > 12:
        box.setDetailedText("\n".join(faults))
    box.exec()
    box.deleteLater()


def tell(parent: QWidget | None, title: str, text: str) -> None:
    """A short message."""
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setWindowTitle(title)
    box.setText(text)
    box.exec()
    box.deleteLater()
