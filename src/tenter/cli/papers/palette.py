"""`tenter palette`: the personal palette of a client, as a table, as JSON, or into a file."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import (
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
    replayed_ledger,
    say,
)
from tenter.cli.shared.kept_palette import ChangesOption, made_palette, said_changes
from tenter.cli.shared.output_files import ReplaceOption, require_place
from tenter.cli.shared.wish_options import (
    HateOption,
    LoveOption,
    MustOption,
    NeverOption,
    NoteOption,
    PiecesOption,
    said_wishes,
)
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.numerals import how_many

if TYPE_CHECKING:
    from rich.table import Table

    from tenter.consultation.colours.colours import PaletteColour, PersonalPalette


def palette(
    client: ClientOption,
    ledger: LedgerArgument = None,
    kit: KitOption = None,
    method: MethodOption = DEFAULT_METHOD,
    face: FaceOption = None,
    seed: SeedOption = 7,
    as_json: JsonOption = False,
    love: LoveOption = None,
    hate: HateOption = None,
    never: NeverOption = None,
    must: MustOption = None,
    pieces: PiecesOption = None,
    note: NoteOption = None,
    changes: ChangesOption = None,
    out: Annotated[Path | None, typer.Option("--out", help="Write the palette here, as JSON.")] = None,
    replace: ReplaceOption = False,
) -> None:
    """Make the personal palette: the colours to wear, near the face and away from it, and what to swap."""
    from tenter.consultation.personal.document import palette_document

    with errors_said():
        if out is not None:
            require_place(out, replace)
        wishes = said_wishes(love, hate, never, must, pieces, note)
        edits = said_changes(changes)
        sitting = replayed_ledger(ledger, client, kit, method, face, seed)
        with refused_as_json(client, as_json):
            kept = made_palette(client, sitting, wishes, edits)
        document = palette_document(client, kept.palette, kept.known)
    if out is not None:
        out.write_text(json.dumps(document) + "\n", encoding="utf-8")
        say(f"The palette is in {out}.")
    if as_json:
        print_json(document)
    elif out is None:
        print_personal_palette(client, kept.palette)


def print_personal_palette(client: str, made: "PersonalPalette") -> None:
    """Print a palette as a table a part, and what to swap."""
    from rich.console import Console

    from tenter.consultation.colours.colours import Part
    from tenter.report.words.palette_words import staple_words

    console = Console(highlight=False)
    whose = " and ".join(made.categories) or "the sitting is not finished"
    console.print(f"[bold]{client}: {how_many(len(made.colours), 'colour')}[/bold]  ({whose})", soft_wrap=True)
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
        console.print(f"  {staple.name}: {staple_words(staple, 'the')}", markup=False)


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
