"""What is said of a garment, in the words of whoever wears it."""

from collections.abc import Sequence
from dataclasses import dataclass

from tenter.arrays import steady
from tenter.consultation.axes import Axis
from tenter.consultation.colours.borders import HARDLY_DIFFERS
from tenter.consultation.colours.colours import PaletteColour
from tenter.consultation.garments.check import (
    GarmentCheck,
    NearestColour,
    PartCheck,
    Unclear,
    hardly_differs,
    likeliest,
)
from tenter.consultation.garments.gaps import CLOSE
from tenter.consultation.garments.garment import KnownBy
from tenter.consultation.garments.role import GarmentAnswer, Hold
from tenter.consultation.garments.shop_lamp import LAMPS, UnderLamp
from tenter.language import N_, _, all_of, in_a_row, local_number, one_of
from tenter.report.on_screen.garment_off import RIGHT, garment_off_words
from tenter.report.words import terms
from tenter.report.words.wording import sentence, stopped

_SAYS = {
    GarmentAnswer.NEAR_FACE: N_("Yes: wear it near your face."),
    GarmentAnswer.AWAY: N_("Wear it away from your face."),
    GarmentAnswer.SMALL: N_("Yours in small areas: a bag, a belt, part of a print."),
    GarmentAnswer.LEAVE: N_("Best kept away from your face, and small."),
    GarmentAnswer.CANNOT_TELL: N_("This can't be told yet."),
}
_PLACES = {
    GarmentAnswer.NEAR_FACE: N_("near your face"),
    GarmentAnswer.AWAY: N_("away from your face"),
    GarmentAnswer.SMALL: N_("in small areas"),
    GarmentAnswer.LEAVE: N_("hardly at all"),
}
_HELD = {
    Hold.PALETTE: N_("Your palette puts it there."),
    Hold.SEASON: N_("It is still a colour of your season."),
    Hold.PLAIN: N_("Plain black and grey may be worn away from the face by anyone."),
    Hold.WHITE: N_("For a white, only the undertone counts."),
}
_MOVED = {
    Axis.UNDERTONE: (N_("cooler"), N_("warmer")),
    Axis.DEPTH: (N_("darker"), N_("lighter")),
    Axis.CLARITY: (N_("softer"), N_("brighter")),
}
_SURE = {"high": N_("high"), "medium": N_("medium"), "low": N_("low")}
SURE_BY = {
    KnownBy.PHOTO: N_("Confidence from this photo: {level}."),
    KnownBy.NAME: N_("Confidence from the name alone: {level}."),
    KnownBy.READING: N_("Confidence from the reading: {level}."),
    KnownBy.SPECTRUM: N_("Confidence from its spectrum: {level}."),
}
OFF_LINE = N_("{off}.")
TYPICAL = N_("Many shades are sold as {name}. This answer is for a typical one.")
HIGH_FROM, MEDIUM_FROM = 0.9, 0.7  # probability of the role
UNLIKE_FROM = 0.05  # part of a garment from which it is said that nothing is known of it


@dataclass(frozen=True, slots=True)
class GarmentWords:
    """The answer in one line, and what follows from it in sentences."""

    headline: str
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        """The answer and all that follows from it, as one text."""
        return " ".join((self.headline, *self.lines))


def garment_words(check: GarmentCheck, lamp: UnderLamp | None = None) -> GarmentWords:
    """Return what is said of a garment."""
    lines = [
        *_why_not(check),
        _off_line(check),
        rescue_words(check),
        _with(check.goes_with),
        _("Your palette has {colours} instead.", colours=terms.instead(check.instead)) if check.instead else "",
        "" if check.instead else _nearest_line(check.nearest, check.answer),
        _seen_line(check),
        _typical_line(check),
        _unlike_line(check),
        _confidence_line(check),
        *(_part_line(part) for part in check.parts),
        *([lamp_words(lamp, check)] if lamp else []),
        *(() if check.unclear is Unclear.NOT_READ else check.reasons),
    ]
    return GarmentWords(_(_SAYS[check.answer]), tuple(line for line in lines if line))


