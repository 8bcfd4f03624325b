"""`tenter export`: a palette in an open format of other programs."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.shared.inputs import FaceOption, KitOption, MethodOption, SeedOption, errors_said, say
from tenter.cli.shared.kept_palette import PaletteClientOption, PaletteSource, kept_palette
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import DateOption, NameOption, day_or_today
from tenter.consultation.conventions.bundled import DEFAULT_METHOD


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
    client: PaletteClientOption = None,
    name: NameOption = None,
    date: DateOption = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    replace: ReplaceOption = False,
) -> None:
    """Write a palette for other programs: CSS, SVG, GIMP palette, CGATS.17, CxF3 or CSV.

    Exit code 0: written. 2: a file or an option cannot be used. 3: the sitting has no verdict yet.
    """
    from tenter.report.exports.formats import Format, exported

    with errors_said():
        require_place(out, replace)
        kept = kept_palette(source, client, kit, method, face, seed)
        data = exported(kept.palette, Format(kind.value), name or kept.client, day_or_today(date))
    out.write_bytes(data)
    say(f"Wrote {out}")
