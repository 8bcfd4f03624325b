"""CSS custom properties: a colour, its name and its part for each, on `:root`.

Source: CSS Syntax Module Level 3, section 4.3.11 (names) and 4.3.5 (strings): what escapes are written.
"""

import unicodedata
from collections.abc import Iterable
from typing import Final

from tenter.report.exports.colours import ColourGroup, ExportColour, ExportPalette
from tenter.report.words.plain_text import one_line

_FIRST_NAME_SIGN: Final = 0xC0  # beneath it stand signs like ª and µ, which newer browsers refuse
_HEAD = """\
/* A palette as CSS custom properties. Use one as  color: var(--palette-NAME);
   Values are sRGB for a screen. A colour with -outside-srgb is stronger than a screen can show.
   --palette-staple-NAME is a colour that every shop sells, and what you do about it. */
"""


def css(palette: ExportPalette) -> str:
    """Return a style sheet.

    Of each colour: its value as sRGB '#rrggbb', its name, group and part as strings, and whether sRGB has it.
    """
    lines = [f"  --palette-title: {string(palette.title)};", f"  --palette-date: {string(palette.date)};"]
    for key, colour in zip(identifiers(map(_called, palette.colours)), palette.colours, strict=True):
        lines.append(f"  --palette-{key}: {colour.hex};")
        lines.append(f"  --palette-{key}--name: {string(colour.name)};")
        lines.append(f"  --palette-{key}--group: {string(colour.group)};")
        lines.append(f"  --palette-{key}--part: {string(colour.part)};")
        if not colour.in_srgb:
            lines.append(f"  --palette-{key}--outside-srgb: 1;")
    return _HEAD + ":root {\n" + "\n".join(lines) + "\n}\n"


def _called(colour: ExportColour) -> str:
    return f"staple {colour.name}" if colour.group is ColourGroup.STAPLES else colour.name


def identifiers(names: Iterable[str]) -> list[str]:
    """Return a name for each that CSS takes as it is: letters and digits of any script, and single hyphens."""
    found: list[str] = []
    taken = {"title", "date"}
    for name in names:
        key = _identifier(name)
        number = 2
        unique = key
        while unique in taken:
            unique, number = f"{key}-{number}", number + 1
        taken.add(unique)
        found.append(unique)
    return found


def _identifier(name: str) -> str:
    words = "".join(sign if _in_a_word(sign) else " " for sign in name.casefold()).split()
    return "-".join(words) or "colour"


def _in_a_word(sign: str) -> bool:
    """Tell letters, the marks on letters, and digits of any script: what CSS lets stand in a name unescaped."""
    if sign.isascii():
        return sign.isalnum()
    kind = unicodedata.category(sign)
    return ord(sign) >= _FIRST_NAME_SIGN and (kind[0] in "LM" or kind == "Nd")


def string(text: str) -> str:
    """Return a text as a CSS string: quotes and backslashes escaped, on one line."""
    inner = one_line(text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{inner}"'
