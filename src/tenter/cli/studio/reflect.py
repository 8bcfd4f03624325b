"""`tenter reflect`: what the light of a drape, a cape or a wall does to a face, and how much of it a room throws."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.card_options import (
    CalledEven,
    CardFile,
    CardValuesOption,
    ChartChoice,
    ChartOption,
    ValuesChoice,
    card_choice,
)
from tenter.cli.shared.inputs import FaceOption, JsonOption, KitOption, errors_said, load_kit, print_json
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.errors import TenterError
from tenter.numerals import listed, number, signed

if TYPE_CHECKING:
    from rich.console import Console

    from tenter import Kit
    from tenter.colorimetry.measurement import Conditions
    from tenter.consultation.readings.book import ReadingBook
    from tenter.consultation.reflected.effect import ReflectedEffect, ThrowingSurface
    from tenter.consultation.reflected.measured_factor import RoomPhotographs
    from tenter.consultation.reflected.on_face import FacePrediction
    from tenter.consultation.reflected.room import MeasuredRoom

app = typer.Typer(invoke_without_command=True, no_args_is_help=True)
ReadingsOption = Annotated[
    Path | None, typer.Option("--readings", help="The book of 'tenter kit readings': spectra of the cloths.")
]
_SURFACE = "A cloth's id, a reading L,a,b, or a spectrum as CSV"
_SERIES_FILE, _PICTURE_FILE, _DRAWING_FILE = ".json", ".png", ".svg"
_SHOWN = 2  # drapes on a picture


@app.callback()
def reflect(
    context: typer.Context,
    drape: Annotated[str, typer.Option(help=f"The drape. {_SURFACE}.")] = "",
    cape: Annotated[str, typer.Option(help="A cape in the drape's place, said in the same way.")] = "",
    wall: Annotated[str, typer.Option(help="A wall, said in the same way.")] = "",
    wall_at: Annotated[
        str, typer.Option("--wall-at", help="Where the wall is to the client: front, left, right or behind.")
    ] = "front",
    wall_metres: Annotated[float, typer.Option("--wall-metres", help="How far the wall is from the face.")] = 1.0,
    against: Annotated[str, typer.Option(help="What to compare with, in the same place; a black when left out.")] = "",
    face: FaceOption = None,
    room: Annotated[Path | None, typer.Option(help="The JSON of 'tenter reflect room'.")] = None,
    kit: KitOption = None,
    readings: ReadingsOption = None,
    illuminant: Annotated[str, typer.Option(help="The light of a reading.")] = "D65",
    observer: Annotated[str, typer.Option(help="The observer of a reading: 2 or 10.")] = "10",
    drawing: Annotated[Path | None, typer.Option("--map", help="Draw where the first of them shows: an SVG.")] = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Say what the light of a drape, a cape or a wall does to a face, place by place, and where it can be seen.

    Exit code 0: said. 2: the input cannot be used. 3: refused, and why.
    """
    if context.invoked_subcommand is not None:
        return
    with errors_said():
        if drawing is not None:
            if drawing.suffix.lower() != _DRAWING_FILE:
                raise TenterError(f"the map is an SVG, and {drawing} is named otherwise; name it {drawing.stem}.svg")
            require_place(drawing, replace)
        given = {"drape": drape, "cape": cape, "wall": wall}
        known = _known(kit, readings, illuminant, observer)
        found = _predictions(given, against, face, room, known, (wall_at, wall_metres))
    if drawing is not None:
        from tenter.report.pictures.reflected_map import reflected_map

        drawing.write_text(reflected_map(found[0]), encoding="utf-8")
    if as_json:
        first, *others = found
        print_json(first.to_json() | {str(other.place.kind): other.to_json() for other in others})
    else:
        from rich.console import Console

        for prediction in found:
            show_prediction(prediction, Console(highlight=False))


