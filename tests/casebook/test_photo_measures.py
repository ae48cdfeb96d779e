"""Lengths by a card on a photo: against opencv, and on drawn images of known lengths.

The card is ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, corners of 2.88 to 3.48 mm radius.
"""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from advisor.casebook.photos.homography import crossing, homography, moved
from advisor.casebook.photos.measuring import CARD, CLICK, CardOnPhoto, RulerOnPhoto
from advisor.facts.case import Span

Array = NDArray[np.float64]
WIDTH, HEIGHT = CARD
RADIUS = 3.18
#: Pixels of a drawn plane for a mm, and where its 0 is.
SCALE, ORIGIN = 10.0, np.array([20.0, 20.0])
#: Pixels around a place that are looked at.
REACH = 20
SIZE = (1800, 1350)
ENDS = np.array([[2.0, 75.0], [102.0, 75.0]])
LENGTH = 100.0


def camera(tilt: float, turn: float = 20.0, far: float = 320.0) -> Array:
    """From a plane in mm to a photo of ``SIZE``: a lens of 0.8 of its longer side."""
    t, r = np.radians([tilt, turn])
    around = np.array([[np.cos(r), -np.sin(r), 0], [np.sin(r), np.cos(r), 0], [0, 0, 1]])
    back = np.array([[1, 0, 0], [0, np.cos(t), -np.sin(t)], [0, np.sin(t), np.cos(t)]])
    turned = back @ around
    moved_to = -turned @ np.array([52.0, 42.0, 0.0]) + np.array([0.0, 0.0, far])
    focal = 0.8 * SIZE[0]
    lens = np.array([[focal, 0, SIZE[0] / 2], [0, focal, SIZE[1] / 2], [0, 0, 1]])
    return lens @ np.column_stack((turned[:, 0], turned[:, 1], moved_to))


def test_the_map_is_that_of_opencv() -> None:
    rng = np.random.default_rng(1)
    card = np.array([[0, 0], [WIDTH, 0], [WIDTH, HEIGHT], [0, HEIGHT]], dtype=float)
    for tilt in (0.0, 30.0, 60.0):
        pixels = moved(camera(tilt), card)
        ours = homography(pixels, card)
        theirs, _ = cv2.findHomography(pixels, card)
        others = pixels.mean(axis=0) + rng.uniform(-150, 150, (20, 2))
        assert moved(ours, others) == pytest.approx(moved(theirs, others), abs=1e-4)
        six = homography(np.vstack((pixels, moved(camera(tilt), ENDS))), np.vstack((card, ENDS)))
        assert moved(six, others) == pytest.approx(moved(ours, others), abs=1e-4)


@pytest.mark.parametrize(
    "points", [[[0, 0], [1, 0], [2, 0], [0, 1]], [[0, 0]] * 4, [[0, 0], [1, 0], [1, 1]]]
)
def test_what_is_no_card_is_refused(points: list[list[float]]) -> None:
    source = np.array(points, dtype=float)
    with pytest.raises(ValueError, match=r"corners|one place|four points"):
        homography(source, np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=float)[: len(source)])


def test_parallel_edges_do_not_meet() -> None:
    with pytest.raises(ValueError, match="parallel"):
        crossing(np.array([[0.0, 0], [1, 0]]), np.array([[0.0, 1], [1, 1]]))


def drawn() -> NDArray[np.uint8]:
    """The plane from straight above: a white card with round corners, and two black dots.

    Each pixel is as bright as the share of it that is covered, so edges lie where they should.
    """
    down, across = np.mgrid[0:1100, 0:1300] / SCALE
    place = np.stack((across, down), axis=-1) - ORIGIN
    middle = np.array(CARD) / 2
    beyond = np.abs(place - middle) - middle + RADIUS
    outside = np.linalg.norm(beyond.clip(0), axis=-1) + beyond.max(axis=-1).clip(max=0) - RADIUS
    plane = 90 + 165 * (0.5 - outside * SCALE).clip(0, 1)
    for end in ENDS:
        away = np.linalg.norm(place - end, axis=-1) - 0.8
        plane *= 1 - (0.5 - away * SCALE).clip(0, 1)
    return np.round(plane).astype(np.uint8)


