"""`tenter cloth`: the colour of a cloth, a print or a whole rack of cloths in a photograph."""

from collections.abc import Iterable
from enum import StrEnum
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
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.errors import TenterError
from tenter.numerals import how_many, number, whole_percent

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from tenter.arrays import FloatArray
    from tenter.photo.cloth.measure import ClothFinding, ClothMeasurement
    from tenter.photo.cloth.rack import RackMeasurement

app = typer.Typer(help="Colours of cloths from a photograph with a card in it.", no_args_is_help=True)


class OrderOption(StrEnum):
    """The values of --order; `tenter.photo.cloth.rack.Order` repeated so that --help loads no image library."""

    ROWS = "rows"
    COLUMNS = "columns"
    SNAKE = "snake"


PhotoArgument = Annotated[Path, typer.Argument(help="A photograph as it came from the camera.")]


@app.command()
def measure(
    photo: PhotoArgument,
    chart: ChartChoice = ChartOption.CLASSIC24,
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    grey: GreyChoice = 18.0,
    card_at: CardPlace = None,
    card: CardFile = None,
    card_is_evenly_lit: CalledEven = False,
    at: Annotated[str, typer.Option(help="Where the cloth is: X,Y,WIDTH,HEIGHT in pixels.")] = "",
    outline: Annotated[str, typer.Option(help='Around the cloth: "x,y x,y x,y …" in pixels.')] = "",
    as_print: Annotated[bool, typer.Option("--print", help="Read a print as a few colours and their areas.")] = False,
    as_json: JsonOption = False,
) -> None:
    """Read the colour of a cloth with its 90 % interval: of its evenly lit part, without folds and shine.

    Exit code 0: measured. 2: the file or the options cannot be used. 3: refused, and why.
    """
    with errors_said():
        from tenter.photo.cloth.measure import measure_cloth  # --help stays fast
        from tenter.photo.files.loading import load_photo

        where, choice = (
            where_option(at, outline),
            card_choice(chart, card_values, grey, card_at, card, card_is_evenly_lit),
        )
        measured = measure_cloth(load_photo(photo), choice, where, as_print)
    if as_json:
        print_json(measured.to_json())
    else:
        _show(measured)
    end_unless(measured.accepted)


