"""Prices and rates: the shop's own figures in the place of the program's examples."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QLineEdit, QWidget

from advisor.facts.faults import BadInput, Fault, sentence
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.job.price_file import (
    PriceFile,
    Stock,
    Where,
    changed,
    check_text,
    read_price_file,
    scalar_yaml,
    share_text,
    spread_text,
    spread_yaml,
    stock_in,
    text_yaml,
    value_at,
)
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.amounts import for_people

INTRO = (
    "What your shop asks. A figure may be one number, or low / typical / high. Saving writes a "
    "file of your own; figures still marked \"example\" stay the program's."
)
OTHER_RULES = (
    "This window was opened with other rules. Change prices.yaml in their folder; it is not "
    "changed here."
)
EXAMPLE, OWN = "example", "your own"


@dataclass(frozen=True)
class Figure:
    """One figure of the file: where it stands, and how it is shown and written."""

    where: Where
    title: str
    unit: str
    shown: Callable[[object], str]
    written: Callable[[str], str]


def _plain(value: object) -> str:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _percent(text: str) -> str:
    return scalar_yaml(text, 0.01)


FIGURES: tuple[Figure, ...] = (
    Figure(("quote", "shop"), "Name on the quote", "", _plain, text_yaml),
    Figure(("currency",), "Currency", "three letters", _plain, text_yaml),
    Figure(("hourly_rate",), "Rate for an hour", "", spread_text, spread_yaml),
    Figure(("call_out_minimum",), "Minimum call-out charge", "", spread_text, spread_yaml),
    Figure(("material_markup",), "On top of materials", "%", share_text,
           lambda text: spread_yaml(text, 0.01)),
    Figure(("quote", "certainty"), "Of 100 such jobs stay within the quote", "50 to 99",
           share_text, _percent),
    Figure(("quote", "mileage"), "For each km driven", "", _plain, scalar_yaml),
    Figure(("quote", "usual_distance"), "Usual way to a customer, one way", "km", _plain,
           scalar_yaml),
    Figure(("quote", "tax_label"), "Tax is called", "", _plain, text_yaml),
    Figure(("quote", "tax_rate"), "Tax", "%", share_text, _percent),
    Figure(("quote", "valid_days"), "A quote is good for", "days", _plain, scalar_yaml),
    Figure(("quote", "interest"), "Interest, for a price a year", "% a year", share_text,
           _percent),
    Figure(("quote", "worth_repairing"), "Say that renewing may be wiser from",
           "% of its price", share_text, _percent),
)  # fmt: skip


@dataclass
class _StockRow:
    """One material of the methods in the list."""

    stock: Stock
    price: QLineEdit
    order: QCheckBox

    def now(self) -> Stock:
        """As it is written in the window."""
        price, order = self.price.text().strip(), self.order.isChecked()
        return Stock(self.stock.what, price, order, self.stock.note)


class PricesDialog(FormDialog):
    """Edits the shop's prices.yaml; ``saved`` carries the rules with the new prices."""

    saved = Signal(object)

    def __init__(self, pack: RulePack, parent: QWidget | None = None) -> None:
        super().__init__("Prices and rates", INTRO, parent)
        self.pack = pack
        self.file: PriceFile = read_price_file()
        self.lines: dict[Where, QLineEdit] = {}
        self.stock: list[_StockRow] = []
        self._before: dict[Where, str] = {}
        self.heading("Rates and quote")
        for figure in FIGURES:
            self._add_figure(figure)
        self.heading(
            "Materials and stock",
            "Your price for what one job takes; empty leaves the example. Tick what you have to "
            "order for a job: the quote then asks for a deposit.",
        )
        self._add_stock()
        self.grid.setRowStretch(self.grid.rowCount(), 1)
        if not self._of_these_rules():
            self.show_faults([OTHER_RULES])
            self.save.setEnabled(False)
        self.lines[FIGURES[0].where].setFocus()

    def _of_these_rules(self) -> bool:
        """Whether the window runs on the rules these prices belong to."""
        from advisor.rulegraph.load import load_pack

        try:
            return load_pack().digest == self.pack.digest
        except BadInput:
            return False

    # -- fields ------------------------------------------------------------------------

    def _add_figure(self, figure: Figure) -> None:
        text = figure.shown(value_at(self.file.text, figure.where))
        example = figure.shown(value_at(self.file.example, figure.where))
        line = QLineEdit(text, self.inside)
        word = self.add(figure.title, line)

        def mark(now: str) -> None:
            whose = EXAMPLE if now.strip() == example else OWN
            word.setText(", ".join(part for part in (for_people(figure.unit), whose) if part))

        line.textChanged.connect(mark)
        mark(text)
        self.lines[figure.where] = line
        self._before[figure.where] = text

    def _add_stock(self) -> None:
        known = stock_in(self.file.text)
        for what, example in self._materials().items():
            item = known.get(what, Stock(what))
            box = QWidget(self.inside)
            row = QHBoxLayout(box)
            row.setContentsMargins(0, 0, 0, 0)
            price = QLineEdit(item.price, box)
            price.setAccessibleName(f"Price: {what}")
            order = QCheckBox("to order", box)
            order.setChecked(item.special_order)
            order.setAccessibleName(f"To order: {what}")
            row.addWidget(price, 1)
            row.addWidget(order)
            word = self.add(what, box)
            price.textChanged.connect(partial(_mark, word, example))
            _mark(word, example, item.price)
            self.stock.append(_StockRow(item, price, order))

    def _materials(self) -> dict[str, str]:
        """Every material of the methods with the price the rules give it."""
        found: dict[str, str] = {}
        for method in self.pack.methods.values():
            for charge in method.materials:
                spread = charge.spread
                text = f"{spread.low:g} / {spread.typical:g} / {spread.high:g}"
                sized = charge.per.name is not None
                found.setdefault(charge.what, "by the part" if sized else text)
        return dict(sorted(found.items()))

    # -- saving ----------------------------------------------------------------------------

    def changed(self) -> bool:
        """Whether a figure or the stock differs from the file."""
        return bool(self._values()) or self._new_stock() is not None

    def _values(self) -> dict[Where, str]:
        """What to write, by place: only what was changed."""
        return {
            figure.where: figure.written(self.lines[figure.where].text())
            for figure in FIGURES
            if self.lines[figure.where].text().strip() != self._before[figure.where]
        }

    def _new_stock(self) -> list[Stock] | None:
        """The whole stock list where it was changed; materials no method names stay in it."""
        now = [row.now() for row in self.stock]
        if now == [row.stock for row in self.stock]:
            return None
        named = {item.what for item in now}
        others = [item for what, item in stock_in(self.file.text).items() if what not in named]
        return now + others

    def take(self) -> Sequence[str]:
        """Check as the file is checked, write it whole, load the rules anew."""
        from advisor.facts.whole_file import write_whole
        from advisor.rulegraph.load import load_pack

        if not self.changed():
            return ()
        text = changed(self.file, self._values(), self._new_stock())
        try:
            check_text(text, self.file)
            if read_price_file() != self.file:
                return ("prices.yaml was changed by somebody else meanwhile. Open this again.",)
            self.file.target.parent.mkdir(parents=True, exist_ok=True)
            write_whole(self.file.target, text.encode("utf-8"))
            pack = load_pack()
        except BadInput as bad:
            self._look_at(bad.faults[0])
            return [fault_line(fault) for fault in bad.faults]
        except OSError as error:
            return (f"{self.file.target} cannot be written: {error.strerror or error}",)
        self.saved.emit(pack)
        return ()

    def _look_at(self, fault: Fault) -> None:
        """Bring the first faulty figure into view."""
        found = _figure_of(fault)
        if found is not None:
            self.lines[found.where].setFocus()
            self.area.ensureWidgetVisible(self.lines[found.where])


