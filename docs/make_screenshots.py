"""Draws the pictures in docs/screenshots: python docs/make_screenshots.py [NAME...]"""

# ruff: noqa: E402 - the checkout is put on the path first, so that nothing need be installed.

from __future__ import annotations

import os
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass
from datetime import date
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_SCALE_FACTOR", "1")
# A shop's own rules and measures on this machine stay out of the pictures.
NOBODY = tempfile.TemporaryDirectory()
for place in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
    os.environ[place] = NOBODY.name
ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from pypdfium2 import PdfDocument
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from advisor import paths
from advisor.facts.case_file import read_case
from advisor.facts.quantity import System
from advisor.gui.app import Engine, load_engine, prepare
from advisor.gui.job.cutting_view import CuttingView
from advisor.gui.job.prices_dialog import open_prices
from advisor.gui.practice.practice_place import LESSONS, TRY
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.window.main_window import MainWindow
from advisor.practice.answers import Belief, Help
from advisor.practice.forces import Direction, DrawnForce
from advisor.practice.generating.generate import generate
from advisor.practice.round import Step
from advisor.session.case_session import Session
from advisor.session.printed_papers import CasePapers, InvoiceFields, Paper
from advisor.session.screens import HAZARD_PAGE, JOB_SHEET, METHOD_PAGE, RECORD_PAGE
from advisor.session.shop_settings import ShopSettings
from advisor.session.vehicle_job import CaseJob

TARGET = ROOT / "docs" / "screenshots"
WIDE, TABLET = (1280, 800), (800, 1100)
DRESSED = 400
"""Milliseconds until icons and pictures stand."""


@dataclass(frozen=True)
class Shot:
    """One picture: a demo case on one screen."""

    name: str
    demo: str
    screen: str
    size: tuple[int, int] = WIDE
    left_out: tuple[str, ...] = ()
    """Facts taken out of the case, so that they are asked."""
    method: str = ""
    """Method whose reasons are open."""
    system: System = System.METRIC
    tried: str = ""
    """Option that is tried on the screen's question, next to the answer that stands."""
    graph: str = ""
    """Box of the rule graph that is looked at; the graph then lies over the screen."""
    down: int = 0
    """How far the page is scrolled, px."""
    shown: type[QWidget] | None = None
    """Kind of drawing that the page is scrolled to."""
    prices: bool = False
    """Whether the prices are opened, and only they are in the picture."""


SHOTS = (
    Shot("1_question", "split_armrest", "damage.hole_state",
         left_out=("damage.hole_state", "damage.failed")),
    Shot("2_hazard_first", "aircraft_panel_station", HAZARD_PAGE, TABLET,
         left_out=("gate.contamination", "gate.suspect_fibres")),
    Shot("3_method", "split_armrest", METHOD_PAGE, method="adhesive_bond"),
    Shot("4_refer", "airbag_seam", METHOD_PAGE),
    Shot("5_us_units", "fallen_headlining", "place.peak_temperature", system=System.IMPERIAL),
    Shot("6_job", "armrest_crumbled_foam", JOB_SHEET),
    Shot("7_record", "cracked_panel", RECORD_PAGE, TABLET),
    Shot("8_what_if", "split_armrest", "skin.feel", tried="brittle"),
    Shot("9_what_would_change_it", "split_armrest", METHOD_PAGE, down=1220),
    Shot("10_rule_graph", "split_armrest", METHOD_PAGE, graph="people.lean_drag"),
    Shot("11_which_part", "torn_deck_cushion", "part.kind"),
    Shot("12_cutting", "brittle_bench", JOB_SHEET, shown=CuttingView),
    Shot("13_prices", "split_armrest", JOB_SHEET, prices=True),
)


#: Pictures of the first page of a paper: name, demo case, paper.
PAPER_SHOTS = (
    ("14_page_for_the_invoice", "split_armrest", Paper.INVOICE),
    ("15_quote", "brittle_bench", Paper.QUOTE),
    ("16_bench_sheet", "torn_deck_cushion", Paper.BENCH),
)
SHOP = ShopSettings(name="Quayside Trim Workshop", address="3 Slipway Yard")
FIELDS = InvoiceFields("Harbour Shuttle Service", "Shuttle 4, armrest", "2026-0412",
                       date(2026, 11, 30))  # fmt: skip
DENSITY = 1.25
"""Pixels for a point of a page."""


def paper(engine: Engine, demo: str, which: Paper) -> QImage:
    """The first page of a paper, on a grey ground."""
    session = Session(engine.pack, engine.quick, advise_fully=engine.full,
                      case=read_case(paths.demo_folder() / f"{demo}.yaml", engine.pack.facts))
    target = Path(NOBODY.name) / "paper.pdf"
    CasePapers(session, CaseJob(session)).write(which, target, SHOP, FIELDS)
    with PdfDocument(target) as document:
        page = document[0].render(scale=DENSITY).to_pil().convert("RGB")
    side = 12
    image = QImage(page.width + 2 * side, page.height + 2 * side, QImage.Format.Format_RGB32)
    image.fill(0xC8C8C8)
    painter = QPainter(image)
    painter.drawImage(side, side, QImage(page.tobytes(), page.width, page.height,
                                         3 * page.width, QImage.Format.Format_RGB888))
    painter.end()
    return image