def wished_away_words(said: Sequence[str]) -> tuple[str, ...]:
    """Return that a colour is left out at the client's wish, and what they said."""
    left_out = _("Left out of your palette at your wish.")
    return tuple(" ".join(filter(None, (left_out, stopped(one)))) for one in said)


def _off_line(check: GarmentCheck) -> str:
    if not check.off:
        return ""
    off = garment_off_words(check.off, check.answer, check.held)
    said = sentence(_(OFF_LINE, off=off)) if off else ""
    return " ".join(filter(None, (said, held_words(check.held) if check.held else "")))


def held_words(hold: Hold) -> str:
    """Return the rule that an answer follows from where it is not the suitability alone."""
    return _(_HELD[hold])


# -- what to do with it --------------------------------------------------------------------------------------------


def rescue_words(check: GarmentCheck) -> str:
    """Return what to put between a garment and the face; empty where nothing is needed or nothing can be said."""
    if check.answer is GarmentAnswer.NEAR_FACE or not check.between:
        return ""
    colours = _names(check.between)
    if check.answer is GarmentAnswer.CANNOT_TELL:
        return _(
            "Until then, put {colours} between it and your face, as a scarf, a collar or a shirt.", colours=colours
        )
    if check.answer is GarmentAnswer.LEAVE:
        return _(
            "If you love it, wear it away from your face with {colours} between it and your face, as a scarf, a collar "
            "or a shirt. Nothing needs to be thrown away.",
            colours=colours,
        )
    return _(
        "If it comes near your face, put {colours} between it and your face, as a scarf, a collar or a shirt.",
        colours=colours,
    )


def _with(colours: Sequence[PaletteColour]) -> str:
    return _("Wear it with {colours}.", colours=_names(colours)) if colours else ""


def _names(colours: Sequence[PaletteColour]) -> str:
    return one_of([terms.colour(colour.name) for colour in colours])


# -- how it is known -----------------------------------------------------------------------------------------------


def _nearest_line(nearest: NearestColour | None, answer: GarmentAnswer) -> str:
    if nearest is None:
        return ""
    name = terms.colour(nearest.colour.name)
    if hardly_differs(nearest, answer):
        return _("It hardly differs from your {colour}.", colour=name)
    if nearest.delta_e <= CLOSE:
        return _("The nearest colour of your palette is {colour}, and it is close to that.", colour=name)
    return _("The nearest colour of your palette is {colour}, and it is well apart from that.", colour=name)


def _seen_line(check: GarmentCheck) -> str:
    seen = check.seen
    if seen is None:
        return ""
    name = sentence(terms.colour(seen.name))
    if not seen.answer:
        return _("{colour} was held on you.", colour=name)
    return _("{colour} was held on you: {answer}.", colour=name, answer=terms.what_was_seen(seen.answer))


def confidence(check: GarmentCheck) -> str | None:
    """Return how sure an answer is: high, medium or low; None where none is given.

    It goes by the error of the colour, and by how much of the garment may have this colour.
    """
    if check.roles is None or check.answer is GarmentAnswer.CANNOT_TELL:
        return None
    chance = steady(check.roles[check.answer] * (1 - check.unlike))
    return "high" if chance >= HIGH_FROM else "medium" if chance >= MEDIUM_FROM else "low"


def _typical_line(check: GarmentCheck) -> str:
    """Return that the answer goes by one of many shades, where a name that is not the palette's own was given."""
    own = check.nearest is not None and steady(check.nearest.delta_e) == 0
    if check.known_by is not KnownBy.NAME or not check.name or own or check.answer is GarmentAnswer.CANNOT_TELL:
        return ""
    return _(TYPICAL, name=terms.in_line(check.name))