@app.command()
def rack(
    photo: PhotoArgument,
    rows: Annotated[int, typer.Option(help="Rows of cloths on the rack.")],
    columns: Annotated[int, typer.Option(help="Cloths in each row.")],
    chart: ChartChoice = ChartOption.CLASSIC24,
    card_values: ValuesChoice = CardValuesOption.MEAN_OF_30,
    grey: GreyChoice = 18.0,
    card_at: CardPlace = None,
    card: CardFile = None,
    card_is_evenly_lit: CalledEven = False,
    corners: Annotated[
        str,
        typer.Option(help='Corners of the rack, "x,y x,y x,y x,y" clockwise from the top left. Left out: found.'),
    ] = "",
    numbers: Annotated[str, typer.Option(help="The cloths' numbers, D001,D002,…: one for each place.")] = "",
    first: Annotated[str, typer.Option("--from", help="The first cloth's number; the others follow.")] = "",
    order: Annotated[OrderOption, typer.Option(help="The order of the numbers.")] = OrderOption.ROWS,
    csv_path: Annotated[Path | None, typer.Option("--csv", help="Write the cloths as a kit file.")] = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Read a rack of cloths in rows and columns, so that a kit can be measured without an instrument.

    Exit code 0: measured. 2: the file or the options cannot be used. 3: refused, and why.
    """
    with errors_said():
        from tenter.photo.cloth.rack import measure_rack
        from tenter.photo.files.loading import load_photo

        if csv_path is not None:
            require_place(csv_path, replace)
        names = _names(numbers, first, rows, columns, order)
        where = _points(corners, "--corners") if corners else None
        choice = card_choice(chart, card_values, grey, card_at, card, card_is_evenly_lit)
        measured = measure_rack(load_photo(photo), rows, columns, names, choice, where)
        written = _write_kit(csv_path, measured) if csv_path and measured.accepted else 0
    if as_json:
        print_json(measured.to_json())
    else:
        _show_rack(measured)
    if written:
        say(f"{how_many(written, 'cloth')} written to {csv_path}. Converted to D65/10°: predicted, not measured.")
    end_unless(measured.accepted)


def where_option(at: str, outline: str) -> "FloatArray | None":
    """Return the outline (n, 2), in pixels, that --at or --outline gives; None without either.

    Raises `TenterError` where both came, or one of them cannot be read.
    """
    import numpy as np

    from tenter.photo.places import box_corners, read_box

    if at and outline:
        raise TenterError("--at and --outline were both given; give one of them")
    if at:
        return np.array(box_corners(read_box(at, "--at")))
    return _points(outline, "--outline") if outline else None


def _points(text: str, option: str) -> "FloatArray":
    import numpy as np

    from tenter.photo.places import read_corners

    return np.array(read_corners(text, option))


def _names(numbers: str, first: str, rows: int, columns: int, order: OrderOption) -> list[list[str]] | None:
    from tenter.photo.cloth.rack import Order, in_order, numbers_from

    if numbers and first:
        raise TenterError("--numbers and --from were both given; give one of them")
    if not (numbers or first):
        return None
    names = numbers.split(",") if numbers else numbers_from(first, rows * columns)
    return in_order([name.strip() for name in names], rows, columns, Order(order.value))


def _write_kit(path: Path, measured: "RackMeasurement") -> int:
    """Write the cloths that have a colour as a kit file; return how many."""
    from tenter.consultation.cloths.photographed import PhotographedCloth, with_photographed

    cloths = [
        PhotographedCloth(cell.name, cell.colour.lab, cell.colour.half_width_90, cell.doubt or "")
        for cell in measured.cells
        if cell.colour is not None
    ]
    text = with_photographed(cloths).text
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as problem:
        raise TenterError(f"{path} cannot be written ({problem.strerror}); choose another place with --csv") from None
    return len(cloths)


def _show(measured: "ClothMeasurement") -> None:
    from rich.console import Console
    from rich.table import Table

    console = Console(highlight=False)
    if not measured.accepted:
        console.print("This cloth is not measured.")
    _say_reasons(console, measured, measured.texts)
    table = Table("", "L*", "a*", "b*", "± L*, a*, b*", title="Colour under D65/2°")
    if measured.cloth is not None:
        table.add_row("cloth", *_cells(measured.cloth.lab, measured.cloth.half_width_90))
    for colour in measured.palette:
        table.add_row(whole_percent(colour.area), *_cells(colour.lab, colour.half_width_90))
    if measured.accepted:
        console.print(table)
    if measured.cloth is not None:
        spread = ", ".join(f"{value:.1f}" for value in measured.cloth.spread)
        console.print(f"{str(measured.cloth.part).capitalize()}. Spread across the whole cloth: {spread}.")
        kit = ", ".join(map(number, measured.cloth.for_kit))
        console.print(f"For a kit, D65/10°: {kit}, converted through a recovered reflectance, not measured.")


def _say_reasons(console: "Console", measured: "ClothFinding", texts: Iterable[str]) -> None:
    for text in texts:
        if text:
            console.print(f"• {text}", markup=False)
    for line in how_to_overrule(reason.code for reason in measured.card_reasons):
        console.print(line)


def _cells(lab: "FloatArray", half: "FloatArray") -> tuple[str, ...]:
    return (*map(number, lab), ", ".join(f"{value:.1f}" for value in half))


def _show_rack(measured: "RackMeasurement") -> None:
    from rich.console import Console

    console = Console(highlight=False)
    if not measured.accepted:
        console.print("This rack is not measured.")
    _say_reasons(console, measured, (*measured.texts, measured.light))
    if measured.cells:
        console.print(_rack_table(measured))
    for cell in measured.cells:
        remark = cell.doubt if cell.colour is not None else "empty" if cell.empty else getattr(cell.found, "text", "")
        if remark:
            console.print(f"{cell.name}: {remark}", markup=False)


def _rack_table(measured: "RackMeasurement") -> "Table":
    """Return the colours of a rack, narrow enough for 60 columns, so that no figure is cut."""
    from rich.box import SIMPLE
    from rich.table import Table

    table = Table(title="Colours under D65/2°", box=SIMPLE, padding=(0, 1, 0, 0), pad_edge=False)
    for heading in ("cloth", "row", "column", "L*", "a*", "b*", "± L*, a*, b*"):
        table.add_column(heading, no_wrap=True)
    for cell in measured.cells:
        colour = cell.colour
        figures = ("", "", "", "") if colour is None else _cells(colour.lab, colour.half_width_90)
        table.add_row(cell.name, str(cell.row), str(cell.column), *figures)
    return table