def _mark(word: QLabel, example: str, price: str) -> None:
    """Whose price counts, and what the example is."""
    word.setText(f"{OWN}; {EXAMPLE} {example}" if price.strip() else f"{EXAMPLE} {example}")


def _figure_of(fault: Fault) -> Figure | None:
    return next((f for f in FIGURES if fault.field.startswith(".".join(f.where))), None)


def fault_line(fault: Fault) -> str:
    """A fault of the file under the title of its field."""
    said = sentence(fault.problem, fault.found, fault.found_is, fault.accepted, fault.nearest)
    figure = _figure_of(fault)
    if figure is None:
        stock = fault.field.startswith("quote.stock")
        return f"Materials and stock: {said}" if stock else fault.text
    # The file holds shares where the field holds a percentage.
    share = " (1 is 100 %)" if figure.shown is share_text else ""
    return f"{figure.title}: {said}{share}"


def open_prices(navigator: Navigator, window: QWidget) -> PricesDialog | None:
    """Open the dialog on ``window``; what is saved is used at once.

    None where the rules in the window have no prices.
    """
    pack = navigator.session.pack
    if not isinstance(pack, RulePack):
        return None
    dialog = PricesDialog(pack, window)
    dialog.saved.connect(lambda new: use_pack(navigator, new))
    dialog.finished.connect(dialog.deleteLater)
    dialog.open()
    return dialog


def use_pack(navigator: Navigator, pack: RulePack) -> None:
    """Reckon with other rules from now on; the answers stay."""
    navigator.session.use_pack(pack)
    navigator.refresh()
