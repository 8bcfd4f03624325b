"""`tenter garment`: whether and where a client wears a garment, by its palette file alone."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.card_options import (
    CalledEven,
    CardFile,
    CardPlace,
    CardValuesOption,
    ChartChoice,
    ChartOption,
    GreyChoice,
    ValuesChoice,
    card_choice,
    how_to_overrule,
)
from tenter.cli.shared.inputs import JsonOption, end_unless, errors_said, print_json, say
from tenter.cli.shared.paper_options import LanguageOption, papers_in
from tenter.errors import TenterError
from tenter.language import SOURCE

if TYPE_CHECKING:
    from tenter.consultation.colours.colours import PersonalPalette
    from tenter.consultation.garments.garment import Garment
    from tenter.photo.cards import CardChoice
    from tenter.photo.cloth.measure import ClothMeasurement

app = typer.Typer(help="Whether a garment can be worn, and where.", no_args_is_help=True)

PaletteOption = Annotated[Path, typer.Option("--palette", help="A palette file from 'tenter palette --out'.")]


@app.command()
def check(
    garment: Annotated[
        str, typer.Argument(help='A photograph, a reading "L,a,b", the name of a colour, or a spectrum as CSV.')
    ],
    palette: PaletteOption,
    illuminant: Annotated[str, typer.Option(help="The light of a reading.")] = "D65",
    observer: Annotated[str, typer.Option(help="The observer of a reading: 2 or 10.")] = "10",
    as_print: Annotated[bool, typer.Option("--print", help="Read a print as a few colours.")] = False,
    near_face: Annotated[
        str, typer.Option("--near-face", help="For a print: which of its colours are near the face, such as 1,3.")
    ] = "",
    lamp: Annotated[str, typer.Option(help="The shop's lamp: bulb, tube, led or a CIE illuminant.")] = "",
    chart: ChartChoice = ChartOption.CLASSIC24,
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    grey: GreyChoice = 18.0,
    card_at: CardPlace = None,
    card: CardFile = None,
    card_is_evenly_lit: CalledEven = False,
    at: Annotated[str, typer.Option(help="Where it is in the photograph: X,Y,WIDTH,HEIGHT in pixels.")] = "",
    outline: Annotated[str, typer.Option(help='Around it in the photograph: "x,y x,y x,y …" in pixels.')] = "",
    language: LanguageOption = SOURCE,
    as_json: JsonOption = False,
) -> None:
    """Say whether a garment can be worn near the face, away from it, in small areas, or is better left.

    Exit code 0: answered, also with "cannot tell". 2: the input cannot be used. 3: the photograph was refused.
    """
    with errors_said(), papers_in(language):
        from tenter.consultation.garments.check import check_garment, not_read
        from tenter.consultation.garments.shop_lamp import under_lamp
        from tenter.consultation.personal.document import read_palette
        from tenter.report.on_screen.garment_document import garment_document
        from tenter.report.on_screen.garment_words import garment_words

        kept = read_palette(palette)
        near = _numbers(near_face)
        found, measured = _garment(garment, kept.palette, illuminant, observer), None
        if found is None:
            choice = card_choice(chart, card_values, grey, card_at, card, card_is_evenly_lit)
            measured = _measured(Path(garment), choice, at, outline, as_print)
            found = _of_photo(measured)
        if found is None:
            said = not_read(measured.texts if measured else ())
        else:
            said = check_garment(kept.palette, kept.known, found, near, measured.texts if measured else ())
        shown = under_lamp(kept.palette, kept.known, found, lamp) if lamp and found else None
        words, document = garment_words(said, shown), garment_document(said, shown)
    if as_json:
        print_json(document)
    else:
        _print(words.headline, words.lines)
    if found is None and measured is not None:
        for line in how_to_overrule(reason.code for reason in measured.card_reasons):
            say(line)
    end_unless(found is not None)


def _garment(text: str, palette: "PersonalPalette", illuminant: str, observer: str) -> "Garment | None":
    """Return the garment of a reading, a spectrum or a name; None for a photograph."""
    from tenter.colorimetry.illuminants import observer_from
    from tenter.colorimetry.measurement import Conditions
    from tenter.consultation.garments.given import is_reading, named_garment, parse_reading, read_spectrum

    path = Path(text)
    if not text.strip():
        return named_garment(text, palette)  # which says what would do
    if is_reading(text) and not path.exists():
        return parse_reading(text, Conditions(illuminant, observer_from(observer)))
    if path.suffix.lower() == ".csv":
        return read_spectrum(path)
    if path.suffix or path.exists():
        return None
    return named_garment(text, palette)


def _measured(path: Path, choice: "CardChoice", at: str, outline: str, as_print: bool) -> "ClothMeasurement":
    from tenter.cli.photo.cloth import where_option
    from tenter.photo.cloth.measure import measure_cloth
    from tenter.photo.files.loading import load_photo

    return measure_cloth(load_photo(path), choice, where_option(at, outline), as_print, strong=True)


def _of_photo(measured: "ClothMeasurement") -> "Garment | None":
    """Return the garment that a photograph shows, or None where it was refused."""
    from tenter.consultation.garments.garment import from_photo

    cloth = measured.cloth
    if cloth is not None:
        return from_photo(cloth.lab, cloth.half_width_90, for_kit=cloth.for_kit, unlike=cloth.unlike)
    if measured.palette:
        lab, half = ([getattr(c, name) for c in measured.palette] for name in ("lab", "half_width_90"))
        return from_photo(lab, half, [c.area for c in measured.palette])
    return None


def _numbers(text: str) -> list[int]:
    """Return the numbers of "1,3"."""
    parts = [part.strip() for part in text.split(",") if part.strip()]
    if not all(part.isdecimal() for part in parts):
        raise TenterError(f"--near-face takes numbers of colours, as in 1,3; got {text!r}")
    return [int(part) for part in parts]


def _print(headline: str, lines: tuple[str, ...]) -> None:
    from rich.console import Console

    console = Console(highlight=False)
    console.print(f"[bold]{headline}[/bold]")
    for line in lines:
        console.print(line, markup=False)
