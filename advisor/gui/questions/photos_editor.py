"""Photos of a case in the casebook: from a file, dropped or pasted; before the repair or after."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData, QSize, Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
    QIcon,
    QImage,
    QKeyEvent,
    QKeySequence,
    QPixmap,
)
from PySide6.QtWidgets import (
    QGridLayout,
    QLabel,
    QListView,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.case import Case
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.casebook_asker import Asker
from advisor.session.casebook_keeping import CaseKeeping, KeptPhoto

#: Side of a picture in the list, px.
SIDE = 96
MOMENTS = {"before": "before", "after": "after", "": "before"}


def photos_in(mime: QMimeData | None) -> tuple[list[tuple[str, bytes]], list[str]]:
    """Names and bytes of what was dropped or copied, and what could not be read."""
    if mime is None:  # nothing was ever copied
        return [], []
    paths = [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()]
    if paths:
        return read_photos(paths)
    image = mime.imageData()
    if not isinstance(image, QImage) or image.isNull():
        return [], []
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    return [("pasted picture", bytes(data.data()))], []


def read_photos(paths: Sequence[Path]) -> tuple[list[tuple[str, bytes]], list[str]]:
    """Names and bytes of files, and what could not be read."""
    found, faults = [], []
    for path in paths:
        try:
            found.append((path.name, path.read_bytes()))
        except OSError as error:
            faults.append(f"{path.name}: {error.strerror or error}")
    return found, faults


class CasebookPhotos(QWidget):
    """The photos of the case in the window. ``given`` is that of the editor of file names."""

    given = Signal(object)

    def __init__(self, keeping: CaseKeeping, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._keeping, self._asker = keeping, Asker(keeping, self)
        self._asker.failed.connect(lambda _, problem: self._tell([problem]))
        self._case = Case("")
        self.photos: list[KeptPhoto] = []
        self.setAcceptDrops(True)
        self.rows = QListWidget(self)
        self.rows.setViewMode(QListView.ViewMode.IconMode)
        self.rows.setIconSize(QSize(SIDE, SIDE))
        self.rows.setResizeMode(QListView.ResizeMode.Adjust)
        self.rows.setMovement(QListView.Movement.Static)
        self.rows.setFixedHeight(SIDE + 44)
        self.rows.setAccessibleName("Photos of the case. Ctrl+V pastes one, Delete takes one away")
        self.rows.currentRowChanged.connect(self._mark)
        self.named = QLabel(self)
        self.named.setWordWrap(True)
        self.fault = QLabel(self)
        self.fault.setObjectName("fault")
        self.fault.setWordWrap(True)
        self.fault.hide()
        self.add, self.paste = QPushButton("Add photos...", self), QPushButton("Paste", self)
        self.moment = QPushButton(self)
        self.remove = QPushButton("Remove the marked one", self)
        self.add.clicked.connect(self._add)
        self.paste.clicked.connect(self._paste)
        self.moment.clicked.connect(self._turn)
        self.remove.clicked.connect(self._remove)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for widget in (self.fault, self.rows, self.named):
            layout.addWidget(widget)
        buttons = QGridLayout()
        for place, button in enumerate((self.add, self.paste, self.moment, self.remove)):
            buttons.addWidget(button, place // 2, place % 2)
        layout.addLayout(buttons)
        self._mark(-1)

    def first_focus(self) -> QWidget:
        """The list; Enter there goes on and answers nothing."""
        return self.rows

    def show_case(self, case: Case) -> None:
        """Show what the casebook has, and what the case file names."""
        self._case = case
        names = ", ".join(Path(path).name for path in case.photos)
        self.named.setText(f"Named in the case file: {names}")
        self.named.setVisible(bool(names))
        self._asker.ask("photos", self._keeping.photos, self._show)

    def _show(self, photos: list[KeptPhoto]) -> None:
        row = self.rows.currentRow()
        self.photos = photos
        self.rows.clear()
        for photo in photos:
            picture = QPixmap()
            if photo.small:
                picture.loadFromData(photo.small)
            item = QListWidgetItem(QIcon(picture), MOMENTS[photo.moment], self.rows)
            missing = "" if photo.small else " (the file is missing or damaged)"
            item.setToolTip(f"{photo.name}{missing}")
        self.rows.setCurrentRow(min(max(row, 0), len(photos) - 1))
        self._mark(self.rows.currentRow())

    def _mark(self, row: int) -> None:
        there = 0 <= row < len(self.photos)
        self.moment.setEnabled(there)
        self.remove.setEnabled(there)
        after = there and self.photos[row].moment == "after"
        self.moment.setText("It shows it before" if after else "It shows it after")

    # -- adding --------------------------------------------------------------------------

    def _add(self) -> None:
        self._take(*read_photos([Path(name) for name in dialogs.ask_photos(self)]))

    def _paste(self) -> None:
        found, faults = photos_in(QGuiApplication.clipboard().mimeData())
        self._take(found, faults or ([] if found else ["There is no picture to be pasted."]))

    def _take(self, found: list[tuple[str, bytes]], faults: list[str]) -> None:
        if found:
            faults = faults + dialogs.waited_for(self, self._keeping.attach(self._case, found))
        self._tell(faults)
        self.show_case(self._case)

    def _tell(self, faults: list[str]) -> None:
        self.fault.setText("\n".join(faults))
        self.fault.setVisible(bool(faults))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Files and pictures may be dropped here."""
        if event.mimeData().hasUrls() or event.mimeData().hasImage():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """What is dropped belongs to the case."""
        event.acceptProposedAction()
        self._take(*photos_in(event.mimeData()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+V and Delete."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self._paste()
        elif event.key() == Qt.Key.Key_Delete and self.remove.isEnabled():
            self._remove()
        else:
            super().keyPressEvent(event)

    # -- the one that is marked ----------------------------------------------------------

    def _turn(self) -> None:
        photo = self.photos[self.rows.currentRow()]
        moment = "before" if photo.moment == "after" else "after"
        self._tell(dialogs.waited_for(self, self._keeping.change_photo(photo.digest, moment)))
        self.show_case(self._case)

    def _remove(self) -> None:
        photo = self.photos[self.rows.currentRow()]
        self._tell(dialogs.waited_for(self, self._keeping.change_photo(photo.digest, None)))
        self.show_case(self._case)