def patch(plane: NDArray[np.uint8], seen: Array, where: Array) -> tuple[Array, Array]:
    """The part of a photo around a place, as `cv2.warpPerspective` draws it, and its corner."""
    corner = np.round(where) - REACH
    to_plane = np.array([[SCALE, 0, ORIGIN[0] * SCALE], [0, SCALE, ORIGIN[1] * SCALE], [0, 0, 1]])
    shift = np.array([[1, 0, -corner[0]], [0, 1, -corner[1]], [0, 0, 1]])
    image = cv2.warpPerspective(
        plane, shift @ seen @ np.linalg.inv(to_plane), (2 * REACH + 1, 2 * REACH + 1),
        borderValue=90,
    )  # fmt: skip
    return image.astype(float), corner


#: Places on the straight edges, in mm, going around, with the way out of the card.
PLACES = (
    (((10, 0), (WIDTH - 10, 0)), (0, -1)),
    (((WIDTH, 10), (WIDTH, HEIGHT - 10)), (1, 0)),
    (((WIDTH - 10, HEIGHT), (10, HEIGHT)), (0, 1)),
    (((0, HEIGHT - 10), (0, 10)), (-1, 0)),
)


def edge_near(plane: NDArray[np.uint8], seen: Array, where: Array, outwards: Array) -> Array:
    """Where brightness goes through the middle along a line, as an eye finds an edge."""
    image, corner = patch(plane, seen, where)
    steps = np.arange(-8, 8, 0.25)
    points = where - corner + steps[:, None] * outwards / np.linalg.norm(outwards)
    x, y = points.astype(np.float32).T
    bright = cv2.remap(image, x[None], y[None], cv2.INTER_LINEAR)[0]
    place = int(np.argmax(bright < 172.5))
    share = (bright[place - 1] - 172.5) / (bright[place - 1] - bright[place])
    found: Array = corner + points[place - 1] + share * (points[place] - points[place - 1])
    return found


def dot_near(plane: NDArray[np.uint8], seen: Array, where: Array) -> Array:
    """The middle of a dark dot."""
    image, corner = patch(plane, seen, where)
    dark = (90.0 - image).clip(0)
    down, across = np.mgrid[0 : 2 * REACH + 1, 0 : 2 * REACH + 1]
    middle = np.array([(dark * across).sum(), (dark * down).sum()]) / dark.sum()
    found: Array = corner + middle
    return found


def errors_of(photos: int) -> tuple[Array, float]:
    """Relative errors of so many drawn photos at 40 degrees with clicks off by 1 px, and how
    many of them lie in the span that is said.
    """
    rng = np.random.default_rng(5)
    plane = drawn()
    found, inside = [], []
    for _ in range(photos):
        view = camera(40.0, rng.uniform(0, 360), rng.uniform(190, 240))
        edges = []
        for places, way in PLACES:
            points = moved(view, np.array(places, dtype=float))
            out = moved(view, np.array(places, dtype=float) + np.array(way)) - points
            edges.append([edge_near(plane, view, point, each)
                          for point, each in zip(points, out, strict=True)])  # fmt: skip
        ends = np.array([dot_near(plane, view, point) for point in moved(view, ENDS)])
        clicks = np.array(edges) + rng.normal(0, 1.0, (4, 2, 2))
        trace = ends + rng.normal(0, 1.0, (2, 2))
        card = CardOnPhoto([(tuple(a), tuple(b)) for a, b in clicks], SIZE)
        measured = card.distance([tuple(point) for point in trace])
        found.append(measured.length)
        reach = 1.645 * measured.error / CLICK  # the clicks here are of 1 px
        inside.append(abs(measured.length - LENGTH) <= reach)
    return np.array(found) / LENGTH - 1, float(np.mean(inside))


