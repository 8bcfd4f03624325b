"""`tenter printer`: a test sheet to print, and what a photograph of it tells of the printer."""

import json
from pathlib import Path
from typing import Annotated

import typer

from tenter.cli.shared.card_options import (
    CalledEven,
    CameraName,
    CardFile,
    CardValuesOption,
    ChartChoice,
    ChartOption,
    ValuesChoice,
    card_choice,
)
from tenter.cli.shared.inputs import end_unless, errors_said, say
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import PaperOption

_HELP = "Swatches nearer to their colours: print a test sheet, photograph it once with a card, and correct the printer."
app = typer.Typer(help=_HELP, no_args_is_help=True)


@app.callback(help=_HELP)
def printer() -> None:
    """A printer that is corrected once."""


@app.command()
def sheet(
    out: Annotated[Path, typer.Argument(help="The PDF to write.")],
    paper: Annotated[PaperOption, typer.Option(help="The size of the paper.")] = PaperOption.A4,
    replace: ReplaceOption = False,
) -> None:
    """Write the test sheet as a PDF. Exit code 0: written. 2: the place cannot be used."""
    from tenter.report.drawing.paper_size import PaperSize
    from tenter.report.printing.card_sheet import write_card_sheet
    from tenter.report.printing.printer_sheet import print_test_sheet

    with errors_said():
        require_place(out, replace)
        write_card_sheet(print_test_sheet(PaperSize(paper.value)), out)
    say(f"Wrote {out}. Print it as the swatches will be printed, then photograph it beside a colour card.")


@app.command()
def learn(
    photo: Annotated[Path, typer.Argument(help="A photograph of the printed test sheet with a card beside it.")],
    out: Annotated[Path, typer.Option("--out", help="The file for what is learned.")],
    chart: ChartChoice = ChartOption.CLASSIC24,
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    card: CardFile = None,
    profile: Annotated[
        Path | None,
        typer.Option("--profile", metavar="FILE.icc", help="The ICC profile that the test sheet was printed with."),
    ] = None,
    card_is_evenly_lit: CalledEven = False,
    camera: CameraName = None,
    replace: ReplaceOption = False,
) -> None:
    """Learn from one photograph what a printer does to colours, for 'tenter swatches --correction'.

    Exit code 0: learned. 2: the file or the options cannot be used. 3: the sheet cannot be read, and why.
    """
    from tenter.photo.files.loading import load_photo
    from tenter.photo.print_test.layout import sent_codes
    from tenter.photo.print_test.reading import read_test_sheet
    from tenter.report.printing.print_correction import correction_document, fitted
    from tenter.report.printing.printer_profile import profile_of_file
    from tenter.report.printing.proof_words import correction_words

    with errors_said():
        require_place(out, replace)
        choice = card_choice(chart, card_values, 18.0, None, card, card_is_evenly_lit, camera)
        read = read_test_sheet(load_photo(photo), choice)
        for reason in read.reasons:
            say(reason)
        end_unless(bool(read.patches))
        used = profile_of_file(profile) if profile is not None else None
        learned = fitted(sent_codes()[list(read.patches)], read.lab, used)
    out.write_text(json.dumps(correction_document(learned)) + "\n", encoding="utf-8")
    typer.echo(correction_words(learned))
    say(f"Wrote {out}")
