"""A measured face: its colours with their intervals, and the contrast that follows from them."""

from dataclasses import dataclass

import numpy as np

from tenter.colorimetry.measurement import Colours
from tenter.consultation.contrast import Contrast
from tenter.consultation.face import Face
from tenter.report.marks import Mark, Statement
from tenter.report.wording import plain_number

_SIDES = ("left", "right")


@dataclass(frozen=True, slots=True)
class RegionLine:
    """One region's colour and its 90 % interval on each axis, ready to print."""

    name: str
    hex: str
    shown_truly: bool
    values: tuple[str, ...]
    intervals: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaceColours:
    """The regions and what follows from them; no regions where no face was measured."""

    regions: tuple[RegionLine, ...]
    statements: tuple[Statement, ...]


def face_colours(face: Face | None, contrast: Contrast | None, best_white: str | None) -> FaceColours:
    """Return what is said of a measured face, or that none was."""
    if face is None:
        return FaceColours((), (Statement("No face was measured, so nothing here rests on one.", Mark.MEASURED),))
    return FaceColours(_regions(face), (*_contrast(contrast, best_white), _conditions(face)))


def region_name(region: str) -> str:
    """Return 'cheek_left' as 'left cheek', the person's own left."""
    words = region.replace("_", " ").split()
    sides = [w for w in words if w in _SIDES]
    return " ".join([*sides, *(w for w in words if w not in _SIDES)])


def _regions(face: Face) -> tuple[RegionLine, ...]:
    lab = np.array([region.lab for region in face.regions.values()])
    shown, truly = Colours(lab, face.conditions).on_screen()
    return tuple(
        RegionLine(
            name=region_name(name),
            hex=screen,
            shown_truly=in_gamut,
            values=tuple(plain_number(v) for v in region.lab),
            intervals=tuple(f"{plain_number(low)} to {plain_number(high)}" for low, high in region.interval_90),
        )
        for (name, region), screen, in_gamut in zip(face.regions.items(), shown, truly, strict=True)
    )


def _contrast(contrast: Contrast | None, best_white: str | None) -> list[Statement]:
    if contrast is None:
        text = "Neither hair nor irises could be measured, so no contrast is stated."
        return [Statement(text, Mark.MEASURED)]
    feature = region_name(contrast.feature)
    step = (
        f"Contrast: {contrast.level}. Between the skin (L* {contrast.skin_lightness:.0f}) and the darkest feature "
        f"({feature}) lie {contrast.step:.0f} steps of L*."
    )
    white = f" Of this kit's whites, {best_white} goes with it best." if best_white else ""
    return [
        Statement(step, Mark.MEASURED),
        Statement(f"Wear light and dark with about that much between them.{white}", Mark.CUSTOM),
    ]


def _conditions(face: Face) -> Statement:
    ita = ""
    if face.ita_degrees is not None:
        ita = f" Individual typology angle (ITA) of the skin: {plain_number(face.ita_degrees)}°."
    several = f"{face.photographs} photographs, measured together," if face.photographs > 1 else "a photograph"
    return Statement(
        f"Read from {several} beside a card, as under {face.conditions}, with 90 % intervals: L* runs from dark to "
        f"light, a* from green to red, b* from blue to yellow.{ita} None of it decided the season.",
        Mark.MEASURED,
    )
