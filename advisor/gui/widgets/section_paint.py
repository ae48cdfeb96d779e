"""Paints the shapes of a section drawing in the materials of the theme."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF

from advisor.drawing.section_shapes import Point, Shape, Stroke
from advisor.gui import theme

#: Materials by the tokens of the theme.
FILLS = {"skin": "SKIN", "foam": "FOAM", "carrier": "CARRIER", "void": "VOID"}
HATCHES = {
    "cells": (Qt.BrushStyle.Dense6Pattern, "CELLS"),
    "crumbled": (Qt.BrushStyle.DiagCrossPattern, "WARN"),
    "wet": (Qt.BrushStyle.HorPattern, "ACCENT"),
    "solid": (Qt.BrushStyle.BDiagPattern, "HATCH"),
}


def token(name: str) -> str:
    """A colour of the theme in use."""
    return str(getattr(theme, name))


def _polygon(points: tuple[Point, ...]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])


def paint_shape(painter: QPainter, shape: Shape) -> None:
    """A filled area of the drawing, in the materials of the theme."""
    pen = QPen(QColor(theme.INK), 1.4)
    if shape.dashed:
        pen.setStyle(Qt.PenStyle.DashLine)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(token(FILLS[shape.fill])))
    polygon = _polygon(shape.points)
    painter.drawPolygon(polygon)
    if shape.hatch:
        style, colour = HATCHES[shape.hatch]
        painter.setBrush(QBrush(QColor(token(colour)), style))
        painter.drawPolygon(polygon)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(pen)
    painter.drawPolygon(polygon)


def paint_stroke(painter: QPainter, stroke: Stroke) -> None:
    """A line of the drawing."""
    looks = {"crack": (theme.BAD, 3.0), "hole": (theme.FOAM, 2.0), "thin": (theme.INK, 1.2)}
    colour, width = looks.get(stroke.look, looks["thin"])
    painter.setPen(QPen(QColor(colour), width))
    painter.drawPolyline(_polygon(stroke.points))
