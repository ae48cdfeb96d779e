"""Whose case it is, and which vehicle: kept apart from the case, and erased from here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QComboBox, QLineEdit, QPushButton, QWidget

from advisor.gui import theme
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook
    from advisor.casebook.people import Customer, Vehicle

INTRO = (
    "Kept apart from the case, in this casebook only: the record, archives and lists hold "
    "neither. Leave empty what nobody needs."
)
SURE = (
    "Erasing {name} cannot be taken back. Their cases stay. Backups made before still hold the "
    "name. Press once more to erase."
)
FIELDS = {
    "customer": (("name", "Name"), ("contact", "Telephone or address"),
                 ("reference", "Order number, or their word for the job")),
    "vehicle": (("name", "What it is called"), ("mark", "Fleet number, hull number or plate")),
}  # fmt: skip
TITLES = {"customer": "Customer", "vehicle": "Vehicle"}


@dataclass(frozen=True)
class People:
    """All that are known, by number, and those of this case."""

    customer: dict[int, Customer]
    vehicle: dict[int, Vehicle]
    here: tuple[int | None, int | None]


def people_known(book: Casebook, key: str) -> People:
    """Everybody in the casebook. Raises BadInput."""
    from advisor.casebook.people import customers_known, people_of, vehicles_known

    return People(
        book.read(customers_known), book.read(vehicles_known),
        book.read(partial(people_of, key=key)),
    )  # fmt: skip


def store_people(book: Casebook, key: str, told: dict[str, dict[str, str]]) -> None:
    """Note whose a case is; what has no name is left as it is. Raises BadInput."""
    from advisor.casebook.people import Customer, Vehicle, add, belongs_to

    def put(connection: Any) -> None:
        customer, vehicle = told["customer"], told["vehicle"]
        belongs_to(
            connection, key,
            add(connection, Customer(**customer)) if customer["name"] else None,
            add(connection, Vehicle(**vehicle)) if vehicle["name"] else None,
        )  # fmt: skip

    book.write(put)


class PeopleDialog(FormDialog):
    """Customer and vehicle of the case in the window: written, or chosen from those known."""

    def __init__(self, keeping: CaseKeeping, known: People, parent: QWidget) -> None:
        super().__init__("Customer and vehicle", INTRO, parent)
        self._keeping = keeping
        self._sure = ""
        self.known: dict[str, QComboBox] = {}
        self.fields: dict[str, dict[str, QLineEdit]] = {}
        self.erase: dict[str, QPushButton] = {}
        for kind, here in zip(FIELDS, known.here, strict=True):
            self._make(kind, getattr(known, kind), here)
        self._before = self.told

    def _make(self, kind: str, listed: dict[int, Any], here: int | None) -> None:
        self.heading(TITLES[kind])
        box = QComboBox(self.inside)
        box.addItem("as written below", None)
        for number, one in listed.items():
            box.addItem(", ".join(text for text in asdict(one).values() if text), number)
        self.add(f"Known {kind}s", box)
        self.known[kind] = box
        self.fields[kind] = {}
        for name, title in FIELDS[kind]:
            line = QLineEdit(self.inside)
            line.setMaxLength(200)
            self.add(title, line)
            line.setAccessibleName(f"{TITLES[kind]}: {title}")
            self.fields[kind][name] = line
        erase = QPushButton(f"Erase this {kind} from the casebook", self.inside)
        erase.setMinimumHeight(theme.TARGET)
        erase.setAutoDefault(False)
        erase.clicked.connect(lambda: self._erase(kind))
        self.grid.addWidget(erase, self.grid.rowCount(), 1)
        self.erase[kind] = erase

        def chosen() -> None:
            one = listed.get(box.currentData())
            for name, line in self.fields[kind].items():
                line.setText(getattr(one, name) if one is not None else "")
            erase.setEnabled(one is not None)
            self._sure = ""

        box.currentIndexChanged.connect(chosen)
        box.setCurrentIndex(max(box.findData(here), 0))
        chosen()

    @property
    def told(self) -> dict[str, dict[str, str]]:
        """What is written, by kind and field."""
        return {
            kind: {name: line.text().strip() for name, line in lines.items()}
            for kind, lines in self.fields.items()
        }

    def changed(self) -> bool:
        """Whether anything differs from what is stored."""
        return self.told != self._before

    def take(self) -> Sequence[str]:
        """Store it; what is wrong with it, or why the casebook could not take it."""
        told = self.told
        faults = [
            f"{TITLES[kind]}: {FIELDS[kind][0][1].lower()} is missing."
            for kind, words in told.items() if any(words.values()) and not words["name"]
        ]  # fmt: skip
        key = self._keeping.keeper.key
        store = partial(store_people, key=key, told=told)
        return faults or dialogs.waited_for(self, self._keeping.ask(store))

    def _erase(self, kind: str) -> None:
        box = self.known[kind]
        number = box.currentData()
        if self._sure != f"{kind} {number}":
            self._sure = f"{kind} {number}"
            self.faults.setText(SURE.format(name=box.currentText()))
            self.faults.show()
            return
        erased = self._keeping.ask(lambda book: book.erase(**{kind: number}))
        faults = dialogs.waited_for(self, erased)
        if faults:
            self.show_faults(faults)
            return
        row = box.currentIndex()
        box.setCurrentIndex(0)
        box.removeItem(row)
        self._before = {**self._before, kind: self.told[kind]}
        self.faults.setText(f"Erased from the casebook. {TITLES[kind]} lines are empty again.")
        self.faults.show()


def ask_people(session: Session, parent: QWidget) -> bool:
    """Ask whose case it is; whether anything was stored.

    What was said belongs to a case, so the case is kept from here on.
    """
    keeping = session.keeping
    if keeping is None:
        return False
    keeping.keep(session.case)
    found = keeping.ask(partial(people_known, key=keeping.keeper.key))
    faults = dialogs.waited_for(parent, found)
    if faults:
        dialogs.show_faults(parent, "Customers and vehicles cannot be shown.", faults)
        return False
    dialog = PeopleDialog(keeping, found.result(), parent)
    stored = bool(dialog.exec())
    dialog.deleteLater()
    return stored
