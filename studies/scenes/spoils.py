"""Photographs spoiled on purpose, each way at three severities: what the gate is tried on.

The truth of a spoiled photograph is that of the unspoiled one: what a perfect colorimeter reads does not change with
what the camera makes of it. So a spoiled photograph that is accepted can be held to its error as well.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

import cv2
import numpy as np

from studies.scenes.cameras import light_power, sensitivities
from studies.scenes.exposure import NO_FAULT, Exposure, Plan, Sight, develop
from tenter.arrays import ByteArray, FloatArray

SEVERITIES = ("mild", "middle", "worst")
# The window and the ceiling panel of p5 fall on the card and on the face in unequal parts; in p10 (soft, frontal) they
# fall on both alike, so that two lamps there do what one lamp of their sum would do.
UNEQUAL_LAMPS, EQUAL_LAMPS = "p5", "p10"


class Spoil(StrEnum):
    """What is wrong with a photograph."""

    CLIPPED = "clipped"
    MIXED_LIGHT = "mixed light"
    WARM_LAMP = "warm lamp against daylight"
    CARD_CUT = "card cut"
    UPSIDE_DOWN = "upside down"
    TWO_FACES = "two faces"
    BLURRED = "blurred"
    VIGNETTE = "strong vignette"


_STOPS_OVER = (0.5, 1.0, 2.0)
_PANEL = ("D50", "LED-B3", "A")  # beside a window of D65
_WARM_SHARE = (0.1, 0.3, 0.7)  # of the light at the edge of the picture away from the card; none at the card's edge
_CARD_LOST = (0.1, 0.3, 0.6)  # of the card's width
_TURNED_DEGREES = (15.0, 90.0, 180.0)
_OTHER_FACE = (0.3, 0.6, 1.0)  # height of the second picture beside the first
_BLUR_PX = (1.5, 5.0, 9.0)  # of a face about 250 pixels wide
_CORNER_LOSS = (0.2, 0.45, 0.75)


@dataclass(frozen=True)
class SpoiledPlan:
    """One spoiled photograph to be taken; severity 0 to 2."""

    plan: Plan
    spoil: Spoil
    severity: int

    def take(self) -> Exposure:
        return _SPOILERS[self.spoil](self.plan, self.severity)


def spoiled_plans(plans: list[Plan]) -> list[SpoiledPlan]:
    """Return plans spoiled in turn, every way at every severity; mixed light is put into the scene for it."""
    ways = [(spoil, severity) for severity in range(3) for spoil in Spoil]
    found = []
    for number, plan in enumerate(plans):
        # one more step a round, or ten scenes and 24 ways would meet in half of their pairs only
        spoil, severity = ways[(number + number // len(ways)) % len(ways)]
        chosen = replace(plan, scene=UNEQUAL_LAMPS) if spoil is Spoil.MIXED_LIGHT else plan
        found.append(SpoiledPlan(chosen, spoil, severity))
    return found


def _clipped(plan: Plan, severity: int) -> Exposure:
    return replace(plan, shot=replace(plan.shot, exposure=1.0, clip_stops=_STOPS_OVER[severity])).take()


def _mixed_light(plan: Plan, severity: int) -> Exposure:
    return replace(plan, lights=("D65", _PANEL[severity])).take()


def _warm_lamp(plan: Plan, severity: int) -> Exposure:
    """A lamp like illuminant A from the side of the picture where the card is not, in a room of daylight."""
    plan = replace(plan, lights="D65", shot=replace(plan.shot, rotate=0.0))
    daylit = plan.take()
    scene, through = daylit.scene, plan.through(NO_FAULT)
    curves = sensitivities(plan.camera)
    by = [scene.integrate([curves * light_power(name)[:, None]] * len(scene.coef)) for name in ("D65", "A")]
    share = _WARM_SHARE[severity] * _away_from_card(scene.card_corners_px, scene.label.shape[1])
    raw = (1 - share)[:, None] * by[0] + share[:, None] * by[1]
    seen = through.on_light(Sight(scene, daylit.lights, plan.camera, raw))
    return replace(daylit, picture=develop(seen, scene, plan.camera, plan.shot, raw, through))


def _away_from_card(corners: FloatArray, width: int) -> FloatArray:
    """Return 0 to 1 along the columns of a picture, 0 at the edge beside the card."""
    along = np.linspace(0, 1, width)
    return along if corners[:, 0].mean() < width / 2 else along[::-1]


def _card_cut(plan: Plan, severity: int) -> Exposure:
    taken = replace(plan, shot=replace(plan.shot, rotate=0.0)).take()
    corners = np.asarray(taken.scene.card_corners_px)
    left, right = corners[:, 0].min(), corners[:, 0].max()
    lost = _CARD_LOST[severity] * (right - left)
    on_the_right = (left + right) / 2 > taken.picture.shape[1] / 2
    kept = np.s_[:, : round(right - lost)] if on_the_right else np.s_[:, round(left + lost) :]
    return replace(taken, picture=np.ascontiguousarray(taken.picture[kept]))


def _upside_down(plan: Plan, severity: int) -> Exposure:
    return replace(plan, shot=replace(plan.shot, rotate=_TURNED_DEGREES[severity])).take()


def _two_faces(plan: Plan, severity: int) -> Exposure:
    """Another person's photograph beside this one, smaller as if she stood further off."""
    taken = plan.take()
    other = replace(plan, scene="p7" if plan.scene != "p7" else "p9", lights="D65").take().picture
    return replace(taken, picture=_beside(taken.picture, other, _OTHER_FACE[severity]))


def _beside(picture: ByteArray, other: ByteArray, height: float) -> ByteArray:
    small = cv2.resize(other[:, 100:-100], None, fx=height, fy=height, interpolation=cv2.INTER_AREA)
    side = np.empty((picture.shape[0], small.shape[1], 3), dtype=np.uint8)
    side[:] = picture[:20].reshape(-1, 3).mean(axis=0).astype(np.uint8)
    side[-small.shape[0] :] = small
    return np.concatenate([side, picture], axis=1)


def _blurred(plan: Plan, severity: int) -> Exposure:
    return replace(plan, shot=replace(plan.shot, blur=_BLUR_PX[severity])).take()


def _vignette(plan: Plan, severity: int) -> Exposure:
    return replace(plan, shot=replace(plan.shot, vignette=_CORNER_LOSS[severity])).take()


_SPOILERS: dict[Spoil, Callable[[Plan, int], Exposure]] = {
    Spoil.CLIPPED: _clipped,
    Spoil.MIXED_LIGHT: _mixed_light,
    Spoil.WARM_LAMP: _warm_lamp,
    Spoil.CARD_CUT: _card_cut,
    Spoil.UPSIDE_DOWN: _upside_down,
    Spoil.TWO_FACES: _two_faces,
    Spoil.BLURRED: _blurred,
    Spoil.VIGNETTE: _vignette,
}
