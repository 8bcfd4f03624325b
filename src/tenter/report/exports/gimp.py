"""A palette of GIMP (.gpl), which many drawing programs read: three code values and a name on each line."""

from tenter.report.exports.colours import ColourGroup, ExportColour, ExportPalette
from tenter.report.words.plain_text import one_line

_COLUMNS = 8  # of the palette's window
_STAPLES = "# Staples: what every shop sells. They are not counted among the colours above."


def gimp_palette(palette: ExportPalette) -> str:
    """Return the palette. A colour that sRGB does not have says so behind its name, a staple what to do about it."""
    lines = ["GIMP Palette", f"Name: {one_line(palette.title).strip()}", f"Columns: {_COLUMNS}"]
    lines.append(f"# sRGB, {palette.date}")
    lines += map(_line, palette.own)
    if palette.staples:
        lines += [_STAPLES, *map(_line, palette.staples)]
    return "\n".join(lines) + "\n"


def _line(colour: ExportColour) -> str:
    red, green, blue = colour.rgb
    told = f" ({one_line(colour.part)})" if colour.group is ColourGroup.STAPLES else ""
    mark = "" if colour.in_srgb else " (outside sRGB)"
    return f"{red:3d} {green:3d} {blue:3d}\t{one_line(colour.name).strip()}{told}{mark}"
