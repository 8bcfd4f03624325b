"""What the phone page says, before it is drawn: colours as bands with words, staples, metals, and how sure it is."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.colorimetry.measurement import Colours
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Basis, PaletteColour, Part, PersonalPalette, Staple, StapleAnswer
from tenter.consultation.words.odds_words import OddsWord
from tenter.language import N_, _, all_of, long_date, ngettext
from tenter.numerals import listed
from tenter.report.client_paper.result import border_words, so_far
from tenter.report.reading.content import ClientCard
from tenter.report.reading.named_result import BY_JUDGEMENT
from tenter.report.words import terms
from tenter.report.words.palette_words import THINGS_AWAY, basis_words, worn_instead
from tenter.report.words.swatches import plain_words
from tenter.report.words.wording import sentence, stopped

# How sure a result is, as the client reads it.
SURE_WORDS = {
    OddsWord.SETTLED: N_("a clear result"),
    OddsWord.FIRM: N_("a clear result"),
    OddsWord.LIKELY: N_("a likely result, not a certain one"),
    OddsWord.LEANING: N_("where the answers lean; a neighbour is still possible"),
    OddsWord.OPEN: N_("still open"),
}
BETWEEN = N_("You sit between the two. Every colour here was chosen to serve both.")
UNFINISHED = N_("Your sitting is not finished. Some of these colours may change after the next visit.")
ASK_TITLE = N_("Ask about a colour")
ASK_LABEL = N_("A colour you are looking at")
ASK_HELP = N_("Type a name, such as navy or mustard, or a hex code, such as #5b7f95.")
ASK_BESIDE = N_("Left: the colour as you named it. Right: the nearest of yours.")
HOLD_BESIDE_IT = N_("Hold your phone beside the cloth, or send your studio a photograph of it beside a colour card.")
UNKNOWN = N_("This page doesn’t know that name.")
ALIKE = N_("Names that it knows are {names}.")
OTHERWISE = N_("Try a plain name, such as coral, navy, olive or cream, or a hex code, such as #5b7f95.")
STRIP = N_("Tap a colour and it fills the screen.")
PALER = N_("stronger in cloth than this screen can show")
HELD_BESIDE = (
    N_("Turn the screen bright, turn off any warm or night tint, and stand near a window."),
    N_("Open a colour so that it fills the screen, and hold the phone’s edge against the cloth."),
    N_(
        "Look at the cloth and the screen from a step away. Ask only two things: is the cloth lighter or darker, and "
        "is it clearer or more muted?"
    ),
    N_(
        "A screen is good for that. It cannot settle whether a cloth is a touch warmer or cooler, because every screen "
        "and every shop lamp tints colours a little. If in doubt, carry the cloth to the door."
    ),
    N_(
        "A camera would shift the colour once more, so this page takes no photographs. Send one beside a colour card "
        "to your studio, or bring the garment."
    ),
)
# Some of them suit well enough to be worn near the face, and some do not.
_ACCENTS = N_("Jackets, skirts, bags and prints. Before you wear one near your face, hold it there and look.")
_WHERE = {
    StapleAnswer.NEAR: N_("Yes, near your face too."),
    StapleAnswer.AWAY: N_("Yes, away from your face: {things}."),
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

    @property
    def use_beside_name(self) -> str:
        """What it is for, to be read beside the name: empty where that only repeats it, as "your navy" of navy."""
        return "" if self.name.casefold() in self.use.casefold().split() else self.use


@dataclass(frozen=True, slots=True)
class Block:
    """Colours that belong together, with a heading and a sentence on how to use them."""

    key: str
    title: str
    text: str
    bands: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class PhoneStaple:
    """A colour that every shop sells, and what the client does about it."""

    name: str
    answer: str
    hex: str


@dataclass(frozen=True, slots=True)
class PhoneColours:
    """A palette's colours as a phone shows them: the strip to hold to a garment, the other blocks, and the staples."""

    strip: Block
    blocks: tuple[Block, ...]
    staples: tuple[PhoneStaple, ...]

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
    shown: PhoneColours
    metals: str
    missing: tuple[str, ...]
    screens: tuple[str, ...]


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
        missing=worn_instead(palette.missing),
        screens=tuple(map(_, HELD_BESIDE)),
    )


