"""A client's wishes as they are said, in plain words, one by one; and the `Wishes` that a palette is made by."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from tenter.consultation.wishes.wishes import LARGEST_BUDGET, NO_WISHES, Limit, Rule, Wish, Wishes, wished
from tenter.errors import TenterError, UnknownName
from tenter.given import given_text
from tenter.language import _, as_typed

MOST_WISHES = 30  # of one client
_LONGEST_WORD, _LONGEST_SENTENCE = 40, 200  # letters of a wish, and of its reason


class WishKind(StrEnum):
    """What is said of a colour, or of buying."""

    LOVED = "loved"
    HATED = "hated"
    NEVER = "never"
    MUST = "must"
    BUDGET = "budget"
    NOTE = "note"


# What is printed of a wish where no more was said; papers in another language know these sentences by their words.
_USUAL = {WishKind.LOVED: "You love {wish}", WishKind.HATED: "You do not like {wish}"}
_ONE_PIECE, _PIECES = "Your budget: one new piece", "Your budget: {pieces} new pieces"
USUAL_WISHES = (*_USUAL.values(), _ONE_PIECE, _PIECES)


@dataclass(frozen=True, slots=True)
class SaidWish:
    """One wish. about: a hue or a colour by name; of a budget, how many new pieces. why: in the client's words.

    Raises `UnknownName` for another kind, hue or colour, and `TenterError` for too many letters, a limit without a
    reason, and a budget that is no number of pieces.
    """

    kind: WishKind
    about: str = ""
    why: str = ""

    def __post_init__(self) -> None:
        if self.kind not in [*WishKind]:
            raise UnknownName(_("kind of a wish"), self.kind, WishKind)
        for name, most in (("about", _LONGEST_WORD), ("why", _LONGEST_SENTENCE)):
            text = " ".join(
                given_text(getattr(self, name), _("what a wish says ({name})", name=name), needed=False).split()
            )
            if len(text) > most:
                raise TenterError(
                    _(
                        "this has {count} letters, and at most {most} are kept; say it shorter",
                        count=len(text),
                        most=most,
                    )
                )
            object.__setattr__(self, name, text)
        _made(self)


def wishes_of(said: Iterable[SaidWish]) -> Wishes:
    """Return what a palette is made by; raises `TenterError` where two wishes contradict one another."""
    every = tuple(said)
    if not every:
        return NO_WISHES
    if len(every) > MOST_WISHES:
        raise TenterError(
            _(
                "these are {count} wishes, and at most {most} are kept; leave some out",
                count=len(every),
                most=MOST_WISHES,
            )
        )
    if sum(one.kind is WishKind.BUDGET for one in every) > 1:
        raise TenterError(_("a client has one budget, and two came; keep one of them"))
    made = [(one.kind, _made(one)) for one in every]
    return Wishes(
        tuple(w for kind, w in made if kind is WishKind.LOVED and isinstance(w, Wish)),
        tuple(w for kind, w in made if kind is WishKind.HATED and isinstance(w, Wish)),
        tuple(w for _, w in made if isinstance(w, Limit)),
    )


def _made(one: SaidWish) -> Wish | Limit:
    if one.kind in _USUAL:
        return Wish(wished(one.about), one.why or _USUAL[one.kind].format(wish=one.about))
    if one.kind is WishKind.NOTE:
        return Limit(Rule.NOTE, one.why or one.about)
    if one.kind is WishKind.BUDGET:
        pieces = _pieces(one.about)
        usual = _ONE_PIECE if pieces == 1 else _PIECES.format(pieces=pieces)
        return Limit(Rule.BUDGET, one.why or usual, pieces=pieces)
    if not one.why:
        raise TenterError(_("this limit does not say why; write it in a word or two, such as faith dress or uniform"))
    return Limit(Rule(one.kind), one.why, wished(one.about))


def _pieces(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 4):
        raise TenterError(
            _(
                "a budget is a number of new pieces, from 1 to {most}; got {text}",
                most=LARGEST_BUDGET,
                text=as_typed(text),
            )
        )
    return int(text)
