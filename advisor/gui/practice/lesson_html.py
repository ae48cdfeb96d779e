"""A lesson as rich text: headings, sentences, tables of figures with their sources, links."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from advisor.advice.explaining.reasons import FIGURE_DIMENSIONS
from advisor.advice.result import Advice
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.practice.lessons import Lesson, LessonFigure, LessonPart, Link
from advisor.report.status_words import with_status
from advisor.rulegraph.model.rules import METHOD
from advisor.session.answer_text import range_text, standing
from advisor.wording.amounts import for_people
from advisor.wording.counts import percent, usage_text
from advisor.wording.figures import Range
from advisor.wording.sentences import capital, sentence


def lesson_html(lesson: Lesson, system: System) -> str:
    """The page; a link leads to the lesson whose key it is."""
    body = [f"<p>{_said(lesson.lead)}</p>"]
    for part in lesson.parts:
        body += _part(part, system)
    return _page("\n".join(body))


def seen_here(lesson: Lesson, advice: Advice, system: System) -> str:
    """What the lesson's load or method comes to in one case; empty where it plays no part."""
    if lesson.kind == "method":
        key = lesson.key.removeprefix(METHOD)
        method = next((one for one in advice.methods if one.method == key), None)
        if method is None:
            return ""
        used = f", {usage_text(method.usage)}" if method.usage is not None else ""
        return f"{standing(method)}{used}"
    for load in advice.loads:
        for cause in load.causes:
            if cause.node == lesson.key:
                said = range_text(cause.value, load.dimension, load.unit, system)
                share = cause.value.typical / max(load.value.typical, 1e-12)
                return f"{said}, {percent(share)} of: {load.title.lower()}"
        if load.title == lesson.title:
            return range_text(load.value, load.dimension, load.unit, system)
    return ""


def _page(body: str) -> str:
    return f"""<style>
h3 {{ color: {theme.INK}; margin-top: 14px; margin-bottom: 2px; }}
p, li, td {{ color: {theme.INK}; font-size: {theme.TEXT}px; }}
th {{ color: {theme.QUIET}; font-size: {theme.SMALL}px; text-align: left; }}
.small {{ color: {theme.QUIET}; font-size: {theme.SMALL}px; }}
.caution {{ background: {theme.WARN_SOFT}; color: {theme.INK}; }}
a {{ color: {theme.ACCENT}; }}
</style>{body}"""


def _part(part: LessonPart, system: System) -> Iterator[str]:
    yield f"<h3>{escape(part.title)}</h3>"
    if part.lines:
        yield f"<ul>{''.join(f'<li>{_said(line)}</li>' for line in part.lines)}</ul>"
    for caution in part.cautions:
        yield f'<p class="caution">&nbsp;{_said(caution)}&nbsp;</p>'
    if part.links:
        yield f"<p>{' &nbsp; '.join(_link(link) for link in part.links)}</p>"
    if part.figures:
        yield '<table cellpadding="4" cellspacing="0" width="100%">'
        yield "<tr><th>What</th><th>Typical (lowest to highest)</th><th>Source</th></tr>"
        yield from (_row(figure, system) for figure in part.figures)
        yield "</table>"


def _link(link: Link) -> str:
    return f'<a href="{escape(link.key)}">{escape(link.title)}</a>'


def _row(figure: LessonFigure, system: System) -> str:
    under = "; ".join(filter(None, (figure.where, figure.note)))
    where = f'<br><span class="small">{_said(capital(under))}</span>' if under else ""
    source = with_status(figure.source) if figure.source is not None else "by definition"
    return (
        f"<tr><td>{_said(figure.title)}{where}</td><td>{escape(amount(figure, system))}</td>"
        f'<td><span class="small">{_said(source)}</span></td></tr>'
    )


def amount(figure: LessonFigure, system: System) -> str:
    """A figure in the reader's units: ``0.5 (0.3 to 0.6)``; one that is exact without a range."""
    value: Range = figure.value
    dimension = FIGURE_DIMENSIONS.get(figure.unit, "number")
    return range_text(value, dimension, figure.unit, system)


def _said(text: str) -> str:
    return escape(for_people(text))


def from_the_reason(links: tuple[Link, ...]) -> str:
    """The lessons that a reason leads to, as a line of links."""
    return f"From the reason: {' &nbsp; '.join(_link(link) for link in links)}" if links else ""


def example_line(title: str, seen: str) -> str:
    """What stands under the drawing."""
    return sentence(f"{title}: {seen}") if seen else sentence(title)