def _unlike_line(check: GarmentCheck) -> str:
    """Return that a part of the garment was not read, and how it would be."""
    if check.unlike < UNLIKE_FROM or check.answer is GarmentAnswer.CANNOT_TELL:
        return ""
    share = _("{number} %", number=local_number(100 * check.unlike, 0))
    return _(
        "About {share} of it looks unlike the colour that was read. If it has several colours, have it read as a "
        "print.",
        share=share,
    )


def _confidence_line(check: GarmentCheck) -> str:
    word = confidence(check)
    return confidence_words(word, SURE_BY[check.known_by]) if word else ""


def confidence_words(level: str, by: str) -> str:
    """Return how sure an answer is, by what its colour is known by."""
    return _(by, level=_(_SURE[level]))


def _why_not(check: GarmentCheck) -> tuple[str, ...]:
    if check.unclear is None:
        return ()
    if check.unclear is Unclear.NOT_READ:
        return _("The photo could not be read."), *check.reasons
    places = [_(_PLACES[role]) for role in likeliest(check)]
    if len(places) > 1:
        between = _("It may be worn {places}.", places=one_of(places))
    else:
        between = _("Most likely it is worn {places}.", places=one_of(places))
    if check.unclear is Unclear.NAME_IS_WIDE:
        return (
            _(
                "Many shades are sold as {name}, and they are not all worn alike.",
                name=terms.of_hue_or_colour(check.name),
            ),
            between,
            _("Photograph it in daylight beside a colour card, or read it with an instrument."),
        )
    if check.known_by is not KnownBy.PHOTO:
        return _("Its colour is on the border between two answers."), between, _("Hold it on and look.")
    return (
        _("The photo leaves its colour too unsure."),
        between,
        _("Photograph it again in daylight by a window, flat, with the card lying on it; or hold it on and look."),
    )


# -- prints and lamps ----------------------------------------------------------------------------------------------


def _part_line(part: PartCheck) -> str:
    told = _("can't be told") if part.answer is GarmentAnswer.CANNOT_TELL else _(_PLACES[part.answer])
    values = {"share": _("{number} %", number=local_number(100 * part.area, 0)), "where": told}
    if part.nearest and part.nearest.delta_e <= CLOSE:
        name = terms.colour(part.nearest.colour.name)
        said = _("{share} of the print is like {colour}: by itself {where}.", colour=name, **values)
    else:
        said = _("{share} of the print is not in your palette: by itself {where}.", **values)
    return said if part.near_face else " ".join((said, _("It is not near your face.")))


def lamp_words(lamp: UnderLamp, check: GarmentCheck) -> str:
    """Return what is said of a garment under a lamp, or why nothing is."""
    if not lamp.illuminant:
        return _(
            "No spectrum is stored of a lamp called {lamp}, so how it looks there can't be told. Take it to the "
            "window, or name one of {known}, or a CIE illuminant.",
            lamp=lamp.lamp,
            known=in_a_row(sorted(LAMPS)),
        )
    if lamp.delta_e is None or lamp.moves is None:
        return _(
            "How it looks under {lamp} can't be told: its colour in daylight is known, but not its spectrum. Take it "
            "to the window.",
            lamp=lamp.illuminant,
        )
    moved = [_(_MOVED[axis][lamp.moves[axis] > 0]) for axis in Axis if steady(abs(lamp.moves[axis])) >= RIGHT]
    values = {"lamp": lamp.illuminant, "delta_e": local_number(lamp.delta_e, 1)}
    if moved:
        said = _("Under {lamp} it looks {changed} (ΔE00 {delta_e} from daylight).", changed=all_of(moved), **values)
    elif lamp.delta_e > HARDLY_DIFFERS:
        said = _(
            "Under {lamp} it has another shade, and is about as warm, light and bright (ΔE00 {delta_e} from daylight).",
            **values,
        )
    else:
        said = _("Under {lamp} it looks much the same (ΔE00 {delta_e} from daylight).", **values)
    other = lamp.role is not None and check.answer not in (lamp.role, GarmentAnswer.CANNOT_TELL)
    return " ".join((said, _("In that light the answer would be different. Judge it in daylight."))) if other else said
