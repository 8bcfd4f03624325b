"""What is read of one real photograph of a card: acceptance, hidden skin patches, and what repeats in a scene.

No spectral truth exists for such photographs. A patch that the fit has not seen, read as skin is read, is held against
the figures published for the card; the same places of one scene, photographed anew, are held against one another.
"""

import json
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import SRGB_TO_XYZ, xyz_to_lab
from tenter.photo.card.calibration import Calibration, calibrate
from tenter.photo.cards import CardChoice, look_for_card
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.patches.chart import ChartReading, find_chart
from tenter.photo.patches.correction import D65_WHITE, Correction
from tenter.photo.patches.reference import CLASSIC_GRID, CardReference, CardValues, classic24
from tenter.photo.reasons import Code
from tenter.photo.regions.reading import RegionReading, read_colour
from tenter.photo.regions.regions import Region, RegionPixels

PHOTOS = Path(__file__).parents[2] / "tests" / "data" / "real_chart_photos"
SKIN_PATCHES = {"dark skin": 0, "light skin": 1}
_HALF = 0.2  # of a pitch: half the side of the square that is read in a patch, or on the paper
_PAPER = ((3.0, -0.75), (3.0, 4.75), (-0.75, 2.0), (6.75, 2.0))  # beside the frame, in pitches from the card's corner
_CLIPPED, _CLIPPED_PART = 250 / 255, 0.02


@dataclass(frozen=True)
class Wanted:
    """An entry of a manifest.json: which card it shows (its source, where none is named), and what should become of it.

    kind: "whole" where the card should be accepted; else "cut", "covered" or "copied".
    """

    path: Path
    card: str
    kind: str

    @property
    def scene(self) -> str:
        """The name of the file without its number."""
        return self.path.stem.rsplit("-", 1)[0]


def wanted_of(folder: Path) -> list[Wanted]:
    """Return what the manifest.json of a folder lists."""
    entries = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    return [Wanted(folder / one["file"], str(one.get("card") or one["source"]), _kind(one)) for one in entries]


def _kind(entry: dict[str, Any]) -> str:
    said = str(entry["by_eye"]).lower()
    if said.startswith("accept"):
        return "whole"
    return next((kind for kind, sign in (("cut", "cut"), ("copied", "cop")) if sign in said), "covered")


@dataclass(frozen=True)
class Seen:
    """One colour read in a photograph: the Lab (3,), its 90 % half-widths (3,), and what it should be, or None."""

    name: str
    lab: FloatArray
    half_width: FloatArray
    published: FloatArray | None = None

    @property
    def error(self) -> float:
        return float("nan") if self.published is None else float(delta_e_2000(self.lab, self.published))

    @property
    def inside(self) -> FloatArray:
        """Whether L*, a*, b* (3,) lie within their intervals."""
        return np.abs(self.lab - self.published) <= self.half_width


@dataclass(frozen=True)
class RealPhoto:
    """One photograph, what became of its card, and what is read of it: `hidden` by the name of a set of figures."""

    wanted: Wanted
    found: bool
    refused_for: tuple[str, ...]
    notes: tuple[str, ...]
    errors: FloatArray | None
    tone: tuple[float, float] | None
    hidden: dict[str, tuple[Seen, ...]]
    places: tuple[Seen, ...]

    @property
    def accepted(self) -> bool:
        return self.found and not self.refused_for

    @property
    def clipped(self) -> bool:
        return str(Code.CHART_CLIPPED) in self.refused_for


@dataclass(frozen=True)
class CardInPicture:
    """A photograph with its card the right way up, and what is said of it: the correction with all its doubts."""

    photo: Photo
    reading: ChartReading
    said: Correction

    @cached_property
    def to_picture(self) -> FloatArray:
        """The homography from pitches to pixels."""
        corners = np.array(
            [[0, 0], [CLASSIC_GRID.columns, 0], [CLASSIC_GRID.columns, CLASSIC_GRID.rows], [0, CLASSIC_GRID.rows]],
            dtype=np.float32,
        )
        found: FloatArray = cv2.getPerspectiveTransform(corners, self.reading.corners_px.astype(np.float32))
        return found

    def square(self, middle: tuple[float, float]) -> FloatArray | None:
        """Return the code values (n, 3) of a small square, in pitches; None where it leaves the picture or is white."""
        quad = np.array([middle]) + _HALF * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        quad = cv2.perspectiveTransform(quad[None], self.to_picture)[0]
        height, width = self.photo.rgb.shape[:2]
        if (quad < 0).any() or (quad > (width - 1, height - 1)).any():
            return None
        mask = np.zeros((height, width), dtype=np.uint8)
        cv2.fillConvexPoly(mask, np.round(quad).astype(np.int32), 1)
        code = self.photo.code(mask > 0)
        clipped = (code >= _CLIPPED).any(axis=1).mean() > _CLIPPED_PART
        return None if clipped else code

    def without(self, patch: int | None, values: CardValues) -> Calibration | None:
        """Return the calibration by all other patches."""
        hidden = self.reading.clipped.copy()
        if patch is not None:
            hidden[patch] = True
        return calibrate(classic24(values), (replace(self.reading, clipped=hidden),), self.photo)

    def by(self, calibration: Calibration) -> Correction:
        """Return the correction of another fit of this card, with the doubts that were said of the card."""
        fit = calibration.correction
        return replace(self.said, tone=fit.tone, for_dyes=fit.for_dyes, for_skin=fit.for_skin, error=fit.error)


