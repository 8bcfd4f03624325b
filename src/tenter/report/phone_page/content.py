"""What the phone page says, before it is drawn: colours as bands with words, staples, metals, and how sure it is."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.colorimetry.measurement import Colours
from tenter.consultation.hue_families import HueFamily
from tenter.consultation.odds_words import OddsWord
from tenter.consultation.personal.colours import (
    Basis,
    PaletteColour,
    Part,
    PersonalPalette,
    Staple,
    StapleAnswer,
)
from tenter.numerals import listed
from tenter.report.client_paper.result import so_far
from tenter.report.content import ClientCard
from tenter.report.named_result import BY_JUDGEMENT
from tenter.report.swatches import plain_words
from tenter.report.wording import long_date, sentence

# How sure a result is, as the client reads it.
SURE_WORDS = {
    OddsWord.SETTLED: "a clear result",
    OddsWord.FIRM: "a clear result",
    OddsWord.LIKELY: "a likely result, not a certain one",
    OddsWord.LEANING: "where the answers lean; a neighbour is still possible",
    OddsWord.OPEN: "still open",
}
BETWEEN = "You sit between the two. Every colour here was chosen to serve both."
UNFINISHED = "Your sitting is not finished. Some of these colours may change after the next visit."
ASK_TITLE = "Ask about a colour"
ASK_LABEL = "A colour you are looking at"
ASK_HELP = "Type a name, such as navy or mustard, or a hex code, such as #5b7f95."
ASK_BESIDE = "Left: the colour as you named it. Right: the nearest of yours."
HOLD_BESIDE_IT = "Hold your phone beside the cloth, or send your studio a photograph of it beside a colour card."
UNKNOWN = "This page doesn’t know that name."
ALIKE = "Names that it knows are"
OTHERWISE = "Try a plain name, such as coral, navy, olive or cream, or a hex code, such as #5b7f95."
STRIP = "Tap a colour and it fills the screen."
PALER = "stronger in cloth than this screen can show"
HELD_BESIDE = (
    "Turn the screen bright, turn off any warm or night tint, and stand near a window.",
    "Open a colour so that it fills the screen, and hold the phone’s edge against the cloth.",
    "Look at the cloth and the screen from a step away. Ask only two things: is the cloth lighter or darker, and is it "
    "clearer or more muted?",
    "A screen is good for that. It cannot settle whether a cloth is a touch warmer or cooler, because every screen and "
    "every shop lamp tints colours a little. If in doubt, carry the cloth to the door.",
    "A camera would shift the colour once more, so this page takes no photographs. Send one beside a colour card to "
    "your studio, or bring the garment.",
)
_WHERE = {
    StapleAnswer.NEAR: "Yes, near your face too.",
    StapleAnswer.AWAY: "Yes, away from your face: below the waist, bags, shoes.",
}


@dataclass(frozen=True, slots=True)
class Band:
    """One colour as the page shows it: its name, what it looks like in words, and how it is known.

    use: what it is for or called ("your red", "instead of black"), empty for most. hex: the screen's colour, clipped
    where no screen reaches it, and then `shown_truly` is false.
    """

    key: str
    name: str
    use: str
    words: str
    known: str
    hex: str
    shown_truly: bool
    seen: bool


@dataclass(frozen=True, slots=True)
class Block:
    """Colours that belong together, with a heading and a sentence on how to use them."""

    key: str
    title: str
    text: str
    bands: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class StapleLine:
    """A colour that every shop sells, and what the client does about it."""

    name: str
    answer: str
    hex: str


@dataclass(frozen=True, slots=True)
class Shown:
    """A palette's colours as a phone shows them: the strip to hold to a garment, the other blocks, and the staples."""

    strip: Block
    blocks: tuple[Block, ...]
    staples: tuple[StapleLine, ...]

    @property
    def every_block(self) -> tuple[Block, ...]:
        """All blocks, in the order of the page."""
        return (self.strip, *self.blocks)

    def bands(self, key: str) -> tuple[Band, ...]:
        """Return the colours of a block, none where there is no such block."""
        return next((block.bands for block in self.every_block if block.key == key), ())


@dataclass(frozen=True, slots=True)
class PhonePage:
    """Everything that the phone page says."""

    client: str
    made: str
    headline: str
    sure: str
    note: str
    shown: Shown
    metals: str
    missing: tuple[str, ...]
    screens: tuple[str, ...] = HELD_BESIDE


def phone_page(card: ClientCard, palette: PersonalPalette) -> PhonePage:
    """Return what the phone page says of a palette."""
    headline, sure, note = _result(palette)
    return PhonePage(
        client=card.name,
        made=_made(card),
        headline=headline,
        sure=sure,
        note=note,
        shown=shown_on_phone(palette),
        metals=_metals(palette.metals),
        missing=tuple(f"No {m.hue_family} is yours. Wear {m.instead} instead." for m in palette.missing),
    )