@app.command("room")
def room_factors(
    photos: Annotated[
        list[Path],
        typer.Argument(help="The photographs in the order they were taken, or one JSON of 'tenter face series'."),
    ],
    cloth_a: Annotated[
        str, typer.Option("--a", help=f"The cloth of the first photograph, white or black. {_SURFACE}.")
    ],
    cloth_b: Annotated[str, typer.Option("--b", help="The other cloth, said in the same way.")],
    pattern: Annotated[str, typer.Option(help="The cloth of each photograph, as in ABAB.")] = "ABAB",
    kit: KitOption = None,
    readings: ReadingsOption = None,
    illuminant: Annotated[str, typer.Option(help="The light of a reading.")] = "D65",
    observer: Annotated[str, typer.Option(help="The observer of a reading: 2 or 10.")] = "10",
    as_json: JsonOption = False,
) -> None:
    """Measure how much of a cloth's light reaches each place of a face in your room.

    Photograph one client in your own light with a white and a black drape in turn: white, black, white, black. Lock
    exposure, white balance and focus, rest the camera on something, and leave the card where it is.

    Exit code 0: measured. 2: files or options cannot be used. 3: refused, and why.
    """
    with errors_said():
        from tenter.consultation.reflected.room import measure_room

        known = _known(kit, readings, illuminant, observer)
        a, b = (_surface(text, known) for text in (cloth_a, cloth_b))
        found = measure_room(_photographs(photos, pattern), a, b)
    if as_json:
        print_json(found.to_json())
    else:
        _show_room(found)


@app.command("picture")
def reflected_picture(
    photo: Annotated[Path, typer.Argument(help="A photograph of the client beside a colour card.")],
    drapes: Annotated[list[str], typer.Option("--drape", help=f"A drape; give two. {_SURFACE}.")],
    out: Annotated[Path, typer.Option(help="Where the picture goes: a .png file.")],
    chart: ChartChoice = ChartOption.CLASSIC24,
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    card: CardFile = None,
    card_is_evenly_lit: CalledEven = False,
    room: Annotated[Path | None, typer.Option(help="The JSON of 'tenter reflect room'.")] = None,
    kit: KitOption = None,
    readings: ReadingsOption = None,
    illuminant: Annotated[str, typer.Option(help="The light of a reading.")] = "D65",
    observer: Annotated[str, typer.Option(help="The observer of a reading: 2 or 10.")] = "10",
    replace: ReplaceOption = False,
) -> None:
    """Show the client's own photograph beside two drapes, with the light that each is predicted to throw.

    The cloth below the chin is painted in the drape's colour. The picture says that it is a model.

    Exit code 0: written. 2: files or options cannot be used. 3: the photograph is refused, and why.
    """
    with errors_said():
        from tenter import Face
        from tenter.consultation.reflected.on_face import predict_on_face
        from tenter.consultation.reflected.room import read_room_factors
        from tenter.photo.files.loading import load_photo
        from tenter.photo.together.portrait import portrait_parts
        from tenter.report.pictures.reflected_photo import reflected_photo

        if len(drapes) != _SHOWN:
            raise TenterError(f"the picture shows two drapes side by side, and {len(drapes)} came; give --drape twice")
        if out.suffix.lower() != _PICTURE_FILE:
            raise TenterError(f"the picture is a PNG, and {out} is named otherwise; name it {out.stem}.png")
        require_place(out, replace)
        known = _known(kit, readings, illuminant, observer)
        surfaces = [_surface(text, known) for text in drapes]
        factors = None if room is None else read_room_factors(room)
        choice = card_choice(chart, card_values, 18.0, None, card, card_is_evenly_lit)
        parts = portrait_parts(load_photo(photo), choice)
        face = Face.from_json(parts.measured.to_json(), str(photo))
        found = [predict_on_face(face, surface, room=factors) for surface in surfaces]
        out.write_bytes(reflected_photo(parts, face, found))
    typer.echo(f"Written: {out}. A model, not a photograph.")


@dataclass(frozen=True, slots=True)
class _Known:
    """By what a surface is known: the kit, its readings, and what a reading on the command line was taken under."""

    kit: "Kit"
    book: "ReadingBook"
    conditions: "Conditions"


def _known(kit: Path | None, readings: Path | None, illuminant: str, observer: str) -> _Known:
    from tenter.colorimetry.illuminants import observer_from
    from tenter.colorimetry.measurement import Conditions
    from tenter.consultation.readings.book import ReadingBook, read_book

    book = ReadingBook() if readings is None else read_book(readings)
    return _Known(load_kit(kit), book, Conditions(illuminant, observer_from(observer)))


def _predictions(
    given: dict[str, str],
    against: str,
    face: Path | None,
    room: Path | None,
    known: _Known,
    wall: tuple[str, float],
) -> "list[FacePrediction]":
    from tenter import Face
    from tenter.consultation.reflected.on_face import SurfaceKind, SurfacePlace, predict_on_face
    from tenter.consultation.reflected.room import read_room_factors
    from tenter.consultation.reflected.wall import wall_place

    if not any(given.values()):
        raise TenterError("nothing throws light yet; give --drape, --cape or --wall")
    if face is None:
        raise TenterError("whose face? Give --face with the JSON of 'tenter face measure'")
    measured = Face.read(face)
    factors = None if room is None else read_room_factors(room)
    other = _surface(against, known) if against else None
    return [
        predict_on_face(
            measured,
            _surface(text, known),
            SurfacePlace(SurfaceKind(kind), wall_place(wall[0]), wall[1]),
            other,
            factors,
        )
        for kind, text in given.items()
        if text
    ]


