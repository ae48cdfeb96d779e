"""The papers for the station: what each section lacks, a form for each, and the pack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QWidget

from advisor.facts.faults import BadInput
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.agreement_paper import AGREEMENT, write_agreement
from advisor.gui.widgets.cards_dialog import CardsDialog
from advisor.gui.widgets.page import label, point
from advisor.gui.widgets.record_form import RecordForm
from advisor.papers.handover.judge import Lacking, PackVerdict
from advisor.papers.handover.pack import pdf_name, write_pack
from advisor.papers.handover.page import MEMORY, NO_RELEASE, NO_STATION, said_of, source_words
from advisor.papers.handover.requirements import requirements
from advisor.session.form_fields import FormField
from advisor.session.handover_papers import (
    CERTIFICATES,
    FILE_KINDS,
    MATERIALS,
    HandoverPapers,
    PaperSection,
)

if TYPE_CHECKING:
    from advisor.papers.handover.record import Shown
    from advisor.papers.materials.lot import Lot

LOOKS = {
    PackVerdict.READY: "now", PackVerdict.REVIEW: "caution", PackVerdict.INCOMPLETE: "fault",
    PackVerdict.INVALID: "fault", PackVerdict.REFER: "refer",
}  # fmt: skip
#: What is said of a requirement that nobody here has read.
NOT_READ = {"from_memory": " (From memory.)", "own_reading": " (Own reading of the rule.)"}
#: Lines under a section before the rest is only counted.
MOST_LINES = 8


class PapersDialog(CardsDialog):
    """A card for each section; every change is kept at once."""

    def __init__(
        self, papers: HandoverPapers, folder: Path, parent: QWidget,
        note_use: Callable[[Lot, str], None] | None = None,
    ) -> None:  # fmt: skip
        """``note_use`` has the casebook note that a lot was used, and how much of it."""
        self._note_use = note_use
        left = [(AGREEMENT, self._agree)]
        main = ("Write the pack...", self._write)
        super().__init__("Hand-over papers", left, main, parent)
        self.papers, self._folder = papers, folder
        self.redraw()

    # -- drawing ---------------------------------------------------------------------------

    def redraw(self) -> None:
        """All sections as the record stands; the page stays where it was scrolled to."""
        at = self.area.verticalScrollBar().value()
        try:
            self.prepared = self.papers.prepared()
        except BadInput as error:
            dialogs.show_faults(self, "A burn-test record cannot be read.", [str(error)])
            self.write.setEnabled(False)
            return
        judged = self.prepared.judged
        whom = Counter(one.who for one in judged.lacking)
        more = ", ".join(f"{count} from {who}" for who, count in whom.items())
        more = f" To come: {more}." if more else ""
        self.say_state(f"{judged.verdict.value}. {said_of(judged)}{more}", LOOKS[judged.verdict])
        self.write.setEnabled(judged.may_be_written)
        # Only where a station signs is there one to agree with.
        self.left[0].setVisible(judged.aircraft)
        self.clear()
        stopped = [one for one in judged.lacking if one.field == "case"]
        for one in stopped:
            self.add(point("•", f"{one.text}. From {one.who}.", self.inside))
        sections = self.papers.sections(self.prepared)
        for section in sections:
            self.add(self._section(section))
        self.add(self._files())
        further = self.papers.further_fields()
        said = "Spare specimens, tool calibration, cleaning agents: nothing waits for them."
        self.add(self.card("Further", [said], [
            ("Fill in...", partial(self._form, "Further", further)),
        ]))  # fmt: skip
        self.add(label(NO_RELEASE if judged.aircraft else NO_STATION, "quiet", self.inside))
        if not judged.aircraft:
            self.add(label(requirements().elsewhere, "quiet", self.inside))
        if judged.from_memory:
            self.add(label(MEMORY, "quiet", self.inside))
        self.column.addStretch(1)
        self.area.verticalScrollBar().setValue(at)

    def _section(self, section: PaperSection) -> QFrame:
        title = f"{section.number}. {section.title}"
        buttons: list[tuple[str, Callable[[], object]]] = []
        if section.fields:
            buttons.append(("Fill in...", partial(self._form, title, section.fields)))
        rows: list[QWidget] = []
        if section.number == 6:
            buttons.append(("Add a material...", partial(self._entry, MATERIALS, None)))
            noted = self.papers.lots_of_job()
            if noted:
                said = "1 lot" if len(noted) == 1 else f"{len(noted)} lots"
                buttons.append((f"Take {said} of this job", self._noted_lots))
            if self.papers.lots:
                buttons.append(("From materials on hand...", self._from_lot))
            rows = self._entries(MATERIALS, [
                f"{one.what or 'no name'}, batch {one.batch or 'not given'}"
                for one in self.papers.record.materials
            ])  # fmt: skip
        elif section.number == 7:
            buttons.append(("Add a certificate...", partial(self._entry, CERTIFICATES, None)))
            rows = self._entries(CERTIFICATES, [
                f"{one.number or 'no number'}, for {', '.join(one.covers) or 'nothing yet'}"
                for one in self.papers.record.certificates
            ])  # fmt: skip
        card = self.card(title, [], buttons, rows)
        self._lacking(card, section.lacking)
        return card

    @staticmethod
    def _lacking(card: QFrame, lacking: Sequence[Lacking]) -> None:
        """What is missing, at the foot of a card."""
        layout = card.layout()
        assert layout is not None
        shown = lacking[:MOST_LINES]
        for one in shown:
            mark = "?" if one.kind is PackVerdict.REVIEW else "!"
            memory = NOT_READ.get(one.status, "")
            line = point(mark, f"{one.text}. From {one.who}.{memory}", card)
            line.setToolTip(source_words(one))
            layout.addWidget(line)
        if len(lacking) > len(shown):
            rest = f"And {len(lacking) - len(shown)} more in this section."
            layout.addWidget(label(rest, "", card))
        if not lacking:
            layout.addWidget(label("Nothing is missing here.", "quiet", card))

    def _entries(self, listed: str, words: Sequence[str]) -> list[QWidget]:
        return [
            self.entry(said, (
                ("Change...", partial(self._entry, listed, at)),
                ("Take away", partial(self._drop, listed, at)),
            ))
            for at, said in enumerate(words)
        ]  # fmt: skip

    def _files(self) -> QFrame:
        rows = [
            self.entry(
                f"{FILE_KINDS[file.what]}: {Path(file.path).name}",
                [("Take away", partial(self._drop, "files", at))],
            )
            for at, file in enumerate(self.papers.record.files)
        ]  # fmt: skip
        if self.papers.kept_photos():
            count = len(self.papers.kept_photos())
            said = "1 photo" if count == 1 else f"{count} photos"
            take = partial(self.attempt, self.papers.take_kept_photos)
            rows.insert(0, self.entry(f"{said} kept with the case", [("Take them", take)]))
        photos = self.papers.photos_of_case()
        if photos:
            rows.insert(0, self._photos_row(photos))
        card = self.card("Photos and files that go along", [], [
            ("Photos before...", partial(self._add_files, "photo_before")),
            ("Photos after...", partial(self._add_files, "photo_after")),
            ("Other papers...", self._add_other),
        ], rows)  # fmt: skip
        self._lacking(card, self.papers.of_files(self.prepared))
        return card

    def _photos_row(self, photos: Sequence[str]) -> QWidget:
        names = ", ".join(Path(path).name for path in photos)
        kinds: tuple[Shown, ...] = ("photo_before", "photo_after")
        return self.entry(f"Photos of the case: {names}", [
            (f"Take as {FILE_KINDS[what].removeprefix('Photo ')}",
             partial(self._take_files, photos, what))
            for what in kinds
        ])  # fmt: skip

    # -- changing ---------------------------------------------------------------------------

    def _form(self, title: str, fields: Sequence[FormField]) -> None:
        values, offered = self.papers.values(fields), self.papers.proposals()
        intro = "What you leave empty counts as missing. What is not so, change before you save."
        self.run(RecordForm(title, intro, fields, values, self.papers.put, offered, self))

    def _entry(self, listed: str, index: int | None) -> None:
        """The form of one material or certificate; a new one where there is no index."""
        first = listed == MATERIALS
        fields = self.papers.material_fields() if first else self.papers.certificate_fields()
        entries = getattr(self.papers.record, listed)
        at = (listed, len(entries) if index is None else index)
        title = "Material" if first else "Burn certificate"
        intro = "As it stands on the label and its papers." if first else (
            "As it stands on the certificate. What it does not say, leave empty."
        )  # fmt: skip
        put = partial(self.papers.put, at=at)
        self.run(RecordForm(title, intro, fields, self.papers.values(fields, at), put, {}, self))

    def _drop(self, listed: str, index: int) -> None:
        self.attempt(lambda: self.papers.take_away(listed, index))

    def _add_files(self, what: Shown) -> None:
        self._take_files(dialogs.ask_files(self), what)

    def _take_files(self, paths: Sequence[str], what: Shown) -> None:
        if paths:
            self.attempt(lambda: self.papers.add_files(paths, what))

    def _add_other(self) -> None:
        words = {title: key for key, title in FILE_KINDS.items() if not key.startswith("photo")}
        chosen = dialogs.ask_choice(self, "Other papers", "What is it?", list(words))
        if chosen:
            self._add_files(words[chosen])

    def _from_lot(self) -> None:
        lots = {f"{lot.lot}: {lot.material}": lot for lot in self.papers.lots.values()}
        title = "Materials on hand"
        chosen = dialogs.ask_choice(self, title, "Which lot was used?", list(lots))
        amount = dialogs.ask_name(self, title, "How much of it?") if chosen else ""
        if amount:
            self.attempt(lambda: self.papers.add_lot(lots[chosen], amount))
            if self._note_use is not None:
                self._note_use(lots[chosen], amount)

    def _noted_lots(self) -> None:
        for lot, amount in self.papers.lots_of_job():
            self.attempt(partial(self.papers.add_lot, lot, amount))

    # -- papers -------------------------------------------------------------------------------

    def _write(self) -> None:
        proposed = self._folder / f"{self.papers.record.case}-hand-over"
        folder = dialogs.ask_folder(self, proposed)
        if folder is None:
            return
        try:
            write_pack(self.prepared, folder)
        except BadInput as error:
            texts = [fault.text for fault in error.faults]
            dialogs.show_faults(self, "The pack was not written.", texts)
            return
        dialogs.open_written(self, folder / pdf_name(self.prepared.judged))

    def _agree(self) -> None:
        station = self.papers.record.station.name or ""
        write_agreement(self, self._folder, self.papers.shop, station)
