"""The options that say what a client loves, hates and has to keep to, and the wishes that they come to."""

from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from tenter.consultation.wishes.wishes import Wishes

LoveOption = Annotated[list[str] | None, typer.Option("--love", help="A loved hue or colour, such as purple.")]
HateOption = Annotated[list[str] | None, typer.Option("--hate", help="A hated one, which is left out.")]
NeverOption = Annotated[list[str] | None, typer.Option("--never", help="One that is not worn, such as 'WHY: COLOUR'.")]
MustOption = Annotated[list[str] | None, typer.Option("--must", help="One to be worn, such as 'uniform: navy'.")]
PiecesOption = Annotated[
    int | None,
    typer.Option("--pieces", help="How many new pieces the budget allows; says which come first."),
]
NoteOption = Annotated[list[str] | None, typer.Option("--note", help="What to keep in mind; it changes no colour.")]


def said_wishes(
    love: list[str] | None,
    hate: list[str] | None,
    never: list[str] | None,
    must: list[str] | None,
    pieces: int | None,
    note: list[str] | None,
) -> "Wishes":
    """Return the wishes that the options say; raises `TenterError` for what is none."""
    from tenter.consultation.wishes.said_wishes import SaidWish, WishKind, wishes_of

    def limits(kind: WishKind, texts: list[str] | None) -> list[SaidWish]:
        parted = [text.rpartition(":") for text in texts or ()]
        return [SaidWish(kind, what, why or what) for why, _, what in parted]

    return wishes_of(
        [
            *(SaidWish(WishKind.LOVED, text) for text in love or ()),
            *(SaidWish(WishKind.HATED, text) for text in hate or ()),
            *limits(WishKind.NEVER, never),
            *limits(WishKind.MUST, must),
            *([] if pieces is None else [SaidWish(WishKind.BUDGET, str(pieces))]),
            *(SaidWish(WishKind.NOTE, why=text) for text in note or ()),
        ]
    )
