"""Phones that photograph the card in several lights before they photograph faces: who they are, and what they take.

What stays the same in a phone: its sensor, its maker's matrix, its tone curve, how it sets the white balance, how it
sharpens, and the card that its owner has. What is new in every photograph: scene, light, exposure, noise, compression,
how the card shines and bends, and what a phone adds to warmth or takes out of large steps of light.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from studies.scenes.exposure import SKINS, Plan, Shot, ordinary_shot
from studies.scenes.real_world import RealPlan, real_world

CAMERAS = ("nikon", "sigma", "phone-a", "phone-b", "nikon@8nm", "sigma@x1.1", "phone-a@-8nm", "phone-b@x1.15")
DAYLIGHT, SHADE, INDOOR_LED, INCANDESCENT = "DAY5800", "DAY7500", "LED-B3", "BB2850"
LEARNED_IN = (DAYLIGHT, SHADE, INDOOR_LED, INCANDESCENT)
DAYS = ("D50", "D65", "DAY5300", "DAY6000", "DAY7000", "DAY4600")
LAMPS = ("LED-B5", "LED-B2", "FL2", "FL11", "A", "BB3000")
CHANGES = ("tone", "camera", "processing")


@dataclass(frozen=True)
class OnePhone:
    """A phone with its app and its owner's card: plans of what it takes.

    like: a photograph whose tone, white balance, card and rendering are this phone's.
    """

    camera: str
    like: Plan
    world: str

    def plan(self, scene: str, light: str, seed: int) -> Plan:
        """Return a photograph by this phone."""
        rng = np.random.default_rng(seed)
        shot = replace(ordinary_shot(rng), rotate=0.0, clip_stops=0.0)
        plain = Plan(scene, light, self.camera, self._shot(shot))
        if not isinstance(self.like, RealPlan):
            return plain
        drawn = real_world(plain, rng)
        card = replace(drawn.card, values=self.like.card.values, seed=self.like.card.seed)
        phone = replace(self.like.phone, warmth=drawn.phone.warmth, green=drawn.phone.green)
        return replace(drawn, card=card, lens=self.like.lens, phone=replace(phone, local=drawn.phone.local / 2))

    def _shot(self, shot: Shot) -> Shot:
        return replace(shot, white_balance=self.like.shot.white_balance, tone=self.like.shot.tone, vignette=0.0)

    def changed(self, how: str) -> "OnePhone":
        """Return the phone after an update: another tone curve, more colour, or another of its cameras."""
        if how == "camera":
            return replace(self, camera=CAMERAS[(CAMERAS.index(self.camera) + 1) % len(CAMERAS)])
        if not isinstance(self.like, RealPlan):
            tone = {"linear": "s-curve", "s-curve": "linear"}[self.like.shot.tone]
            return replace(self, like=replace(self.like, shot=replace(self.like.shot, tone=tone)))
        phone = self.like.phone
        new = (
            replace(phone, contrast=phone.contrast + (0.5 if phone.contrast < 0.6 else -0.5))
            if how == "tone"
            else replace(phone, saturation=phone.saturation + (0.15 if phone.saturation < 1.1 else -0.15))
        )
        return replace(self, like=replace(self.like, phone=new))


def phones(world: str, seed: int) -> list[OnePhone]:
    """Return one phone of every camera, its app and its card drawn at random."""
    rng = np.random.default_rng([seed, 1])
    found = []
    for number, camera in enumerate(CAMERAS):
        shot = replace(
            ordinary_shot(rng),
            tone=("linear", "s-curve")[number % 2 if seed % 2 else (number // 2) % 2],
            white_balance=("auto", "as-shot", "auto", "off")[number % 4],
        )
        like = Plan("p1", DAYLIGHT, camera, shot)
        found.append(OnePhone(camera, like if world == "rendered" else real_world(like, rng), world))
    return found


def learning_plans(phone: OnePhone, seed: int, lights: Sequence[str] = LEARNED_IN) -> list[Plan]:
    """Return the photographs that a phone is learned from, each of the card in another light."""
    rng = np.random.default_rng([seed, 2, CAMERAS.index(phone.camera)])
    return [phone.plan(str(rng.choice(SKINS)), light, int(rng.integers(2**31))) for light in lights]


def face_plans(phone: OnePhone, seed: int, lights: Sequence[str]) -> list[Plan]:
    """Return photographs of faces by a phone, one in each light."""
    rng = np.random.default_rng([seed, 3, CAMERAS.index(phone.camera)])
    scenes = rng.permutation(SKINS)
    return [phone.plan(str(scenes[k % len(scenes)]), light, int(rng.integers(2**31))) for k, light in enumerate(lights)]
