"""`tenter wardrobe`: where pieces are worn, what is missing, what to buy within a budget, and thirty days without."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tenter.cli.shared.inputs import JsonOption, errors_said, print_json
from tenter.cli.shared.paper_options import LanguageOption, papers_in
from tenter.cli.studio.garment import PaletteOption
from tenter.errors import TenterError, UnknownName
from tenter.language import SOURCE

if TYPE_CHECKING:
    from tenter.consultation.client.contrast import ContrastLevel
    from tenter.consultation.garments.outfits import Outfit
    from tenter.consultation.garments.wardrobe import Piece
    from tenter.consultation.personal.document import KeptPalette

app = typer.Typer(help="A wardrobe compared with a palette.", no_args_is_help=True)

WardrobeArgument = Annotated[Path, typer.Argument(help="What is owned, as CSV or JSON: name, kind, colour.")]
ContrastOption = Annotated[
    str, typer.Option("--contrast", help="The contrast of hair, skin and eyes, if known: low, medium or high.")
]
MeasuredFaceOption = Annotated[
    Path | None, typer.Option("--face", help="The JSON of 'tenter face measure', for the contrast.")
]


@app.command()
def show(
    wardrobe: WardrobeArgument,
    palette: PaletteOption,
    contrast: ContrastOption = "",
    face: MeasuredFaceOption = None,
    language: LanguageOption = SOURCE,
    as_json: JsonOption = False,
) -> None:
    """Say where each piece is worn, what the palette has and the wardrobe lacks, and how many outfits there are."""
    with errors_said(), papers_in(language):
        from tenter.consultation.garments.gaps import wardrobe_coverage
        from tenter.consultation.garments.outfits import outfits
        from tenter.language import _
        from tenter.report.on_screen.wardrobe_words import (
            NOTHING_THROWN,
            cost_words,
            count_words,
            gap_words,
            piece_words,
        )

        kept, owned = _read(palette, wardrobe)
        found, parts = outfits(owned, _contrast(contrast, face)), wardrobe_coverage(kept.palette, owned)
        told = [f"{piece_words(piece)} {cost_words(piece)}".strip() for piece in owned]
        told += ["", *map(gap_words, parts), "", count_words(len(found), owned), _(NOTHING_THROWN)]
    if as_json:
        print_json(
            {
                "pieces": [_piece(piece) for piece in owned],
                "parts": [
                    {
                        "part": str(part.section),
                        "gap": part.is_gap,
                        "pieces": [piece.name for piece in part.pieces],
                        "wanted": [colour.name for colour in part.wanted],
                    }
                    for part in parts
                ],
                "outfits": [_outfit(outfit) for outfit in found],
            }
        )
        return
    _print(told)


@app.command()
def buy(
    wardrobe: WardrobeArgument,
    wishes: Annotated[Path, typer.Argument(help="The wishes, as a wardrobe file, each with its price.")],
    palette: PaletteOption,
    budget: Annotated[float, typer.Option(help="How much money may be spent, in the currency of the prices.")],
    pieces: Annotated[int | None, typer.Option(help="How many new pieces at most.")] = None,
    contrast: ContrastOption = "",
    face: MeasuredFaceOption = None,
    language: LanguageOption = SOURCE,
    as_json: JsonOption = False,
) -> None:
    """Say which wishes make the most new outfits within a budget in the currency of the prices, and what each adds."""
    with errors_said(), papers_in(language):
        from tenter.consultation.garments.buying import buy_list
        from tenter.language import _
        from tenter.report.on_screen.wardrobe_words import BY_ITSELF, NOTHING_THROWN, buy_words, purchase_words

        kept, owned = _read(palette, wardrobe)
        wanted = _pieces(kept, wishes)
        found = buy_list(owned, wanted, budget, _contrast(contrast, face), pieces)
        alone = map(purchase_words, found.every)
        told = [*buy_words(found), "", _(BY_ITSELF), *alone, "", _(NOTHING_THROWN)]
    if as_json:
        print_json(
            {
                "buy": [p.piece.name for p in found.chosen],
                "spent": found.spent,
                "budget": found.budget,
                "outfits_now": found.had,
                "outfits_gained": found.gained,
                "at_most": found.bound,
                "exact": found.is_exact,
                "wishes": [_piece(p.piece) | {"outfits_gained": p.gained} for p in found.every],
            }
        )
        return
    _print(told)


@app.command()
def rest(
    wardrobe: WardrobeArgument,
    palette: PaletteOption,
    days: Annotated[int, typer.Option(help="For how many days.")] = 30,
    contrast: ContrastOption = "",
    face: MeasuredFaceOption = None,
    language: LanguageOption = SOURCE,
    as_json: JsonOption = False,
) -> None:
    """Buy nothing for thirty days: an outfit a day from what is owned."""
    with errors_said(), papers_in(language):
        from tenter.consultation.garments.resting import rest_plan
        from tenter.report.on_screen.wardrobe_words import outfit_words, rest_words

        _, owned = _read(palette, wardrobe)
        plan = rest_plan(owned, days, _contrast(contrast, face))
        numbered = [f"{day}  {outfit_words(outfit)}" for day, outfit in enumerate(plan.days, start=1)]
        told = [*rest_words(plan), "", *numbered]
    if as_json:
        print_json(
            {
                "days": [_outfit(outfit) for outfit in plan.days],
                "different": plan.different,
                "unworn": [piece.name for piece in plan.unworn],
            }
        )
        return
    _print(told)


def _read(palette: Path, wardrobe: Path) -> "tuple[KeptPalette, tuple[Piece, ...]]":
    from tenter.consultation.personal.document import read_palette

    kept = read_palette(palette)
    return kept, _pieces(kept, wardrobe)


def _pieces(kept: "KeptPalette", path: Path) -> "tuple[Piece, ...]":
    from tenter.consultation.garments.wardrobe import read_pieces

    return read_pieces(path, kept.palette, kept.known)


def _contrast(word: str, face: Path | None) -> "ContrastLevel | None":
    """Return the contrast that was named, or that of a measured face; None where neither is known."""
    from tenter import Face
    from tenter.consultation.client.contrast import ContrastLevel, contrast_level

    if word and face:
        raise TenterError("--contrast and --face were both given; give one of them")
    if face:
        measured = contrast_level(Face.read(face))
        return None if measured is None else measured.level
    if not word:
        return None
    try:
        return ContrastLevel(word.lower())
    except ValueError:
        raise UnknownName("contrast", word, ContrastLevel) from None


def _piece(piece: "Piece") -> dict[str, object]:
    return {
        "name": piece.name,
        "kind": str(piece.kind),
        "role": str(piece.role),
        "unsure": piece.is_unsure,
        "given": piece.check is None,
        "loved": piece.loved,
        "price": piece.price,
        "wears": piece.wears,
        "cost_per_wear": piece.cost_per_wear,
        "between": [colour.name for colour in piece.check.between] if piece.check else [],
    }


def _outfit(outfit: "Outfit") -> list[str]:
    return [piece.name for piece in outfit.pieces]


def _print(lines: list[str]) -> None:
    from rich.console import Console

    console = Console(highlight=False)
    for line in lines:
        console.print(line, markup=False)
