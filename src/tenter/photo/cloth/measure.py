"""The way in: a photograph's path to the colour of a cloth or a print, with its interval."""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.measurement import D65_2
from tenter.errors import TenterError
from tenter.language import N_, _
from tenter.measured.basis import CalibrationBasis
from tenter.photo.card.finding import ChartFinding
from tenter.photo.cards import CardChoice, CardSearch, ChartKind, choice_of, look_for_card
from tenter.photo.cloth.colour import ClothCode, ClothColour, ClothReason, cloth_pixels, read_cloth
from tenter.photo.cloth.print_palette import PrintColour, print_palette
from tenter.photo.cloth.rack_lattice import look_at_wall
from tenter.photo.cloth.region import find_cloth, outline_mask, outline_of
from tenter.photo.cloth.strong_colour import LOST_FROM
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import Correction
from tenter.photo.reasons import Code, Reason

# Of what is said of a card, this spoils a face and not a cloth.
_HARMLESS = frozenset({Code.MIRRORED})
_LIGHT_DOUBT = 0.1  # of the light, as a share, where the card is in doubt
_FILLS = 0.95  # of the picture's width and height: what reaches so far may be the wall


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothFinding(ABC):
    """What one cloth and a rack of them share: what is said of the card and of the cloth, and what colours rest on."""

    card_reasons: tuple[Reason, ...]
    reasons: tuple[ClothReason, ...]
    basis: CalibrationBasis
    chart: ChartFinding

    @property
    @abstractmethod
    def accepted(self) -> bool:
        """Whether any colour is stated."""

    @property
    def texts(self) -> tuple[str, ...]:
        """What is to be said, in plain words."""
        return (*(reason.text for reason in self.card_reasons), *(reason.text for reason in self.reasons))

    def head(self) -> dict[str, Any]:
        """Return what the JSON of either begins with."""
        said = [{"code": str(reason.code), "text": reason.text} for reason in self.card_reasons]
        return {
            "accepted": self.accepted,
            "reasons": [*said, *(reason.to_json() for reason in self.reasons)],
            "basis": str(self.basis),
            "illuminant": D65_2.illuminant,
            "observer": str(D65_2.observer),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothMeasurement(ClothFinding):
    """One cloth in one photograph. outline_px: (n, 2) in pixels of the upright original, where it was read."""

    cloth: ClothColour | None
    palette: tuple[PrintColour, ...]
    outline_px: FloatArray | None

    @property
    def accepted(self) -> bool:
        """Whether a colour, or the colours of a print, were read."""
        return self.cloth is not None or bool(self.palette)

    def to_json(self) -> dict[str, Any]:
        """Return the object of docs/studies/photo-study.md, ready for `json.dumps`."""
        return {
            **self.head(),
            "cloth": None if self.cloth is None else self.cloth.to_json(),
            "palette": [colour.to_json() for colour in self.palette] or None,
            "outline_px": None if self.outline_px is None else np.round(self.outline_px, 1).tolist(),
            "chart": self.chart.to_json(),
        }


def require_card(chart: ChartKind | CardChoice) -> CardChoice:
    """Return the choice of a card, whole; raise `TenterError` where there is nothing to calibrate by."""
    choice = choice_of(chart)
    if choice.kind is ChartKind.NONE:
        raise TenterError(
            _(
                "a cloth's colour needs a card in the picture, and chart 'none' came; lay a 24-patch card "
                "beside the cloth, in its light, and use --chart classic24"
            )
        )
    return choice


def said_of_card(card: CardSearch) -> tuple[Reason, ...]:
    """Return what is to be said of a card beside a cloth."""
    return tuple(reason for reason in card.reasons if reason.code not in _HARMLESS)


def usable_correction(card: CardSearch) -> Correction | None:
    """Return what a card makes of cloths; None where it says nothing of their colours."""
    refused = any(reason.refuses for reason in said_of_card(card))
    if refused or card.correction is None or card.correction.basis is CalibrationBasis.RELATIVE:
        return None
    return card.correction


def light_doubt(card: CardSearch) -> float:
    """Return the 90 % half-width of the logarithm of light that is added for what is odd about the card's light."""
    return _LIGHT_DOUBT if any(reason.widens for reason in said_of_card(card)) else 0.0


def measure_cloth(
    photo: Photo,
    chart: ChartKind | CardChoice = ChartKind.CLASSIC24,
    outline: FloatArray | None = None,
    as_print: bool = False,
    strong: bool = False,
) -> ClothMeasurement:
    """Return the colour of a cloth, or of a print's few colours.

    Parameters
    ----------
    outline : (n, 2), optional
        Around the cloth, in pixels of the upright original. Without it the largest region of one colour beside the
        card is read, and that is said.
    strong
        Whether a colour stronger than the picture can hold is estimated, with a wide interval, and that is said; else
        it is refused.

    Raises
    ------
    TenterError
        If there is no card to go by, or the outline leaves the picture.
    """
    choice = require_card(chart)
    given = None if outline is None else outline_mask(photo, outline)
    card = look_for_card(photo, choice)
    correction = usable_correction(card)
    if correction is None:
        return _nothing_read(card, (), CalibrationBasis.RELATIVE, outline)
    mask = _looked_for(photo, correction, card, as_print) if given is None else given
    if mask is None:
        return _nothing_read(card, (ClothReason(ClothCode.NOT_FOUND, _(_NOT_FOUND)),), correction.basis, None)
    where = outline_of(mask, photo.reduction) if outline is None else outline
    notes = (_chosen(where, photo, as_print),) if outline is None else ()
    colour, palette, said = _read(photo, mask, correction, as_print, light_doubt(card), strong)
    return ClothMeasurement(
        card_reasons=said_of_card(card),
        reasons=(*said, *notes),
        basis=correction.basis,
        chart=card.finding,
        cloth=colour,
        palette=palette,
        outline_px=where,
    )


def _looked_for(photo: Photo, correction: Correction, card: CardSearch, as_print: bool) -> BoolArray | None:
    """Return the pixels (height, width) of what is likely meant: a region of one colour, or a print as a whole."""
    if as_print:
        return look_at_wall(photo, correction, card.finding.corners_px).largest(photo.rgb.shape)
    return find_cloth(photo, correction, card.finding.corners_px)


def _nothing_read(
    card: CardSearch, reasons: tuple[ClothReason, ...], basis: CalibrationBasis, outline: FloatArray | None
) -> ClothMeasurement:
    return ClothMeasurement(
        card_reasons=said_of_card(card),
        reasons=reasons,
        basis=basis,
        chart=card.finding,
        cloth=None,
        palette=(),
        outline_px=outline,
    )


def _read(
    photo: Photo, mask: BoolArray, correction: Correction, as_print: bool, light_error: float, strong: bool
) -> tuple[ClothColour | None, tuple[PrintColour, ...], tuple[ClothReason, ...]]:
    pixels = cloth_pixels(photo, mask, correction)
    if as_print:
        palette = print_palette(photo, mask, correction)
        return None, palette, () if palette else (ClothReason(ClothCode.SMALL, _(_TOO_SMALL_FOR_A_PRINT)),)
    found = read_cloth(pixels, correction, light_error=light_error, strong=strong)
    if isinstance(found, ClothReason):
        return None, (), (found,)
    return found, (), (ClothReason(ClothCode.VIVID, _(_BEYOND)),) if pixels.lost > LOST_FROM else ()


_NOT_FOUND = N_("No cloth was found beside the card. Say where the cloth is with --at X,Y,WIDTH,HEIGHT in pixels.")
_BEYOND = N_(
    "The colour is stronger than the picture can hold, so its strength is estimated. A photo in daylight with the "
    "white balance set to daylight, a little lighter, tells more."
)
_TOO_SMALL_FOR_A_PRINT = N_(
    "The print is too small, or overexposed, to be read. Come closer, or outline a larger part of it."
)
_A_PRINT = N_("If it is a print, ask for all its colours with --print.")
# By what was chosen.
_READ_FROM = {
    "picture": N_(
        "Read from what fills the picture beside the card, {left},{top} to {right},{bottom}. If that is not the cloth, "
        "say where it is with --at."
    ),
    "print": N_(
        "Read from the largest thing that stands out from the wall beside the card, {left},{top} to {right},{bottom}. "
        "If that is not the cloth, say where it is with --at."
    ),
    "region": N_(
        "Read from the largest region of one colour beside the card, {left},{top} to {right},{bottom}. If that is not "
        "the cloth, say where it is with --at."
    ),
}


def _chosen(outline: FloatArray, photo: Photo, as_print: bool) -> ClothReason:
    (left, top), (right, bottom) = outline.min(axis=0), outline.max(axis=0)
    height, width = (side * photo.reduction for side in photo.rgb.shape[:2])
    if min((right - left) / width, (bottom - top) / height) >= _FILLS:
        chosen = "picture"
    else:
        chosen = "print" if as_print else "region"
    ends = {"left": left, "top": top, "right": right, "bottom": bottom}
    said = _(_READ_FROM[chosen], **{name: f"{end:.0f}" for name, end in ends.items()})
    return ClothReason(ClothCode.CHOSEN, said if as_print else f"{said} {_(_A_PRINT)}")