@pytest.mark.slow
def test_five_hundred_drawn_photos_at_forty_degrees() -> None:
    errors, inside = errors_of(500)
    assert np.sqrt(np.mean(errors**2)) <= 0.008
    assert abs(np.mean(errors)) <= 0.001
    # What is said of the error is true: 90 % lie within 1.645 standard deviations.
    assert 0.86 <= inside <= 0.94


def card_seen(tilt: float, far: float = 320.0) -> CardOnPhoto:
    edges = [moved(camera(tilt, far=far), np.array(places, dtype=float)) for places, _ in PLACES]
    return CardOnPhoto([(tuple(a), tuple(b)) for a, b in edges], SIZE)


def seen(points: Array, tilt: float, far: float = 320.0) -> list[tuple[float, float]]:
    return [tuple(point) for point in moved(camera(tilt, far=far), points)]


@pytest.mark.parametrize("tilt", [0.0, 20.0, 40.0])
def test_exact_clicks_give_the_exact_length_tilt_and_distance(tilt: float) -> None:
    card = card_seen(tilt)
    assert card.distance(seen(ENDS, tilt)).length == pytest.approx(LENGTH)
    found, distance = card._view()
    assert found == pytest.approx(tilt, abs=0.01)
    assert distance == pytest.approx(320, rel=0.1)
    assert not card.distance(seen(ENDS, tilt)).doubts


def test_a_trace_goes_around_corners_and_holes_have_a_pitch() -> None:
    around = np.array([[0.0, 60], [30, 60], [30, 100]])
    assert card_seen(20.0).distance(seen(around, 20.0)).length == pytest.approx(70)
    holes = np.array([[0.0, 60], [5, 60], [10, 60], [15, 60]])
    assert card_seen(20.0).pitch(seen(holes, 20.0)).length == pytest.approx(5)


def test_damage_below_the_card_widens_the_answer() -> None:
    flush = card_seen(0.0).distance(seen(ENDS, 0.0))
    deep = card_seen(0.0).distance(seen(ENDS, 0.0), flush=10.0)
    assert flush.beneath == 0
    assert deep.beneath == pytest.approx(LENGTH * 10 / 320, rel=0.1)
    assert deep.span.low < flush.span.low < LENGTH < flush.span.high < deep.span.high


def test_the_answer_is_a_span_as_a_technician_writes_it() -> None:
    span = card_seen(0.0).distance(seen(ENDS, 0.0)).span
    assert span.written == f"{span.low:.1f} to {span.high:.1f} mm"
    assert isinstance(span, Span)
    assert 97 < span.low < 100 < span.high < 103


def test_doubtful_photos_are_told() -> None:
    assert any("aslant" in each for each in card_seen(65.0).distance(seen(ENDS, 65.0)).doubts)
    far = card_seen(0.0, 1200.0).distance(seen(ENDS, 0.0, 1200.0))
    assert any("pixels long" in each for each in far.doubts)
    long = np.array([[0.0, 75], [400, 75]])
    doubts = card_seen(0.0, 900.0).distance(seen(long, 0.0, 900.0)).doubts
    assert any("more than three cards" in each for each in doubts)
    assert any("two cards away" in each for each in doubts)


def test_a_ruler_measures_along_and_says_what_it_cannot_know() -> None:
    ruler = RulerOnPhoto(((100, 100), (1100, 100)), 200.0)
    found = ruler.distance([(0, 0), (0, 500)])
    assert found.length == pytest.approx(100)
    # Two clicks of 1.5 px each on 1000 px and on 500 px.
    assert found.error == pytest.approx(100 * 2**0.5 * 1.5 * (1e-6 + 4e-6) ** 0.5)
    assert "straight from above" in found.doubts[0]
    assert ruler.pitch([(0, 0), (0, 25), (0, 50)]).length == pytest.approx(5)
    with pytest.raises(ValueError, match="must lie apart"):
        RulerOnPhoto(((0, 0), (0, 0)), 200.0)
    with pytest.raises(ValueError, match="two points or more"):
        ruler.distance([(0, 0)])
