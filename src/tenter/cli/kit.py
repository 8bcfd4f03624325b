"""`tenter kit`: look at the cloths."""

from collections import Counter
from typing import TYPE_CHECKING

import typer

from tenter.cli.inputs import (
    DEFAULT_METHOD,
    JsonOption,
    KitOption,
    MethodOption,
    errors_said,
    load_kit,
    load_method,
    print_json,
)

if TYPE_CHECKING:
    from tenter import Kit, Method

app = typer.Typer(help="Look at the kit of test cloths.", no_args_is_help=True)


@app.callback()
def _group() -> None:
    """Keep `kit` a group, so that later commands join `show`."""


@app.command()
def show(
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    as_json: JsonOption = False,
) -> None:
    """Show every cloth with its place on the three axes and the category its colour belongs to."""
    with errors_said():
        cloths, way = load_kit(kit), load_method(method)
        if as_json:
            print_json(kit_document(cloths, way))
        else:
            _print_table(cloths, way)


def kit_document(kit: "Kit", method: "Method") -> dict[str, object]:
    """Return the kit as plain values for JSON."""
    coordinates = method.coordinates(kit)
    rows = [
        {
            "id": drape.id,
            "name": drape.name,
            "hue_family": str(drape.hue_family),
            "lab": [float(v) for v in lab],
            "undertone": round(float(x[0]), 3),
            "depth": round(float(x[1]), 3),
            "clarity": round(float(x[2]), 3),
            "category": method.category_at(x),
            "undertone_by_hand": drape.undertone is not None,
            "place": drape.place,
        }
        for drape, lab, x in zip(kit.drapes, kit.lab, coordinates, strict=True)
    ]
    conditions = kit.colours.conditions
    return {
        "cloths": rows,
        "illuminant": conditions.illuminant,
        "observer": str(conditions.observer),
        "converted_to_bench": kit.bench_colours.recovered,
        "method": method.name,
    }


def _print_table(kit: "Kit", method: "Method") -> None:
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, header_style="bold", pad_edge=False)
    for column in ("id", "name", "hue", "L*", "a*", "b*", "undertone", "depth", "clarity", "cell"):
        table.add_column(column, justify="right" if column in ("L*", "a*", "b*") else "left")
    coordinates = method.coordinates(kit)
    cells = [method.category_at(x) for x in coordinates]
    for drape, lab, x, cell in zip(kit.drapes, kit.lab, coordinates, cells, strict=True):
        by_hand = " (by hand)" if drape.undertone is not None else ""
        axes = (f"{x[0]:+.2f}{by_hand}", f"{x[1]:+.2f}", f"{x[2]:+.2f}")
        table.add_row(drape.id, drape.name, str(drape.hue_family), *(f"{v:.1f}" for v in lab), *axes, cell)
    console = Console()
    console.print(table)
    counts = Counter(cells)
    console.print(f"\n{len(kit)} cloths under {kit.colours.conditions}, read by {method.title}.")
    if kit.bench_colours.recovered:
        console.print("Carried to D65/10° through recovered reflectances: predicted, not measured.")
    console.print("Cloths in each cell: " + ", ".join(f"{c} {counts[c]}" for c in method.categories))
