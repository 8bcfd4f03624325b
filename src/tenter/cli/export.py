"""`tenter export`: a palette in an open format of other programs."""

import datetime
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.inputs import (
    DEFAULT_METHOD,
    FaceOption,
    KitOption,
    MethodOption,
    PaletteClient,
    PaletteSource,
    SeedOption,
    errors_said,
    palette_given,
    say,
)


class FormatOption(StrEnum):
    """The values of --format; `tenter.report.exports.formats.Format` repeated so that --help loads no heavy library."""

    CSS = "css"
    SVG = "svg"
    GPL = "gpl"
    CGATS = "cgats"
    CXF = "cxf"
    CSV = "csv"


def export(
    out: Annotated[Path, typer.Option("--out", help="The file to write.")],
    kind: Annotated[FormatOption, typer.Option("--format", help="The format to write.")],
    source: PaletteSource = None,
    client: PaletteClient = None,
    name: Annotated[
        str | None, typer.Option("--name", help="The name inside the file; the client's if left out.")
    ] = None,
    date: Annotated[
        str | None, typer.Option("--date", help="The date inside it, YYYY-MM-DD; today if left out.")
    ] = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
) -> None:
    """Write a palette for other programs: CSS, SVG, GIMP palette, CGATS.17, CxF3 or CSV.

    Exit code 0: written. 2: a file or an option cannot be used. 3: the sitting has no verdict yet.
    """
    from tenter.report.exports.formats import Format, exported

    with errors_said():
        whose, palette = palette_given(source, client, kit, method, face, seed)
        data = exported(palette, Format(kind.value), name or whose, date or datetime.date.today().isoformat())
    out.write_bytes(data)
    say(f"Wrote {out}")
