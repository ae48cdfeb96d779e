"""A report as one self-contained HTML page."""

from __future__ import annotations

import base64
from typing import Any

from advisor.drawing.bench.bench_shapes import LETTER, LINES, placed
from advisor.report.blocks import Document, kind
from advisor.report.formats.text import TEMPLATES, one_line
from advisor.wording.sentences import tied


def render(document: Document) -> str:
    """``document`` as a page with its style and drawings inside; every text is escaped."""
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(TEMPLATES),
        undefined=jinja2.StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_printable,
    )
    environment.filters["kind"] = kind
    environment.filters["base64"] = lambda data: base64.b64encode(data).decode()
    environment.globals["LINES"], environment.globals["LETTER"] = LINES, LETTER
    environment.globals["placed"] = placed
    return environment.get_template("document.html.j2").render(document=document)


def _printable(value: Any) -> Any:
    """Texts lose control characters; markup made by the template stays as it is."""
    return tied(one_line(value)) if type(value) is str else value
