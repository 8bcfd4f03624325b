"""`tenter stock`: snippets in drawers, what a palette takes of them, and what to reorder."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.inputs import JsonOption, errors_said, print_json

if TYPE_CHECKING:
    from tenter.consultation.stock.movements import Movement
    from tenter.consultation.stock.snippets import Snippet

_HELP = "The studio's own snippets and card strips, by drawer."
app = typer.Typer(help=_HELP, no_args_is_help=True)
StockOption = Annotated[Path, typer.Option("--stock", help="The stock.csv; its movements are kept beside it.")]
DrawerArgument = Annotated[str, typer.Argument(help="The drawer's number.")]
NoteOption = Annotated[str, typer.Option("--note", help="A word to keep with the movement.")]
DEFAULT_STOCK = Path("stock.csv")


@app.callback(help=_HELP)
def stock() -> None:
    """Snippets in drawers."""


@app.command("list")
def list_stock(
    stock: StockOption = DEFAULT_STOCK,
    low: Annotated[bool, typer.Option("--low", help="Only what is to be reordered.")] = False,
    as_json: JsonOption = False,
) -> None:
    """List the drawers with their colours and counts, or what to reorder. Exit code 0, also when there is none."""
    from tenter.consultation.stock.files import read_stock

    with errors_said():
        found = read_stock(stock)
    shown = found.to_reorder if low else found.snippets
    if as_json:
        print_json({"snippets": [snippet_document(one) for one in shown]})
        return
    if not shown:
        typer.echo("Nothing to reorder." if low and len(found) else "No snippets in stock. Add some: tenter stock add")
    for one in shown:
        typer.echo(_line(one))


@app.command()
def add(
    snippets: Annotated[Path, typer.Argument(help="A stock file, or a kit file as photographs of racks give it.")],
    stock: StockOption = DEFAULT_STOCK,
    count: Annotated[int, typer.Option("--count", help="Pieces of each; a stock file says its own.")] = 1,
    reorder_at: Annotated[
        int | None, typer.Option("--reorder-at", help="Reorder each at so few; a stock file says its own.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Put measured or photographed snippets into drawers of their own; a drawer in use is never written over."""
    from tenter.consultation.stock.files import add_snippets, parse_snippets
    from tenter.consultation.tables import read_text

    with errors_said():
        new = parse_snippets(read_text(snippets), str(snippets), count, reorder_at)
        after = add_snippets(stock, new)
    if as_json:
        print_json({"added": [one.drawer for one in new], "snippets": [snippet_document(one) for one in after]})
        return
    typer.echo(f"{len(new)} snippet{'s' * (len(new) != 1)} added. {stock} has {len(after)}.")


@app.command()
def bought(
    drawer: DrawerArgument,
    pieces: Annotated[int, typer.Argument(help="How many came in.")],
    stock: StockOption = DEFAULT_STOCK,
    note: NoteOption = "",
    as_json: JsonOption = False,
) -> None:
    """Count pieces in that were bought or cut."""
    from tenter.consultation.stock.movements import Movement, Why

    with errors_said():
        _moved(stock, [Movement(drawer, pieces, Why.BOUGHT, _now(), note)], as_json)


@app.command()
def put_back(
    drawer: DrawerArgument,
    pieces: Annotated[int, typer.Argument(help="How many go back.")] = 1,
    stock: StockOption = DEFAULT_STOCK,
    note: NoteOption = "",
    as_json: JsonOption = False,
) -> None:
    """Count pieces in that were picked and not given away."""
    from tenter.consultation.stock.movements import Movement, Why

    with errors_said():
        _moved(stock, [Movement(drawer, pieces, Why.PUT_BACK, _now(), note)], as_json)


@app.command()
def count(
    drawer: DrawerArgument,
    pieces: Annotated[int, typer.Argument(help="How many are in it.")],
    stock: StockOption = DEFAULT_STOCK,
    note: NoteOption = "",
    as_json: JsonOption = False,
) -> None:
    """Say how many pieces a drawer holds, counted by hand."""
    from tenter.consultation.stock.files import read_stock
    from tenter.consultation.stock.movements import to_count

    with errors_said():
        _moved(stock, to_count(read_stock(stock), drawer, pieces, _now(), note), as_json, drawer)


def _moved(path: Path, movements: "Sequence[Movement]", as_json: bool, drawer: str = "") -> None:
    """Write movements down, and say what their drawer holds now."""
    from tenter.consultation.stock.files import add_movements, read_stock

    after = add_movements(path, movements) if movements else read_stock(path)
    one = after[drawer or movements[0].drawer]
    if as_json:
        print_json({"snippet": snippet_document(one), "moved": sum(movement.change for movement in movements)})
    else:
        typer.echo(_line(one))


def _now() -> str:
    return datetime.now().astimezone().isoformat(timespec="seconds")


def snippet_document(one: "Snippet") -> dict[str, object]:
    """Return a snippet as plain values for JSON."""
    return {
        "drawer": one.drawer,
        "name": one.name,
        "lab": list(one.lab),
        "illuminant": one.conditions.illuminant,
        "observer": str(one.conditions.observer),
        "count": one.count,
        "reorder_at": one.reorder_at,
        "reorder": one.is_low,
    }


def _line(one: "Snippet") -> str:
    from tenter.report.pick_words import held

    return f"drawer {one.drawer}: {one.name}, {held(one)}"
