"""A form made of described fields: lines, choices, yes or no, files."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)

from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.session.form_fields import YES_NO, FormField, Kind, taken_value, told_faults

PROPOSED = "proposed, not saved yet"


class RecordForm(FormDialog):
    """Shows what a record says; ``put`` takes what was changed and raises BadInput.

    ``proposals`` stand in fields that say nothing yet, and count only once they are saved.
    """

    def __init__(
        self,
        title: str,
        intro: str,
        fields: Sequence[FormField],
        values: Mapping[str, str],
        put: Callable[[dict[str, object]], None],
        proposals: Mapping[str, str] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(title, intro, parent)
        self.fields, self._before, self._put = tuple(fields), dict(values), put
        self.boxes: dict[str, QWidget] = {}
        for field in self.fields:
            text = values.get(field.path, "")
            proposed = "" if text else (proposals or {}).get(field.path, "")
            box = self._box(field, text or proposed)
            box.setProperty("proposed", proposed)
            self.boxes[field.path] = box
            shown = box.parentWidget() if field.kind is Kind.FILE else box
            assert shown is not None
            self.add(field.title, shown, PROPOSED if proposed else field.hint)
            box.setAccessibleName(field.title)
        self.grid.setRowStretch(self.grid.rowCount(), 1)
        if self.fields:
            self.boxes[self.fields[0].path].setFocus()

    def _box(self, field: FormField, text: str) -> QWidget:
        if field.kind is Kind.LINES:
            lines = QPlainTextEdit(text, self.inside)
            lines.setTabChangesFocus(True)
            lines.setFixedHeight(theme.px(92))
            return lines
        if field.kind in (Kind.CHOICE, Kind.YES_NO):
            choice = QComboBox(self.inside)
            # The longest of its words does not make the form wider than the window.
            choice.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            choice.addItem("", "")
            for key, words in YES_NO if field.kind is Kind.YES_NO else field.options:
                choice.addItem(words, key)
            choice.setCurrentIndex(max(choice.findData(text), 0))
            return choice
        if field.kind is Kind.LINE and field.options:
            offered = QComboBox(self.inside)
            offered.setEditable(True)
            offered.addItems([words for _, words in field.options])
            offered.setCurrentText(text)
            return offered
        if field.kind is Kind.FILE:
            row = QWidget(self.inside)
            line = QLineEdit(text, row)
            pick = QPushButton("Choose...", row)
            pick.setAutoDefault(False)
            pick.clicked.connect(lambda: self._choose(line))
            layout = QHBoxLayout(row)
            layout.setContentsMargins(0, 0, 0, 0)
            layout.addWidget(line, 1)
            layout.addWidget(pick)
            return line
        return QLineEdit(text, self.inside)

    def _choose(self, line: QLineEdit) -> None:
        found = dialogs.ask_files(self)
        if found:
            line.setText(found[0])

    def text_of(self, path: str) -> str:
        """What stands in a field now."""
        box = self.boxes[path]
        if isinstance(box, QPlainTextEdit):
            return box.toPlainText().strip()
        if isinstance(box, QComboBox):
            return box.currentText().strip() if box.isEditable() else str(box.currentData())
        assert isinstance(box, QLineEdit)
        return box.text().strip()

    def changed(self) -> bool:
        """Whether anything differs from what is kept; a proposal nobody touched does not."""
        return any(
            self.text_of(path) != self._before.get(path, "")
            and box.property("proposed") != self.text_of(path)
            for path, box in self.boxes.items()
        )  # fmt: skip

    def take(self) -> Sequence[str]:
        """Hand over what stands in the fields."""
        values = {
            field.path: taken_value(field, self.text_of(field.path)) for field in self.fields
        }
        try:
            self._put(values)
        except BadInput as error:
            return told_faults(error, self.fields)
        return ()
