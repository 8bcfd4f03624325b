"""A measured face: its colours with their intervals, and the contrast that follows from them."""

from dataclasses import dataclass

import numpy as np

from tenter.colorimetry.measurement import Colours
from tenter.consultation.client.contrast import Contrast
from tenter.consultation.client.face import Face
from tenter.language import _, all_of, local_number, ngettext
from tenter.report.words import terms
from tenter.report.words.marks import Mark, Statement
from tenter.report.words.wording import plain_number

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


def face_colours(
    face: Face | None, contrast: Contrast | None, best_white: str | None, lends_hint: bool = False
) -> FaceColours:
    """Return what is said of a measured face, or that none was.

    best_white: its name, None where the kit has none. lends_hint: its hue was let speak of undertone.
    """
    if face is None:
        return FaceColours((), (Statement(_("No face was measured, so nothing here depends on one."), Mark.MEASURED),))
    said = (*_contrast(contrast, best_white), _conditions(face), *_typology(face), _decided(lends_hint))
    return FaceColours(_regions(face), said)


def region_name(region: str) -> str:
    """Return 'cheek_left' as 'left cheek', the person's own left, in the language that is written."""
    words = region.replace("_", " ").split()
    sides = [w for w in words if w in _SIDES]
    return terms.feature(" ".join([*sides, *(w for w in words if w not in _SIDES)]))


def _regions(face: Face) -> tuple[RegionLine, ...]:
    lab = np.array([region.lab for region in face.regions.values()])
    shown, truly = Colours(lab, face.conditions).on_screen()
    return tuple(
        RegionLine(
            name=region_name(name),
            hex=screen,
            shown_truly=in_gamut,
            values=tuple(plain_number(v) for v in region.lab),
            intervals=tuple(_between(within) for within in region.interval_90),
        )
        for (name, region), screen, in_gamut in zip(face.regions.items(), shown, truly, strict=True)
    )


def _contrast(contrast: Contrast | None, best_white: str | None) -> list[Statement]:
    if contrast is None:
        text = _("Neither hair nor irises could be measured, so no contrast is stated.")
        return [Statement(text, Mark.MEASURED)]
    others = [terms.contrast_words(level) for level in contrast.levels if level is not contrast.level]
    level = {"level": terms.contrast_words(contrast.level)}
    told = (
        _("Contrast: {level}, though its interval allows {others}.", others=all_of(others), **level)
        if others
        else _("Contrast: {level}.", **level)
    )
    step = _(
        "From the skin (L* {skin}, 90 % interval {skin_interval}) to the darkest feature ({feature}) it is {step} "
        "steps of L* ({interval}).",
        skin=local_number(contrast.skin_lightness, 0),
        skin_interval=_between(contrast.skin_lightness_90),
        feature=region_name(contrast.feature),
        step=local_number(contrast.step, 0),
        interval=_between(contrast.step_90),
    )
    wear = [_("Wear light and dark with about that much between them.")]
    if best_white:
        wear.append(_("Of this kit's whites, {white} goes with it best.", white=best_white))
    return [Statement(f"{told} {step}", Mark.MEASURED), Statement(" ".join(wear), Mark.CUSTOM)]


def _conditions(face: Face) -> Statement:
    axes = _(
        "L* runs from dark to light, a* from green to red, b* from blue to yellow. Shading and gloss are part of these "
        "colours: they are what the camera saw, not the skin's pigment."
    )
    read = ngettext(
        "Read from a photograph beside a card, as under {conditions}, with 90 % intervals: {axes}",
        "Read from {count} photographs, measured together, beside a card, as under {conditions}, with 90 % intervals: "
        "{axes}",
        face.photographs,
        conditions=face.conditions,
        axes=axes,
    )
    return Statement(read, Mark.MEASURED)


def _typology(face: Face) -> list[Statement]:
    if face.ita_degrees is None:
        return []
    within = face.ita_interval_90
    values = {"angle": plain_number(face.ita_degrees), "conditions": face.conditions}
    if within:
        told = _(
            "Individual typology angle (ITA) of the skin: {angle}° (90 % interval {interval}°), as under {conditions}.",
            interval=_between(within),
            **values,
        )
    else:
        told = _(
            "Individual typology angle (ITA) of the skin: {angle}° (its interval was not kept), as under {conditions}.",
            **values,
        )
    return [Statement(told, Mark.MEASURED)]


def _decided(lends_hint: bool) -> Statement:
    if lends_hint:
        text = _(
            "The hue of the skin gave a weak hint about undertone, because you switched that on. Nothing else here "
            "influenced the season."
        )
        return Statement(text, Mark.PREDICTED)
    return Statement(_("None of it decided the season."), Mark.MEASURED)


def _between(within: tuple[float, float]) -> str:
    return _("{low} to {high}", low=plain_number(within[0]), high=plain_number(within[1]))
