"""The open formats that a palette is written in, and the file of each."""

from collections.abc import Callable
from enum import StrEnum

from tenter.consultation.colours.colours import PersonalPalette
from tenter.language import ENGLISH, written_in
from tenter.report.exports.cgats import cgats
from tenter.report.exports.colours import ExportPalette, export_palette
from tenter.report.exports.css import css
from tenter.report.exports.cxf import cxf
from tenter.report.exports.gimp import gimp_palette
from tenter.report.exports.svg import svg
from tenter.report.exports.table import colour_table


class Format(StrEnum):
    """An open format; its value is what files of it end in, but for CGATS, whose files end in txt."""

    CSS = "css"
    SVG = "svg"
    GPL = "gpl"
    CGATS = "cgats"
    CXF = "cxf"
    CSV = "csv"

    @property
    def ending(self) -> str:
        """How a file of this format ends."""
        return "txt" if self is Format.CGATS else self.value

    @property
    def media_type(self) -> str:
        """What a web server calls a file of this format."""
        return _MEDIA_TYPES[self]


_MEDIA_TYPES = {
    Format.CSS: "text/css; charset=utf-8",
    Format.SVG: "image/svg+xml",
    Format.GPL: "text/plain; charset=utf-8",
    Format.CGATS: "text/plain; charset=utf-8",
    Format.CXF: "application/xml",
    Format.CSV: "text/csv; charset=utf-8",
}
_WRITERS: dict[Format, Callable[[ExportPalette], str]] = {
    Format.CSS: css,
    Format.SVG: svg,
    Format.GPL: gimp_palette,
    Format.CGATS: cgats,
    Format.CXF: cxf,
    Format.CSV: colour_table,
}


def exported(palette: PersonalPalette, kind: Format, title: str, date: str) -> bytes:
    """Return the file of a palette in a format. The same palette gives the same bytes, whatever language is written.

    Parameters
    ----------
    title
        What the palette is called inside the file, as in the client's name.
    date
        Of the palette, YYYY-MM-DD.

    Raises
    ------
    TenterError
        If the palette has no colours, or the format has no name for its illuminant.
    """
    with written_in(ENGLISH):  # what programs read
        return _WRITERS[kind](export_palette(palette, title, date)).encode("utf-8", "replace")
