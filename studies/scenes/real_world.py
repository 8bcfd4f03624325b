"""Photographs of the rendered scenes as real ones are: card, lens and phone have their ways.

The tone curves were chosen so that their fitted contrast and lift span those of the real photographs at hand, and the
frame's sheen is theirs as well (studies/camera/world_study.py prints both). What a phone does beyond that is invented.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from studies.scenes.card_surface import CardSurface, repainted
from studies.scenes.exposure import Fault, Plan, Scene, Shot, Sight
from studies.scenes.lens import Lens
from studies.scenes.phone import Phone
from tenter.arrays import FloatArray
from tenter.photo.patches.reference import CardValues

WORLDS = ("rendered", "real")


_CARD, _LENS, _PHONE = CardSurface(), Lens(), Phone()


@dataclass(frozen=True)
class RealPlan(Plan):
    """One photograph to be taken of one card, through one lens, by one phone."""

    card: CardSurface = _CARD
    lens: Lens = _LENS
    phone: Phone = _PHONE

    def setting(self) -> Scene:
        return repainted(self.scene, self.card)

    def through(self, fault: Fault) -> Fault:
        def on_light(sight: Sight) -> FloatArray:
            return self.lens.seen(fault.on_light(replace(sight, raw=self.card.seen(sight))))

        def in_phone(linear: FloatArray, scene: Scene) -> FloatArray:
            return self.phone.rendered(fault.in_phone(linear, scene))

        return Fault(on_light, in_phone)


def in_world(plans: Sequence[Plan], world: str, seed: int) -> list[Plan]:
    """Return plans as they are, or the same scenes, lights and cameras in the real world."""
    if world not in WORLDS:
        raise ValueError(f"no world {world!r}; known: {', '.join(WORLDS)}")
    rng = np.random.default_rng(seed)
    return list(plans) if world == "rendered" else [real_world(plan, rng) for plan in plans]


def real_world(plan: Plan, rng: np.random.Generator) -> RealPlan:
    """Return a photograph of the same scene, light and camera with a card, a lens and a phone drawn at random."""
    return RealPlan(
        plan.scene,
        plan.lights,
        plan.camera,
        _shot(plan.shot, rng),
        _card(rng),
        Lens(
            corner_loss=float(rng.uniform(0.0, 0.2)),
            off_centre=(float(rng.normal(0, 0.03)), float(rng.normal(0, 0.03))),
            distortion=float(rng.normal(0, 0.01)),
        ),
        _phone(rng),
    )


def _shot(shot: Shot, rng: np.random.Generator) -> Shot:
    """Return the shot with what card, lens and phone now do left out, and a JPEG of any quality."""
    quality = rng.integers(30, 75) if rng.random() < 0.3 else rng.integers(75, 96)
    return replace(shot, tone="linear", vignette=0.0, jpeg=int(quality))


def _card(rng: np.random.Generator) -> CardSurface:
    return CardSurface(
        values=CardValues.FROM_2014_11 if rng.random() < 0.5 else CardValues.MEAN_OF_30,
        paint=0.035,
        sheen=float(np.exp(rng.uniform(np.log(0.012), np.log(0.05)))),
        range=float(rng.uniform(0.8, 2.2)),
        veil=float(rng.uniform(0.03, 0.2)),
        bend=float(rng.normal(0, 1.5)),
        degrees=float(rng.uniform(0, 180)),
        seed=int(rng.integers(2**31)),
    )


def _phone(rng: np.random.Generator) -> Phone:
    dark = rng.random() < 0.12  # cameras that leave the middle tones where the sensor has them, or below
    return Phone(
        warmth=float(rng.normal(0, 0.04)),
        green=float(rng.normal(0, 0.02)),
        local=float(rng.uniform(0, 0.25)) if rng.random() < 0.6 else 0.0,
        saturation=float(rng.uniform(0.95, 1.25)),
        gamma=float(np.exp(rng.uniform(np.log(1.2), np.log(1.9)) if dark else rng.uniform(np.log(0.8), np.log(1.1)))),
        contrast=float(rng.uniform(0.2, 1.0)),
        shoulder=float(rng.uniform(0, 0.4)) if rng.random() < 0.5 and not dark else 0.0,
        toe=float(rng.uniform(0, 0.03)) if rng.random() < 0.3 else 0.0,
        by_luminance=float(rng.uniform(0, 0.7)),
        sharpening=float(rng.uniform(0, 0.9)),
        sharp_px=float(rng.uniform(0.7, 1.5)),
        chroma_px=float(rng.uniform(0, 2.0)),
    )
