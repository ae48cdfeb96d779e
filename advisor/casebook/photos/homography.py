"""From a photo to a plane: the map that four points of known places give. numpy only.

Direct linear transform with normalised points (Hartley and Zisserman, "Multiple View
Geometry", algorithm 4.2; from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
#: A map beyond this condition number takes the plane to a line.
FLATTEST = 1e6


def homography(source: Points, target: Points) -> Points:
    """The 3 x 3 map that takes four or more ``source`` points (n x 2) to ``target``.

    Raises ValueError where three of four points lie on one line, or there are fewer.
    """
    if source.shape != target.shape or source.shape[0] < 4 or source.shape[1] != 2:
        raise ValueError(f"four points with x and y are needed; found {source.shape}")
    one, other = _normal(source), _normal(target)
    a, b = moved(one, source), moved(other, target)
    rows = []
    for (x, y), (u, v) in zip(a, b, strict=True):
        rows.append([-x, -y, -1.0, 0.0, 0.0, 0.0, u * x, u * y, u])
        rows.append([0.0, 0.0, 0.0, -x, -y, -1.0, v * x, v * y, v])
    plain = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    if np.linalg.cond(plain) > FLATTEST:
        raise ValueError("three of the four corners lie on one line")
    found = np.linalg.inv(other) @ plain @ one
    scaled: Points = found / found[2, 2]
    return scaled


def _normal(points: Points) -> Points:
    """Moves the middle to 0 and the mean distance to the root of 2."""
    middle = points.mean(axis=0)
    size = float(np.mean(np.linalg.norm(points - middle, axis=1)))
    if not size > 0:
        raise ValueError("all points lie in one place")
    scale = np.sqrt(2.0) / size
    return np.array(
        [[scale, 0.0, -scale * middle[0]], [0.0, scale, -scale * middle[1]], [0.0, 0.0, 1.0]]
    )


def moved(transform: Points, points: Points) -> Points:
    """``points`` (n x 2) under a map."""
    spread = np.column_stack((points, np.ones(len(points)))) @ transform.T
    found: Points = spread[:, :2] / spread[:, 2:]
    return found


def crossing(one: Points, other: Points) -> Points:
    """Where two lines meet, each given by two points. Raises ValueError for parallel ones."""
    first, second = (
        np.cross(np.append(line[0], 1.0), np.append(line[1], 1.0)) for line in (one, other)
    )
    x, y, w = np.cross(first, second)
    if abs(w) < 1e-12 * np.hypot(x, y):
        raise ValueError("two neighbouring edges are parallel")
    return np.array([x / w, y / w])
