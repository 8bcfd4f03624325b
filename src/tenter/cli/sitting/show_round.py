"""The show round at the terminal: after the verdict, one cloth after the other, one key each; what was brought too."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tenter.cli.shared.inputs import say
from tenter.cli.shared.keys import read_key, read_line
from tenter.errors import TenterError

if TYPE_CHECKING:
    from tenter.consultation.record.no_evidence import Showing
    from tenter.consultation.sitting.show_round import ClothOffer
    from tenter.consultation.sitting.sitting import Sitting

_HELP = """
  Show round: what is seen on the client here is not evidence about the season.
  1 best    2 yes    3 away from the face    4 no    s skip    o a cloth of your own choice
  b what the client brought    u take back the last    q back to the bench
"""
_WORTH = {"1": "best", "2": "yes", "3": "away", "4": "no"}


@dataclass
class ShowRound:
    """The conversation of a show round. `keep` writes a showing down; `take_back` undoes the last event."""

    sitting: "Sitting"
    keep: Callable[["Showing"], None]
    take_back: Callable[[], None]
    skipped: set[str] = field(default_factory=set)

    def run(self) -> None:
        """Offer one cloth after the other until the consultant goes back; raises `PhaseMissing` before a verdict."""
        offer = self._next()
        say(_HELP)
        while True:
            say(f"\n  {_named(offer)}" if offer else "\n  The round is through: o, b, u or q.")
            key = read_key()
            if key in ("q", ""):
                return
            try:
                self._obey(key, offer)
            except (TenterError, ValueError) as error:
                say(f"  {error}")
            offer = self._next()

    def _next(self) -> "ClothOffer | None":
        from tenter.consultation.sitting.show_round import show_round

        left = (o for o in show_round(self.sitting) if o.answer is None and o.drape.id not in self.skipped)
        return next(left, None)

    def _obey(self, key: str, offer: "ClothOffer | None") -> None:
        if key in _WORTH and offer:
            self._show(_WORTH[key], offer.drape.id)
        elif key == "s" and offer:
            self.skipped.add(offer.drape.id)
        elif key == "o":
            self._own()
        elif key == "b":
            self._brought()
        elif key == "u":
            self._undo()
        else:
            say(_HELP)

    def _show(self, worth: str, cloth: str) -> None:
        from tenter import Showing, Worth

        self.keep(Showing(Worth(worth), cloth))

    def _own(self) -> None:
        words = read_line("  cloth and best, yes, away or no: ").split()
        if len(words) != 2:
            say("  a cloth and one of the words are needed, as in: D026 best")
            return
        self._show(words[1], words[0])

    def _brought(self) -> None:
        from tenter import Showing, Worth
        from tenter.consultation.words.answers import Brought

        words = read_line("  garment, lipstick, frames or hair; best, yes, away or no; its name: ").split(maxsplit=2)
        if len(words) != 3:
            say("  three things are needed, as in: garment away grey blazer")
            return
        self.keep(Showing(Worth(words[1]), brought=Brought(words[0]), name=words[2]))

    def _undo(self) -> None:
        from tenter.consultation.sitting.show_round import ends_in_a_showing

        if not ends_in_a_showing(self.sitting):
            say("  nothing of the show round is left to take back")
            return
        self.take_back()


def _named(offer: "ClothOffer") -> str:
    place = f" ({offer.drape.place})" if offer.drape.place else ""
    return f"{offer.drape.id} {offer.drape.name}{place}: {offer.reason}"
