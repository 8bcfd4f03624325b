"""`tenter stock`: snippets in drawers, what a palette takes of them, and what to reorder."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import (
    FaceOption,
    JsonOption,
    KitOption,
    MethodOption,
    SeedOption,
    errors_said,
    print_json,
)
from tenter.cli.shared.kept_palette import PaletteClientOption, PaletteSource, kept_palette
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.numerals import how_many

if TYPE_CHECKING:
    from tenter.consultation.stock.movements import Movement
    from tenter.consultation.stock.pick_list import PickList
    from tenter.consultation.stock.snippets import Snippet

_HELP = "The studio's own snippets and card strips, by drawer."
app = typer.Typer(help=_HELP, no_args_is_help=True)
StockOption = Annotated[Path, typer.Option("--stock", help="The stock.csv; its movements are kept beside it.")]
DrawerArgument = Annotated[str, typer.Argument(help="The drawer's number.")]
MovementNoteOption = Annotated[str, typer.Option("--note", help="A note to keep with the movement.")]
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
    count: Annotated[int, typer.Option("--count", help="Pieces of each; a stock file has its own numbers.")] = 1,
    reorder_at: Annotated[
        int | None, typer.Option("--reorder-at", help="Reorder each at this many; a stock file has its own numbers.")
    ] = None,
    as_json: JsonOption = False,
) -> None:
    """Put measured or photographed snippets into drawers of their own; a drawer in use is never overwritten."""
    from tenter.consultation.cloths.tables import read_text
    from tenter.consultation.stock.files import add_snippets, parse_snippets

    with errors_said():
        new = parse_snippets(read_text(snippets), str(snippets), count, reorder_at)
        after = add_snippets(stock, new)
    if as_json:
        print_json({"added": [one.drawer for one in new], "snippets": [snippet_document(one) for one in after]})
        return
    typer.echo(f"{how_many(len(new), 'snippet')} added. {stock} has {len(after)}.")


@app.command()
def bought(
    drawer: DrawerArgument,
    pieces: Annotated[int, typer.Argument(help="How many came in.")],
    stock: StockOption = DEFAULT_STOCK,
    note: MovementNoteOption = "",
    as_json: JsonOption = False,
) -> None:
    """Count pieces in that were bought or cut."""
    from tenter.consultation.stock.movements import Movement, MovementReason

    with errors_said():
        _moved(stock, [Movement(drawer, pieces, MovementReason.BOUGHT, _now(), note)], as_json)


@app.command()
def put_back(
    drawer: DrawerArgument,
    pieces: Annotated[int, typer.Argument(help="How many go back.")] = 1,
    stock: StockOption = DEFAULT_STOCK,
    note: MovementNoteOption = "",
    as_json: JsonOption = False,
) -> None:
    """Count pieces in that were picked and not given away."""
    from tenter.consultation.stock.movements import Movement, MovementReason

    with errors_said():
        _moved(stock, [Movement(drawer, pieces, MovementReason.PUT_BACK, _now(), note)], as_json)


@app.command()
def count(
    drawer: DrawerArgument,
    pieces: Annotated[int, typer.Argument(help="How many are in it.")],
    stock: StockOption = DEFAULT_STOCK,
    note: MovementNoteOption = "",
    as_json: JsonOption = False,
) -> None:
    """Say how many pieces a drawer holds, counted by hand."""
    from tenter.consultation.stock.files import read_stock
    from tenter.consultation.stock.movements import to_count

    with errors_said():
        _moved(stock, to_count(read_stock(stock), drawer, pieces, _now(), note), as_json, drawer)


@app.command()
def pick(
    source: PaletteSource = None,
    client: PaletteClientOption = None,
    stock: StockOption = DEFAULT_STOCK,
    within: Annotated[
        float | None, typer.Option("--within", help="How far a snippet may be from its colour, ΔE00; 3, neutrals 2.")
    ] = None,
    take: Annotated[bool, typer.Option("--take", help="Count down what is picked.")] = False,
    note: Annotated[str, typer.Option("--note", help="Kept with what is taken; the client when left out.")] = "",
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    as_json: JsonOption = False,
) -> None:
    """Say which drawers a palette takes a piece from, and which of its colours are to be printed.

    Nothing is counted down without --take. Exit code 0: a list, however short. 2: something cannot be read, or a drawer
    was emptied meanwhile. 3: there is no verdict yet.
    """
    from tenter.consultation.stock.files import add_movements, read_stock
    from tenter.consultation.stock.movements import picked
    from tenter.consultation.stock.pick_list import pick_list

    with errors_said():
        kept = kept_palette(source, client, kit, method, face, seed)
        found = pick_list(kept.palette, read_stock(stock), within)
        if take and found.picks:
            add_movements(stock, picked(found.drawers, _now(), note or kept.client))
    if as_json:
        print_json(_pick_document(found, take))
        return
    for line in _told(found, take):
        typer.echo(line)


def _told(found: "PickList", taken: bool) -> list[str]:
    """Return what is said of a pick list: by drawer what to take, then what to print."""
    from tenter.report.on_screen.pick_words import by_hand_line, off_by, pick_summary, printed_why

    lines = [pick_summary(found)]
    for one in found.picks:
        left = f"{one.left} left" + (", reorder" if one.is_low_after else "")
        lines.append(f"drawer {one.drawer}: {one.of.snippet.name} for {one.colour.name}, {off_by(one.of)}; {left}")
    lines += [f"print {one.colour.name}: {printed_why(one)}" for one in found.to_print]
    if line := by_hand_line(found):
        lines.append(line)
    if found.picks:
        lines.append("Counted down." if taken else "Nothing is counted down yet; --take does that.")
    return lines


def _pick_document(found: "PickList", taken: bool) -> dict[str, object]:
    return {
        "picks": [
            {
                "drawer": one.drawer,
                "snippet": one.of.snippet.name,
                "colour": one.colour.name,
                "delta_e": round(one.of.delta_e, 3),
                "difference": one.of.difference,
                "left": one.left,
                "reorder": one.is_low_after,
            }
            for one in found.picks
        ],
        "to_print": [
            {
                "colour": one.colour.name,
                "lab": list(one.colour.lab),
                "why": str(one.why),
                "nearest": one.nearest and one.nearest.snippet.drawer,
                "delta_e": one.nearest and round(one.nearest.delta_e, 3),
            }
            for one in found.to_print
        ],
        "by_hand": [colour.name for colour in found.by_hand],
        "within": found.within,
        "taken": taken,
    }


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
    from tenter.report.on_screen.pick_words import stock_words

    return f"drawer {one.drawer}: {one.name}, {stock_words(one)}"
