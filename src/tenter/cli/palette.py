"""`tenter palette`: the personal palette of a client, as a table, as JSON, or into a file."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.inputs import (
    DEFAULT_METHOD,
    ClientOption,
    FaceOption,
    JsonOption,
    KitOption,
    LedgerArgument,
    MethodOption,
    SeedOption,
    errors_said,
    print_json,
    refused_as_json,
    replayed,
    say,
)
from tenter.cli.kept_palette import made_palette

if TYPE_CHECKING:
    from rich.table import Table

    from tenter.consultation.personal.colours import PaletteColour, PersonalPalette
    from tenter.consultation.personal.wishes import Wishes


def palette(
    client: ClientOption,
    ledger: LedgerArgument = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    as_json: JsonOption = False,
    love: Annotated[list[str] | None, typer.Option("--love", help="A loved hue or colour, such as purple.")] = None,
    hate: Annotated[list[str] | None, typer.Option("--hate", help="A hated one, which is left out.")] = None,
    never: Annotated[list[str] | None, typer.Option("--never", help="One not worn, as 'WHY: COLOUR'.")] = None,
    must: Annotated[list[str] | None, typer.Option("--must", help="One to be worn, as 'uniform: navy'.")] = None,
    note: Annotated[list[str] | None, typer.Option("--note", help="What to keep in mind, such as a budget.")] = None,
    out: Annotated[Path | None, typer.Option("--out", help="Write the palette here, as JSON.")] = None,
) -> None:
    """Make the personal palette: the colours to wear, near the face and away from it, and what to swap."""
    from tenter.consultation.personal.document import palette_document

    with errors_said():
        wishes = _wishes(love or [], hate or [], never or [], must or [], note or [])
        sitting = replayed(ledger, client, kit, method, face, seed)
        with refused_as_json(client, as_json):
            kept = made_palette(client, sitting, wishes)
        document = palette_document(client, kept.palette, kept.known)
    if out is not None:
        out.write_text(json.dumps(document) + "\n", encoding="utf-8")
        say(f"The palette is in {out}.")
    if as_json:
        print_json(document)
    elif out is None:
        print_palette(client, kept.palette)


def _wishes(love: list[str], hate: list[str], never: list[str], must: list[str], note: list[str]) -> "Wishes":
    from tenter.consultation.personal.wishes import Limit, Rule, Wish, Wishes, wished

    def limit(rule: Rule, text: str) -> Limit:
        why, _, what = text.rpartition(":")
        return Limit(rule, why.strip() or text.strip(), wished(what))

    return Wishes(
        tuple(Wish(wished(text), f"You love {text.strip()}") for text in love),
        tuple(Wish(wished(text), f"You do not like {text.strip()}") for text in hate),
        (
            *(limit(Rule.NEVER, text) for text in never),
            *(limit(Rule.MUST, text) for text in must),
            *(Limit(Rule.NOTE, text) for text in note),
        ),
    )


def print_palette(client: str, made: "PersonalPalette") -> None:
    """Print a palette as a table a part, and what to swap."""
    from rich.console import Console

    from tenter.consultation.personal.colours import Part

    console = Console(highlight=False)
    whose = " and ".join(made.categories) or "the sitting is not finished"
    console.print(f"[bold]{client}: {len(made.colours)} colours[/bold]  ({whose})", soft_wrap=True)
    parts = (
        ("to hold to the face", made.of_part(Part.NEAR_FACE)),
        ("neutrals", made.of_part(Part.NEUTRAL)),
        ("whites", made.of_part(Part.WHITE)),
        ("accents", made.of_part(Part.ACCENT)),
        ("metals", made.metals),
        ("borrowed, in small areas", made.borrowed),
    )
    for title, colours in parts:
        if colours:
            console.print(f"\n[bold]{title}[/bold]")
            console.print(_table(colours))
    for missing in made.missing:
        console.print(f"no {missing.hue_family}: wear {missing.instead} instead", markup=False)
    for wish in made.honoured:
        console.print(": ".join(said for said in (wish.sentence, wish.answer) if said), markup=False)
    console.print("\n[bold]staples[/bold]")
    for staple in made.staples:
        swap = f" for {staple.swap_for}" if staple.swap_for else ""
        console.print(f"  {staple.name}: {staple.answer}{swap}", markup=False)


def _table(colours: "tuple[PaletteColour, ...]") -> "Table":
    from rich.table import Table

    table = Table(box=None, pad_edge=True)
    for head, justify in (("colour", "left"), ("L*", "right"), ("a*", "right"), ("b*", "right")):
        table.add_column(head, justify=justify)  # type: ignore[arg-type]  # rich names its words by a Literal
    for head in ("suits", "known by", ""):
        table.add_column(head)
    for colour in colours:
        name = f"{colour.name} ({colour.title})" if colour.title else colour.name
        low, high = (round(100 * end) for end in colour.interval)
        table.add_row(
            name,
            *(f"{value:.0f}" for value in colour.lab),
            f"{round(100 * colour.suitability)} % ({low} to {high})",
            str(colour.basis),
            colour.answer,
        )
    return table
