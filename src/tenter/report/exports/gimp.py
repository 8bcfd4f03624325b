"""A palette of GIMP (.gpl), which many drawing programs read: three code values and a name on each line."""

from tenter.report.exports.colours import ExportPalette
from tenter.report.plain_text import one_line

_COLUMNS = 8


def gimp_palette(palette: ExportPalette) -> str:
    """Return the palette; a colour that sRGB does not have says so behind its name."""
    lines = ["GIMP Palette", f"Name: {one_line(palette.title).strip()}", f"Columns: {_COLUMNS}"]
    lines.append(f"# sRGB, {palette.date}")
    for colour in palette.colours:
        red, green, blue = colour.rgb
        mark = "" if colour.in_srgb else " (outside sRGB)"
        lines.append(f"{red:3d} {green:3d} {blue:3d}\t{one_line(colour.name).strip()}{mark}")
    return "\n".join(lines) + "\n"