def _surface(text: str, known: _Known) -> "ThrowingSurface":
    """Return the surface of a reading, a spectrum or a cloth of the kit."""
    from tenter.consultation.garments.given import is_reading, parse_reading, read_spectrum
    from tenter.consultation.reflected.effect import ThrowingSurface
    from tenter.consultation.reflected.on_face import drape_surface

    if is_reading(text):
        return ThrowingSurface.of_lab(text, parse_reading(text, known.conditions).colours[0].lab, known.conditions)
    if text.lower().endswith(".csv"):
        path = Path(text)
        reflectance = read_spectrum(path).colours[0].reflectance
        if reflectance is None:
            raise TenterError(f"{path} holds no spectrum")
        return ThrowingSurface(path.stem, reflectance, recovered=False)
    return drape_surface(known.kit, text, known.book)


def _photographs(photos: Sequence[Path], pattern: str) -> "RoomPhotographs":
    """Return what the photographs show, or what a file of `tenter face series --json` says of them."""
    from tenter.consultation.reflected.room import read_room_photographs, room_photographs

    if len(photos) == 1 and photos[0].suffix.lower() == _SERIES_FILE:
        return read_room_photographs(photos[0])
    from tenter.photo.series.measure import measure_series

    return room_photographs(measure_series(photos, pattern.upper()).to_json(), "the photographs")


def show_prediction(found: "FacePrediction", console: "Console") -> None:
    """Print what a surface does to a face, place by place, and what that rests on."""
    from rich.table import Table

    from tenter.consultation.reflected.effect import CONTRAST, EffectSize
    from tenter.report.pictures.face_colours import region_name

    other = "nothing (a black in its place)" if found.against is None else found.against.name
    console.print(f"Light thrown by the {found.place.kind} {found.surface.name}, compared with {other}:", markup=False)
    table = Table(box=None, header_style="bold", pad_edge=False)
    table.add_column("place", no_wrap=True)
    for column in ("ΔE00", "range", "ΔL*", "Δa*", "Δb*"):
        table.add_column(column, justify="right", no_wrap=True)
    table.add_column("can it be seen?", no_wrap=True)
    for effect in found.effects.values():
        table.add_row(*_row(effect, found.size_said(effect)))
    console.print(table)
    small = [region_name(region) for region in found.of_size(EffectSize.TOO_SMALL)]
    if small:
        where = listed(small) if len(small) < len(found.effects) else "at every place"
        console.print(f"\nToo small to see: {where}.")
    for note in (*found.notes, str(CONTRAST)):
        console.print(f"• {note}", markup=False)


def _row(effect: "ReflectedEffect", said: str) -> list[str]:
    from tenter.report.pictures.face_colours import region_name

    low, high = effect.delta_e_2000_range
    changes = [signed(value) for value in effect.delta_lab]
    return [
        region_name(effect.region),
        number(effect.delta_e_2000, 2),
        f"{number(low, 2)} to {number(high, 2)}",
        *changes,
        said,
    ]


def _show_room(found: "MeasuredRoom") -> None:
    from rich.console import Console
    from rich.table import Table

    from tenter.report.pictures.face_colours import region_name

    console = Console(highlight=False)
    table = Table(box=None, header_style="bold", pad_edge=False)
    table.add_column("place", no_wrap=True)
    for column in ("measured", "90 % interval", "used"):
        table.add_column(column, justify="right", no_wrap=True)
    table.add_column("")
    for region, factor in found.factors.items():
        measured = found.measured.get(region)
        said = ["–", "–"]
        if measured is not None:
            said = [number(measured.estimate, 3), f"{number(measured.low, 3)} to {number(measured.high, 3)}"]
        kept = measured is None or measured.kept_default
        table.add_row(region_name(region), *said, number(factor.value, 3), "default" if kept else "of your room")
    console.print("Share of a white cloth's light that reaches each place of the face:")
    console.print(table)
    console.print(
        "Where the interval holds the default, the default stays. Save this with --json, and give it as --room."
    )