def shown_on_phone(palette: PersonalPalette) -> PhoneColours:
    """Return a palette's colours as a phone shows them."""
    bands = _Bands(palette)
    reds = tuple(c for c in palette.of_part(Part.NEAR_FACE, Part.ACCENT) if c.title)
    first = (*reds, *sorted(palette.of_part(Part.WHITE), key=lambda c: not c.title))

    def rest(*parts: Part) -> tuple[PaletteColour, ...]:
        return tuple(c for c in palette.of_part(*parts) if c not in first)

    strip = bands.block("strip", _("Hold these to a garment"), _(STRIP), palette.of_part(Part.NEAR_FACE))
    blocks = (
        bands.block("first", _first_title(first), _("Worth looking for in a shop."), first),
        bands.block("neutrals", _("Neutrals"), _("Coats, suits, trousers, bags and shoes."), rest(Part.NEUTRAL)),
        bands.block("accents", _("Accents"), _(_ACCENTS), rest(Part.ACCENT)),
        bands.block("away", _("Away from your face"), stopped(sentence(_(THINGS_AWAY))), rest(Part.AWAY)),
        bands.block("small", _("In small areas"), _("A stripe, a button, a bag."), rest(Part.SMALL)),
        bands.block("borrowed", _("Borrowed"), _("From a neighbouring season, in small areas."), palette.borrowed),
    )
    return PhoneColours(strip, tuple(b for b in blocks if b.bands), bands.staples(palette.staples))


def _first_title(first: Sequence[PaletteColour]) -> str:
    whites = sum(c.part is Part.WHITE for c in first)
    titles = [terms.title(c.title) for c in first if c.part is not Part.WHITE]
    if whites:
        titles.append(ngettext("your white", "your whites", whites))
    return sentence(all_of(titles))


def _made(card: ClientCard) -> str:
    by = listed([who for who in (card.studio, card.consultant) if who.strip()], "·")
    return f"{long_date(card.date)}{f' · {by}' if by else ''}"


def _result(palette: PersonalPalette) -> tuple[str, str, str]:
    """Return the result in a few words, how sure it is, and what follows from that."""
    if not palette.categories:
        return so_far(palette.likeliest, palette.odds_word), _("not finished yet"), _(UNFINISHED)
    if len(palette.categories) > 1:
        return border_words(*palette.categories), _("a border is the answer"), _(BETWEEN)
    sure = BY_JUDGEMENT if palette.by_judgement else SURE_WORDS[palette.odds_word]
    return sentence(terms.season(palette.categories[0])), _(sure), ""


def _metals(metals: Sequence[PaletteColour]) -> str:
    if not metals:
        return ""
    return sentence(_("{metals}.", metals=all_of([terms.colour(m.name) for m in metals])))


class _Bands:
    """Turns colours into bands, numbered as they come, so that each has an address on the page."""

    def __init__(self, palette: PersonalPalette) -> None:
        self._conditions = palette.conditions
        self._count = 0

    def block(self, key: str, title: str, text: str, colours: Sequence[PaletteColour]) -> Block:
        shown, truly = self._on_screen([c.lab for c in colours])
        made = zip(colours, shown, truly, strict=True)
        return Block(key, title, text, tuple(self._band(c, screen, true) for c, screen, true in made))

    def staples(self, staples: Sequence[Staple]) -> tuple[PhoneStaple, ...]:
        shown, _truly = self._on_screen([s.lab for s in staples])
        return tuple(
            PhoneStaple(sentence(terms.colour(s.name)), _staple(s), h) for s, h in zip(staples, shown, strict=True)
        )

    def _on_screen(self, labs: Sequence[tuple[float, float, float]]) -> tuple[list[str], list[bool]]:
        if not labs:
            return [], []
        return Colours(np.array(labs, dtype=float), self._conditions).on_screen()

    def _band(self, colour: PaletteColour, screen: str, truly: bool) -> Band:
        self._count += 1
        looks = (
            terms.hue(HueFamily.METAL)
            if colour.hue_family is HueFamily.METAL
            else plain_words(np.array(colour.lab), colour.hue_family)
        )
        return Band(
            f"c{self._count}",
            sentence(terms.colour(colour.name)),
            terms.title(colour.title),
            looks,
            _known(colour),
            screen,
            truly,
            colour.basis is Basis.SEEN,
        )


def _known(colour: PaletteColour) -> str:
    if colour.basis is Basis.SEEN and colour.answer and not colour.chosen:
        return _("seen on you: {answer}", answer=terms.what_was_seen(colour.answer))
    return basis_words(colour)


def _staple(staple: Staple) -> str:
    if staple.answer is StapleAnswer.SWAP:
        if staple.has_own_shade:
            return _("Not the shop’s: wear the {colour} of your own palette.", colour=terms.colour(staple.name))
        if not staple.swap_for:
            return _("Best kept away from your face.")
        return _("Swap it for {colour}.", colour=terms.colour(staple.swap_for))
    return _(_WHERE[staple.answer], things=_(THINGS_AWAY))
