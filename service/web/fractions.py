"""Inch fractions as a shop writes them, in text and in drawings; the plain text stays what it was."""

from __future__ import annotations

import re
from collections.abc import Iterator

from markupsafe import Markup, escape

_TAPE = re.compile(r"(?<![\w./])(~?\d[\d,]* )?(\d{1,2})/(2|4|8|16|32|64)(?![\w/])")
"""A tape fraction, its whole inches before it: a denominator of the tape, and neither a date nor a ratio around it."""


def set_fractions(text: object) -> Markup:
    """Return text, escaped, with every tape fraction marked for setting as one, never parted from its whole inches.

    What is copied from the page or read aloud is the text as given.

    Examples
    --------
    >>> str(set_fractions("45 3/4 <top>"))
    '<span class="fraction">45 <span>3</span>/<span>4</span></span> &lt;top&gt;'
    """
    return Markup("").join(
        Markup('<span class="fraction">{}<span>{}</span>/<span>{}</span></span>').format(*run)
        if isinstance(run, tuple)
        else escape(run)
        for run in _runs(str(text))
    )


def svg_fractions(text: object, size: int) -> Markup:
    """Return text for an SVG ``text`` element of font size ``size``, fractions raised and lowered.

    Examples
    --------
    >>> str(svg_fractions("3/4 in", 10))
    '<tspan dy="-3" class="small">3</tspan><tspan dy="3">/</tspan><tspan class="small">4</tspan> in'
    """
    rise = round(size * 0.32)
    return Markup("").join(
        Markup(
            '{1}<tspan dy="-{0}" class="small">{2}</tspan><tspan dy="{0}">/</tspan><tspan class="small">{3}</tspan>'
        ).format(rise, *run)
        if isinstance(run, tuple)
        else escape(run)
        for run in _runs(str(text))
    )


def _runs(text: str) -> Iterator[str | tuple[str, str, str]]:
    at = 0
    for found in _TAPE.finditer(text):
        whole, above, below = found.groups(default="")
        if int(above) >= int(below):
            continue
        yield text[at : found.start()]
        yield (whole, above, below)
        at = found.end()
    yield text[at:]
