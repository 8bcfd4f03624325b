"""A table (CSV, RFC 4180, UTF-8) of everything that a palette says of its colours."""

import csv
import io

from tenter.report.exports.colours import ExportColour, ExportPalette

_COLUMNS = (
    *("name", "title", "group", "part", "basis", "L", "a", "b", "illuminant", "observer", "srgb", "inside_srgb"),
    *("suitability", "suitability_low", "suitability_high", "cloth", "answer"),
)


def colour_table(palette: ExportPalette) -> str:
    """Return the table, a colour a row; Lab values are under the illuminant and observer of the row."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(_COLUMNS)
    writer.writerows(_row(colour, palette) for colour in palette.colours)
    return text.getvalue()


def _row(shown: ExportColour, palette: ExportPalette) -> tuple[str, ...]:
    conditions, colour = palette.conditions, shown.of
    suitability = (colour.suitability, *colour.interval) if colour else ()
    return (
        *(shown.name, shown.title, shown.group, shown.part, shown.basis),
        *(f"{value + 0.0:.6f}" for value in shown.lab),
        *(conditions.illuminant, str(conditions.observer), shown.hex, "yes" if shown.in_srgb else "no"),
        *([f"{value:.4f}" for value in suitability] or [""] * 3),
        *((colour.cloth or "", colour.answer) if colour else ("", "")),
    )
