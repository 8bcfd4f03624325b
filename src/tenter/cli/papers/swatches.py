"""`tenter swatches`: sheets of swatches to print and cut, and what a printer misses of them."""

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import FaceOption, KitOption, MethodOption, SeedOption, errors_said, say
from tenter.cli.shared.kept_palette import PaletteClientOption, PaletteSource, kept_palette
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.paper_options import LanguageOption, NameOption, PaperOption, papers_in
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.language import SOURCE

if TYPE_CHECKING:
    from tenter.consultation.colours.colours import PersonalPalette
    from tenter.report.printing.swatches import PrintSwatch


class FormOption(StrEnum):
    """The values of --form: what is cut; the last two are single swatches on a sheet of that size."""

    WALLET = "wallet"
    RING = "ring"
    A4 = "a4"
    LETTER = "letter"


ProfileOption = Annotated[
    Path | None, typer.Option("--profile", metavar="FILE.icc", help="Your printer's ICC profile: says what it misses.")
]
CorrectionOption = Annotated[
    Path | None,
    typer.Option("--correction", metavar="FILE", help="What 'tenter printer learn' found of your printer."),
]


def swatches(
    out: Annotated[Path, typer.Option("--out", help="The PDF to write.")],
    source: PaletteSource = None,
    client: PaletteClientOption = None,
    form: Annotated[FormOption, typer.Option("--form", help="What is cut from the sheets.")] = FormOption.WALLET,
    paper: Annotated[PaperOption, typer.Option("--paper", help="Of wallet and ring.")] = PaperOption.A4,
    profile: ProfileOption = None,
    correction: CorrectionOption = None,
    name: NameOption = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    replace: ReplaceOption = False,
    language: LanguageOption = SOURCE,
) -> None:
    """Write the sheets that a palette's swatches are cut from, front and back, at exact size.

    A correction that was learned with a profile is valid only with that profile: give both.

    Exit code 0: written. 2: a file or an option cannot be used. 3: the sitting has no verdict yet.
    """
    from tenter.report.drawing.paper_size import PaperSize
    from tenter.report.printing.forms import SwatchForm
    from tenter.report.printing.swatch_sheet import swatch_pdf, swatch_sheets

    with errors_said(), papers_in(language):
        require_place(out, replace)
        kept = kept_palette(source, client, kit, method, face, seed)
        drawn, said = _drawn(kept.palette, profile, correction)
        single = form in (FormOption.A4, FormOption.LETTER)
        sheets = swatch_sheets(
            drawn,
            name or kept.client,
            SwatchForm.GRID if single else SwatchForm(form.value),
            PaperSize(form.value if single else paper.value),
        )
        data = swatch_pdf(sheets)
    out.write_bytes(data)
    for line in said:
        typer.echo(line)
    say(f"Wrote {out}")


def _drawn(
    palette: "PersonalPalette", profile: Path | None, correction: Path | None
) -> "tuple[tuple[PrintSwatch, ...], tuple[str, ...]]":
    """Return the swatches, and what is to be said of the printer."""
    from tenter.report.printing.print_correction import read_correction
    from tenter.report.printing.printer_profile import profile_of_file
    from tenter.report.printing.proof_words import corrected_lines, correction_words, paper_words, proof_lines
    from tenter.report.printing.swatches import (
        corrected_misses,
        corrected_swatches,
        palette_proofs,
        palette_rows,
        print_swatches,
    )

    printer = profile_of_file(profile) if profile is not None else None
    if correction is not None:
        learned = read_correction(correction, printer)
        drawn = corrected_swatches(palette, learned)
        lines = corrected_lines(palette_rows(palette), corrected_misses(palette, drawn, learned))
        return drawn, (correction_words(learned), *lines)
    if printer is None:
        return print_swatches(palette), ()
    proofs = palette_proofs(palette, printer)
    return print_swatches(palette, proofs), (*proof_lines(palette_rows(palette), proofs), paper_words(printer))
