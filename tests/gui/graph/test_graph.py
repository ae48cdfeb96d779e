"""The rule graph: what it shows of a case, and the view by mouse and keys."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication

from advisor.advice.result import Status
from advisor.facts.case import Case
from advisor.facts.quantity import System
from advisor.gui.app import Engine
from advisor.gui.graph.graph_items import broken
from advisor.gui.graph.graph_page import GraphPage
from advisor.gui.graph.graph_view import READABLE, GraphView
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_graph import GraphScope
from advisor.session.screens import METHOD_PAGE
from tests.gui.questions.test_answering import press
from tests.gui.window.test_look import SIZES, clipped
from tests.gui.window.test_pages import shown_text
from tests.gui.window.test_shipped_rules import DEMOS, demo

LEFT = Qt.MouseButton.LeftButton
Show = Callable[..., MainWindow]

# -- what is shown of a case ---------------------------------------------------------


def scope_of(engine: Engine, name: str, system: System = System.METRIC) -> GraphScope:
    """The graph of a demo case."""
    case = demo(engine, name)
    found = engine.quick(case, engine.pack)
    return GraphScope(case, engine.pack, found.advice, system, found.working)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", DEMOS)
def test_every_path_leads_from_a_fact_or_draw_to_its_method(engine: Engine, name: str) -> None:
    scope = scope_of(engine, name)
    nodes, edges = scope.main()
    for path in scope.paths:
        assert path.nodes[-1] == f"method.{path.method}"
        assert set(pairwise(path.nodes)) <= set(edges)
        assert set(path.nodes) <= set(nodes)
    known = {(edge.source, edge.target) for edge in scope.pack.edges}
    assert set(edges) <= known, set(edges) - known


@pytest.mark.parametrize("name", ["split_armrest", "unknown_split", "airbag_seam"])
def test_everything_holds_the_ancestors_of_the_methods(engine: Engine, name: str) -> None:
    import networkx as nx

    scope = scope_of(engine, name)
    nodes, edges = scope.everything()
    graph = scope.pack.graph
    for method in scope.advice.methods:
        end = f"method.{method.method}"
        if method.status is Status.NOT_NEEDED or end not in nodes:
            continue
        own, _ = scope.everything(method.method)
        assert set(own) - {end} <= nx.ancestors(graph, end)
        assert set(own) <= set(nodes)
    assert len(nodes) > len(scope.main()[0])
    assert all(graph.has_edge(*edge) for edge in edges)


def test_nodes_say_their_figure_unit_source_and_status(engine: Engine) -> None:
    scope = scope_of(engine, "split_armrest")
    drag = scope.info("demand.skin_cyclic")
    assert drag.figure.endswith(" N/mm")
    assert " to " in drag.figure
    assert drag.origin == "Calculated"
    mass = scope.info("people.body_mass")
    assert mass.figure.endswith(" kg")
    assert any(line.startswith("Source: ") and "(looked up)" in line for line in mass.lines)
    feel = scope.info("skin.feel")
    assert (feel.figure, feel.origin) == ("Supple", "Entered")
    usage = scope.info("usage.hand_stitch.ligament")
    assert "of its limit" in usage.figure
    glue = scope.info("method.adhesive_bond")
    assert glue.figure == "Fails"
    assert any(line.startswith("Load path: ") for line in glue.lines)
    assert scope.info("part.kind").figure == "Armrest"
    us = scope_of(engine, "split_armrest", System.IMPERIAL)
    assert us.info("demand.skin_cyclic").figure.endswith(" lbf/in")


def test_a_figure_says_what_it_is_worked_out_from(engine: Engine) -> None:
    scope = scope_of(engine, "split_armrest")
    product = scope.info("load.lean_drag").lines[0]
    assert product.startswith("Product of: Drag of the arm, ")
    assert " N/mm; Factor for the number of uses, " in product
    total = scope.info("demand.skin_cyclic").lines[0]
    assert total.startswith("Sum of: ")
    assert "A leaning arm drags on it, " in total
    # What adds nothing here is not named.
    assert "sit" not in total
    (one,) = scope.info("demand.cover_cyclic").lines
    assert one.startswith("Taken from: A leaning arm, ")
    assert "Whether it counts depends on: Leaning and pushing on it, yes." in (
        scope.info("people.push_force").lines
    )
    assert scope.info("people.lean_force").lines[0] == (
        "Depends on: Force of a leaning arm, 130 N; Leaning and pushing on it, yes."
    )
    assert scope.info("people.lean_drag").lines[0].startswith("Calculated from: Friction of ")
    assert scope.info("place.night_minimum").lines[0] == "Usual range, by: Climate, Frosty."


@pytest.mark.parametrize("name", ["split_armrest", "unknown_split"])
def test_what_hardly_adds_to_a_load_is_left_out_of_the_first_view(
    engine: Engine, name: str
) -> None:
    scope = scope_of(engine, name)
    few, every = set(scope.main()[0]), set(scope.everything()[0])
    shares = {
        cause.node: (cause.value.typical / load.value.typical, cause.value.high / load.value.high)
        for load in scope.advice.loads if load.site == "skin" and load.duration == "sustained"
        for cause in load.causes
    }
    small = {node for node, (typical, high) in shares.items() if typical < 0.01 and high < 0.05}
    assert small
    assert not small & few
    assert set(shares) - small <= few
    assert small & every
    assert scope.small_causes
    # What decides a method is always drawn.
    assert all(set(path.nodes) <= few for path in scope.paths)


@pytest.mark.parametrize("name", DEMOS)
def test_every_node_of_every_demo_case_can_be_looked_at(engine: Engine, name: str) -> None:
    scope = scope_of(engine, name)
    for node in dict.fromkeys((*scope.main()[0], *scope.everything()[0])):
        info = scope.info(node)
        assert info.title
        assert info.figure
        assert scope.short_of(node)


# -- the view --------------------------------------------------------------------------


@pytest.fixture
def graph(show: Show, engine: Engine, qtbot) -> GraphPage:
    """The graph of the split armrest, opened from the method page."""
    window = show(demo(engine, "split_armrest"))
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    page.graph.setFocus()
    press(window, qtbot, Qt.Key.Key_Space)
    assert window.graph is not None
    assert window.graph.isVisible()
    return window.graph


def test_the_leading_path_is_lit_with_numbered_heavy_lines(graph: GraphPage) -> None:
    steps = sorted(edge.step for edge in graph.view.edges.values() if edge.step)
    assert steps == list(range(1, len(steps) + 1))
    assert len(steps) >= 4
    assert graph.view.current == "method.hand_stitch"
    assert "Hand stitch" in shown_text(graph.details)


def in_view(view: GraphView, name: str) -> bool:
    """Whether a box stands wholly within what is seen."""
    box = view.mapFromScene(view.nodes[name].sceneBoundingRect()).boundingRect()
    return view.viewport().rect().contains(box)


def lit(graph: GraphPage) -> list[str]:
    """Boxes of the lit path, from left to right."""
    found = [node for node in graph.view.nodes.values() if node.lit]
    return [node.name for node in sorted(found, key=lambda node: node.x())]


def open_graph(window: MainWindow, size: tuple[int, int], qapp: QApplication) -> GraphPage:
    """The graph by its key, in a window of some size."""
    window.resize(*size)
    qapp.processEvents()
    window.actions_by_key()["Ctrl+G"].trigger()
    for _ in range(3):
        qapp.processEvents()
    assert window.graph is not None
    return window.graph


@pytest.mark.parametrize("name", ["split_armrest", "armrest_crumbled_foam", "fallen_headlining"])
@pytest.mark.parametrize("size", [(1280, 800), (1366, 768)])
def test_the_graph_opens_with_the_whole_lit_path_in_view(
    show: Show, engine: Engine, qapp: QApplication, name: str, size: tuple[int, int]
) -> None:
    graph = open_graph(show(demo(engine, name)), size, qapp)
    assert READABLE <= graph.view.transform().m11() <= 1.0
    assert len(lit(graph)) > 4
    assert [node for node in lit(graph) if not in_view(graph.view, node)] == []


def test_where_the_path_does_not_fit_the_graph_opens_at_its_start(
    show: Show, engine: Engine, qapp: QApplication, qtbot
) -> None:
    graph = open_graph(show(demo(engine, "split_armrest")), (1024, 600), qapp)
    path = lit(graph)
    assert graph.view.transform().m11() == pytest.approx(READABLE)
    assert all(in_view(graph.view, node) for node in path[:4])
    assert not in_view(graph.view, path[-1])
    # A wider window shows it whole; what somebody has zoomed stays as it is.
    graph.window().resize(1600, 900)
    qapp.processEvents()
    assert all(in_view(graph.view, node) for node in path)
    qtbot.keyClick(graph.view, Qt.Key.Key_Plus)
    kept = graph.view.transform().m11()
    graph.window().resize(1200, 800)
    qapp.processEvents()
    assert graph.view.transform().m11() == pytest.approx(kept)


def test_another_method_brings_its_path_into_view(graph: GraphPage, qtbot) -> None:
    graph.window().resize(1400, 800)
    before = lit(graph)
    qtbot.mouseClick(graph.bigger, LEFT)
    graph.method.setFocus()
    index = graph.method.findData("recover_panel")
    for _ in range(index - graph.method.currentIndex()):
        qtbot.keyClick(graph.method, Qt.Key.Key_Down)
    assert graph.method.currentData() == "recover_panel"
    assert lit(graph) != before
    assert in_view(graph.view, lit(graph)[0])


def test_a_long_title_takes_three_lines(qapp: QApplication) -> None:
    font = qapp.font()
    lines = broken("Plasticizer has evaporated and the vinyl has shrunk on its foam", font, 120)
    assert len(lines) == 3
    assert lines[0].startswith("Plasticizer")
    assert broken("Glue", font, 120) == ["Glue"]


def test_a_click_says_what_a_product_is_made_of(graph: GraphPage, qtbot) -> None:
    graph.window().resize(1400, 800)
    at = graph.view.mapFromScene(
        graph.view.nodes["load.lean_drag"].sceneBoundingRect().center()
    )
    qtbot.mouseClick(graph.view.viewport(), LEFT, pos=at)
    assert "Product of: Drag of the arm, " in shown_text(graph.details)


def test_causes_left_out_are_told_and_one_click_away(graph: GraphPage, qtbot) -> None:
    assert "Causes that add under a hundredth" in graph.help.text()
    assert "load.evaporation" not in graph.view.nodes
    qtbot.mouseClick(graph.all, LEFT, pos=QPoint(12, graph.all.height() // 2))
    assert "load.evaporation" in graph.view.nodes
    assert "Causes that add" not in graph.help.text()


def test_a_click_shows_what_a_node_says(graph: GraphPage, qtbot) -> None:
    view = graph.view
    node = view.nodes["demand.skin_cyclic"]
    view.ensureVisible(node)
    at = view.mapFromScene(node.sceneBoundingRect().center())
    assert view.viewport().rect().contains(at)
    qtbot.mouseClick(view.viewport(), LEFT, pos=at)
    assert view.current == "demand.skin_cyclic"
    text = shown_text(graph.details)
    assert "What reaches the damage" in text
    assert "N/mm" in text


def test_clicking_another_method_lights_its_path(graph: GraphPage, qtbot) -> None:
    graph.view.choose("method.adhesive_bond")
    assert graph.method.currentData() == "adhesive_bond"
    assert graph.view.edges["usage.adhesive_bond.peel", "method.adhesive_bond"].step
    assert graph.view.nodes["usage.adhesive_bond.peel"].lit
    assert not graph.view.nodes["method.hand_stitch"].lit


def test_arrow_keys_follow_the_lit_path_back_to_the_fact(graph: GraphPage, qtbot) -> None:
    view = graph.view
    passed = [view.current]
    for _ in range(20):
        qtbot.keyClick(view, Qt.Key.Key_Left)
        if view.current == passed[-1]:
            break
        passed.append(view.current)
    path = next(p for p in graph._scope.paths if p.method == "hand_stitch")  # type: ignore[union-attr]
    assert tuple(reversed(passed)) == path.nodes
    qtbot.keyClick(view, Qt.Key.Key_Right)
    assert view.current == path.nodes[1]
    here = view.current
    qtbot.keyClick(view, Qt.Key.Key_Down)
    qtbot.keyClick(view, Qt.Key.Key_Up)
    assert view.nodes[view.current].x() == view.nodes[here].x()


def test_zoom_by_keys_buttons_and_wheel_stays_within_limits(graph: GraphPage, qtbot) -> None:
    view = graph.view
    before = view.transform().m11()
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    assert view.transform().m11() > before
    qtbot.keyClick(view, Qt.Key.Key_Minus)
    assert view.transform().m11() == pytest.approx(before)
    for _ in range(40):
        qtbot.mouseClick(graph.smaller, LEFT)
    assert view.transform().m11() == pytest.approx(0.15)
    for _ in range(40):
        qtbot.mouseClick(graph.bigger, LEFT)
    assert view.transform().m11() == pytest.approx(2.5)
    qtbot.mouseClick(graph.fit, LEFT)
    area = view.mapToScene(view.viewport().rect()).boundingRect()
    assert area.contains(view.scene().itemsBoundingRect())


def test_figures_are_written_into_the_nodes_bit_by_bit(graph: GraphPage, qtbot) -> None:
    qtbot.waitUntil(lambda: all(node.figure for node in graph.view.nodes.values()))
    assert graph.view.nodes["method.adhesive_bond"].figure == "fails"
    assert graph.view.nodes["demand.skin_cyclic"].figure.endswith("N/mm")


def test_all_that_was_computed_for_the_picked_method(graph: GraphPage, qtbot) -> None:
    few = set(graph.view.nodes)
    qtbot.mouseClick(graph.all, LEFT, pos=QPoint(12, graph.all.height() // 2))
    assert len(graph.view.nodes) > len(few)
    assert [n for n in graph.view.nodes if n.startswith("method.")] == ["method.hand_stitch"]
    qtbot.mouseClick(graph.all, LEFT, pos=QPoint(12, graph.all.height() // 2))
    assert set(graph.view.nodes) == few


@pytest.mark.parametrize("way", ["button", "escape", "alt left", "stage"])
def test_every_way_out_leads_back(graph: GraphPage, qtbot, way: str) -> None:
    window = graph.window()
    assert isinstance(window, MainWindow)
    if way == "button":
        qtbot.mouseClick(graph.back, LEFT)
    elif way == "escape":
        press(window, qtbot, Qt.Key.Key_Escape)
    elif way == "alt left":
        window.actions_by_key()["Alt+Left"].trigger()
    else:
        qtbot.mouseClick(next(iter(window.stages.buttons.values())), LEFT)
    assert not graph.isVisible()
    assert window.navigator.screen == (METHOD_PAGE if way != "stage" else window.navigator.screen)
    assert window.split.isVisible()


def test_units_switch_in_the_graph(graph: GraphPage, qtbot) -> None:
    window = graph.window()
    assert isinstance(window, MainWindow)
    graph.view.choose("demand.skin_cyclic")
    window.actions_by_key()["Ctrl+U"].trigger()
    assert "lbf/in" in shown_text(graph.details)
    assert graph.view.current == "demand.skin_cyclic"


@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_clipped_around_the_graph(
    show: Show, engine: Engine, qapp: QApplication, size
) -> None:
    window = show(demo(engine, "unknown_split"))
    window.resize(*size)
    window.show_graph()
    for _ in range(4):
        qapp.processEvents()
    assert clipped(window) == []


def test_before_anything_is_computed_there_is_no_graph(show: Show) -> None:
    window = show(Case("x"))
    window.actions_by_key()["Ctrl+G"].trigger()
    assert window.graph is None


def test_the_start_loads_nothing_heavy() -> None:
    code = (
        "import sys\n"
        "from advisor.gui import app\n"
        "engine = app.load_engine(None)\n"
        "heavy = ['networkx', 'pint', 'jinja2', 'reportlab', 'pydantic', 'yaml',\n"
        "         'advisor.gui.verdict.verdict_page', 'advisor.gui.graph.graph_page',\n"
        "         'advisor.advice.result', 'advisor.advice.advise']\n"
        "print([name for name in heavy if name in sys.modules])\n"
    )
    # The first run may have to compile the rules, which reads them with all that takes.
    for _ in range(2):
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True,
                              timeout=60, check=True)
    assert done.stdout.strip() == "[]"
