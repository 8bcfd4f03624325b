"""`tenter kit labels`: labels to stick on the cloths, with a short number and a QR code."""

from pathlib import Path
from typing import Annotated

import typer

from tenter import durable
from tenter.cli.shared.inputs import KitOption, errors_said, load_kit, say
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import DateOption, LanguageOption, PaperOption, day_or_today, papers_in
from tenter.errors import TenterError
from tenter.language import SOURCE


def labels(
    out: Annotated[Path, typer.Option("--out", help="The PDF to write.")],
    kit: KitOption = None,
    cloth: Annotated[list[str] | None, typer.Option("--cloth", help="Only this cloth; may be given again.")] = None,
    width: Annotated[float, typer.Option("--width", help="Of a label, in mm.")] = 60.0,
    height: Annotated[float, typer.Option("--height", help="Of a label, in mm.")] = 20.0,
    address: Annotated[
        str, typer.Option("--address", help="What the code says before the number, such as your kit's address.")
    ] = "",
    paper: Annotated[PaperOption, typer.Option("--paper", help="The sheet to print on.")] = PaperOption.A4,
    date: DateOption = None,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Write labels for the cloths: number, name, place and a QR code, with marks to cut by, in true millimetres.

    Exit code 0: written. 2: the kit, a cloth or a size cannot be used.
    """
    with errors_said(), papers_in(language):
        from tenter.report.drawing.paper_size import PaperSize
        from tenter.report.workshop.labels import label_pdf, label_sheets

        require_place(out, replace)
        cloths, sheet = load_kit(kit), PaperSize(paper.value)
        drapes = [cloths[name] for name in cloth] if cloth else cloths.drapes
        document, notes = label_pdf(label_sheets(drapes, (width, height), sheet, address), day_or_today(date), sheet)
        try:
            durable.write(out, document)
        except OSError as problem:
            raise TenterError(
                f"{out} cannot be written ({problem.strerror}); choose another place with --out"
            ) from None
    for line in (*notes, f"Wrote {out}"):
        say(line)