def look(wanted: Wanted, values: CardValues = CardValues.MEAN_OF_30) -> RealPhoto:
    """Return what becomes of one photograph; `values`: the figures it is calibrated by, as for a face."""
    photo = load_photo(wanted.path)
    search = look_for_card(photo, CardChoice(values=values))
    codes = {refuses: tuple(str(r.code) for r in search.reasons if r.refuses is refuses) for refuses in (True, False)}
    found = find_chart(photo) if search.finding.corners_px is not None else None
    calibration = found and calibrate(classic24(values), (found, found.turned_half()), photo)
    if not calibration or search.correction is None:
        return RealPhoto(wanted, found is not None, codes[True], codes[False], None, None, {}, ())
    card = CardInPicture(photo, calibration.reading, search.correction)
    whole = wanted.kind == "whole"
    return RealPhoto(
        wanted,
        True,
        codes[True],
        codes[False],
        calibration.leave_one_out.delta_e_2000,
        (calibration.tone.contrast, calibration.tone.lift),
        {str(one): _hidden(card, one) for one in _figures(values)} if whole else {},
        _places(card, calibration.card) if whole else (),
    )


def _figures(values: CardValues) -> tuple[CardValues, ...]:
    return tuple(dict.fromkeys((values, CardValues.MEAN_OF_30, CardValues.FROM_2014_11)))


def _hidden(card: CardInPicture, values: CardValues) -> tuple[Seen, ...]:
    """Return the skin patches, each read as skin by a calibration that has not seen it.

    The light that the card itself shows on the patch is taken out, so that the published figure is what it should be.
    """
    seen = []
    for name, patch in SKIN_PATCHES.items():
        code, calibration = card.square(_middle(patch)), card.without(patch, values)
        if code is None or calibration is None or card.reading.clipped[patch]:
            continue
        read, reference = _read(code, card.by(calibration), Region.CHEEK_LEFT), calibration.card
        from_white = card.reading.centres_px[patch] - card.reading.centres_px[reference.white]
        half_diagonal = np.linalg.norm(card.reading.corners_px[0] - card.reading.corners_px[2]) / 2
        light = float(from_white / half_diagonal @ calibration.gradient)
        light += 0.0 if calibration.light is None else float(calibration.light.log_light[patch])
        linear = calibration.tone.linear(code).mean(axis=0) * np.exp(-light)
        lab = xyz_to_lab(calibration.for_skin.xyz(linear), D65_WHITE)
        seen.append(Seen(name, lab, read.half_width_90, xyz_to_lab(reference.xyz[patch], D65_WHITE)))
    return tuple(seen)


def _places(card: CardInPicture, reference: CardReference) -> tuple[Seen, ...]:
    """Return every patch and four places beside the card, read as a cloth or hair is, in the light that lies there."""
    names = [*reference.names, *(f"paper {k}" for k in range(len(_PAPER)))]
    middles = [*(_middle(k) for k in range(len(reference.names))), *_PAPER]
    seen = []
    for name, middle in zip(names, middles, strict=True):
        code = card.square(middle)
        if code is not None:
            read = _read(code, card.said, Region.HAIR)
            seen.append(Seen(name, read.lab, read.half_width_90))
    return tuple(seen)


def _middle(patch: int) -> tuple[float, float]:
    column, row = CLASSIC_GRID.cells[patch]
    return column + 0.5, row + 0.5


def _read(code: FloatArray, correction: Correction, region: Region) -> RegionReading:
    luminance = np.maximum(correction.tone.linear(code) @ SRGB_TO_XYZ[1], 1e-4)
    return read_colour(RegionPixels(region, code, None, False, float(np.log(luminance).std())), correction)
