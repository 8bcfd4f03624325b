"""CGATS.17 text: a table of CIELAB and sRGB under keywords that state illuminant and observer.

Source: ANSI CGATS.17 / ISO 28178, Exchange format for colour and process control data: keywords and layout from memory;
argyll 2.3.1 reads the result (tests/report/exports).
"""

from tenter.report.exports.colours import ExportColour, ExportPalette
from tenter.report.words.plain_text import one_line

_FIELDS = (
    "SAMPLE_ID",
    "SAMPLE_NAME",
    "SAMPLE_GROUP",
    "SAMPLE_PART",
    "RGB_R",
    "RGB_G",
    "RGB_B",
    "LAB_L",
    "LAB_A",
    "LAB_B",
)


def cgats(palette: ExportPalette) -> str:
    """Return the table: RGB_ are sRGB code values from 0 to 255, LAB_ are under the illuminant and observer stated.

    SAMPLE_GROUP tells the palette's own colours from its metals, what it borrows, and the staples.
    """
    conditions = palette.conditions
    head = [
        "CGATS.17",
        "",
        'ORIGINATOR "Tenter"',
        f"DESCRIPTOR {quoted(palette.title)}",
        f"CREATED {quoted(palette.date)}",
        f'WEIGHTING_FUNCTION "ILLUMINANT, {conditions.illuminant}"',
        f'WEIGHTING_FUNCTION "OBSERVER, {conditions.observer} degree"',
        'KEYWORD "SAMPLE_GROUP"',
        'KEYWORD "SAMPLE_PART"',
        "",
        f"NUMBER_OF_FIELDS {len(_FIELDS)}",
        "BEGIN_DATA_FORMAT",
        " ".join(_FIELDS),
        "END_DATA_FORMAT",
        "",
        f"NUMBER_OF_SETS {len(palette.colours)}",
        "BEGIN_DATA",
    ]
    rows = [_row(k, colour) for k, colour in enumerate(palette.colours, 1)]
    return "\n".join([*head, *rows, "END_DATA"]) + "\n"


def _row(number: int, colour: ExportColour) -> str:
    codes = " ".join(str(code) for code in colour.rgb)
    lab = " ".join(f"{value + 0.0:.6f}" for value in colour.lab)
    return f"{number} {quoted(colour.name)} {quoted(colour.group)} {quoted(colour.part)} {codes} {lab}"


def quoted(text: str) -> str:
    """Return a text as CGATS has it: on one line, in double quotes, and a quote inside it twice."""
    inner = one_line(text).replace('"', '""')
    return f'"{inner}"'