def shown_on_phone(palette: PersonalPalette) -> Shown:
    """Return a palette's colours as a phone shows them."""
    bands = _Bands(palette)
    reds = tuple(c for c in palette.of_part(Part.NEAR_FACE, Part.ACCENT) if c.title)
    first = (*reds, *sorted(palette.of_part(Part.WHITE), key=lambda c: not c.title))

    def rest(*parts: Part) -> tuple[PaletteColour, ...]:
        return tuple(c for c in palette.of_part(*parts) if c not in first)

    strip = bands.block("strip", "Hold these to a garment", STRIP, palette.of_part(Part.NEAR_FACE))
    blocks = (
        bands.block("first", _first_title(first), "Look for these before anything else.", first),
        bands.block("neutrals", "Neutrals", "Coats, suits, trousers, bags and shoes.", rest(Part.NEUTRAL)),
        bands.block("accents", "Accents", "Tops, scarves, ties and prints.", rest(Part.ACCENT)),
        bands.block("away", "Away from your face", "Below the waist and in accessories.", rest(Part.AWAY)),
        bands.block("small", "In small areas", "A stripe, a button, a bag.", rest(Part.SMALL)),
        bands.block("borrowed", "Borrowed", "From a neighbouring season, in small amounts.", palette.borrowed),
    )
    return Shown(strip, tuple(b for b in blocks if b.bands), bands.staples(palette.staples))


def _first_title(first: Sequence[PaletteColour]) -> str:
    whites = sum(c.part is Part.WHITE for c in first)
    titles = [c.title for c in first if c.part is not Part.WHITE]
    return sentence(listed([*titles, *(["your white" if whites == 1 else "your whites"] if whites else [])]))


def _made(card: ClientCard) -> str:
    by = listed([who for who in (card.studio, card.consultant) if who.strip()], "·")
    return f"{long_date(card.date)}{f' · {by}' if by else ''}"


def _result(palette: PersonalPalette) -> tuple[str, str, str]:
    """Return the result in a few words, how sure it is, and what follows from that."""
    if not palette.categories:
        return so_far(palette.likeliest, palette.odds_word), "not finished yet", UNFINISHED
    if len(palette.categories) > 1:
        return sentence(f"between {listed(palette.categories)}"), "a border is the answer", BETWEEN
    sure = BY_JUDGEMENT if palette.by_judgement else SURE_WORDS[palette.odds_word]
    return sentence(palette.categories[0]), sure, ""


def _metals(metals: Sequence[PaletteColour]) -> str:
    if not metals:
        return ""
    first, *others = (m.name for m in metals)
    return f"{sentence(first)} first{f', then {listed(others)}' if others else ''}."


class _Bands:
    """Turns colours into bands, numbered as they come, so that each has an address on the page."""

    def __init__(self, palette: PersonalPalette) -> None:
        self._conditions = palette.conditions
        self._count = 0

    def block(self, key: str, title: str, text: str, colours: Sequence[PaletteColour]) -> Block:
        shown, truly = self._on_screen([c.lab for c in colours])
        made = zip(colours, shown, truly, strict=True)
        return Block(key, title, text, tuple(self._band(c, screen, true) for c, screen, true in made))

    def staples(self, staples: Sequence[Staple]) -> tuple[StapleLine, ...]:
        shown, _ = self._on_screen([s.lab for s in staples])
        return tuple(StapleLine(sentence(s.name), _staple(s), h) for s, h in zip(staples, shown, strict=True))

    def _on_screen(self, labs: Sequence[tuple[float, float, float]]) -> tuple[list[str], list[bool]]:
        if not labs:
            return [], []
        return Colours(np.array(labs, dtype=float), self._conditions).on_screen()

    def _band(self, colour: PaletteColour, screen: str, truly: bool) -> Band:
        self._count += 1
        looks = (
            "metal" if colour.hue_family is HueFamily.METAL else plain_words(np.array(colour.lab), colour.hue_family)
        )
        return Band(
            f"c{self._count}",
            sentence(colour.name),
            colour.title,
            looks,
            _known(colour),
            screen,
            truly,
            colour.basis is Basis.SEEN,
        )


def _known(colour: PaletteColour) -> str:
    if colour.chosen:
        return "chosen by your consultant"
    if colour.basis is Basis.SEEN:
        return f"seen on you: {colour.answer}" if colour.answer else "seen on you"
    return "predicted" if colour.basis is Basis.PREDICTED else "by convention"


def _staple(staple: Staple) -> str:
    if staple.answer is StapleAnswer.SWAP:
        if staple.swap_for.lower() == staple.name.lower():
            return f"Not the shop’s: wear the {staple.name} of your own palette."
        return f"Swap it for {staple.swap_for}." if staple.swap_for else "Best kept away from your face."
    return _WHERE[staple.answer]