def take(app: QApplication, engine: Engine, shot: Shot) -> QImage:
    """One picture of the window."""
    case = read_case(paths.demo_folder() / f"{shot.demo}.yaml", engine.pack.facts)
    for fact in shot.left_out:
        case = case.without(fact)
    session = Session(engine.pack, engine.quick, case=case, advise_fully=engine.full)
    session.system = shot.system
    window = MainWindow(session)
    window.resize(*shot.size)
    window.show()
    window.navigator.go(shot.screen)
    for found in session.advice.methods:
        if found.method == shot.method:
            window.picture.show_method(found)
    if shot.tried:
        window.navigator.try_answer(shot.screen, (shot.tried,))
    if shot.graph:
        window.show_graph()
    QTest.qWait(DRESSED)
    page = window.pages.shown()
    while isinstance(page, VerdictPage) and page.is_working:
        app.processEvents()
    if window.graph is not None and shot.graph:
        window.graph.view.choose(shot.graph)
    _scroll(window, shot)
    dialog = open_prices(window.navigator, window) if shot.prices else None
    app.processEvents()
    image = (dialog or window).grab().toImage()
    window.hide()
    window.deleteLater()
    return image


#: Pictures of practice, in the order in which a round comes to them.
PRACTICE_SHOTS = (
    "17_practice_forces", "18_practice_difference", "19_practice_answer", "20_lesson",
    "21_try_it_yourself",
)  # fmt: skip


def practice(app: QApplication, engine: Engine, last: str) -> QImage:
    """A round over a drawn case up to one of its pictures: glue is chosen, forces are drawn."""
    session = Session(engine.pack, engine.quick, advise_fully=engine.full)
    window = MainWindow(session)
    window.resize(*WIDE)
    window.show()
    window.show_practice()
    place = window.practice
    if last in PRACTICE_SHOTS[3:]:
        place.show_page(LESSONS if last == PRACTICE_SHOTS[3] else TRY)
        if last == PRACTICE_SHOTS[3]:
            place.lessons.open("load.lean_drag")
            while place.lessons.is_looking:
                QTest.qWait(20)
        else:
            page = place.stack.currentWidget()
            next(iter(page.sliders.values())).setValue(36)
        return _grabbed(app, window)
    (case,) = generate(engine.pack, 1, 3, topic="seams", fact="damage.hole_state").cases
    rounds, page = place.rounds, place.rounds.round_page
    rounds.begin_round(case, Help.ALONE)
    one = page.round
    for item in one.hazards:
        one.ask_hazard(item.key)
    while not page.is_ready:
        QTest.qWait(20)
    one.end_hazards()
    one.choose_first(Belief("adhesive_bond", 0.6))
    for question in one.truth.questions[:1]:
        one.ask(question.fact)
    one.end_asking()
    page._show_step()
    offered = [force.cause for force in one.forces().offered]
    for rank, force in enumerate(one.forces().calculated[:2], start=1):
        if force.cause in offered:
            one.draw(DrawnForce(force.cause, Direction.APART, rank, force.when))
    panel = page.panels[Step.FORCES]
    panel.fill(one)
    panel.name()
    if last != PRACTICE_SHOTS[0]:
        one.name_governing(one.forces().governing)
        one.decide(Belief("adhesive_bond", 0.7))
        rounds._over(one)
        if last == PRACTICE_SHOTS[2]:
            facts = [fact for fact, _ in rounds.reveal_page.shown.twin.differences]
            rounds.reveal_page.differences[facts.index(case.twin.fact)].click()
    image = _grabbed(app, window)
    rounds._stop()
    return image


def _grabbed(app: QApplication, window: MainWindow) -> QImage:
    QTest.qWait(DRESSED)
    app.processEvents()
    image = window.grab().toImage()
    window.hide()
    window.deleteLater()
    return image


def _scroll(window: MainWindow, shot: Shot) -> None:
    """Bring the part of the page into view that the picture is of."""
    if shot.down:
        window.pages[shot.screen].area.verticalScrollBar().setValue(shot.down)
    if shot.shown is not None:
        page = window.pages[shot.screen]
        drawn = page.findChild(shot.shown)
        assert drawn is not None, shot.name
        top = drawn.mapTo(page.inside, drawn.rect().topLeft()).y()
        page.area.verticalScrollBar().setValue(top - 60)


def thrifty(image: QImage) -> QImage:
    """The same picture in its 256 commonest colours, to keep the file small."""
    seen = Counter(
        image.pixel(x, y) for x in range(0, image.width(), 2) for y in range(0, image.height(), 2)
    )
    table = [colour for colour, _ in seen.most_common(256)]
    plain = Qt.ImageConversionFlag.ThresholdDither | Qt.ImageConversionFlag.AvoidDither
    return image.convertToFormat(QImage.Format.Format_Indexed8, table, plain)


def main() -> None:
    """Take every picture anew, or those that are named."""
    app = QApplication([])
    prepare(app)
    engine = load_engine(None)
    TARGET.mkdir(exist_ok=True)
    pictures = [(shot.name, lambda shot=shot: take(app, engine, shot)) for shot in SHOTS]
    pictures += [
        (name, lambda demo=demo, which=which: paper(engine, demo, which))
        for name, demo, which in PAPER_SHOTS
    ]
    pictures += [
        (name, lambda name=name: practice(app, engine, name)) for name in PRACTICE_SHOTS
    ]
    for name, draw in pictures:
        if sys.argv[1:] and name not in sys.argv[1:]:
            continue
        image = thrifty(draw())
        path = TARGET / f"{name}.png"
        image.save(str(path), "PNG", 0)
        print(f"{path.relative_to(ROOT)}: {path.stat().st_size // 1024} kB")


if __name__ == "__main__":
    main()
