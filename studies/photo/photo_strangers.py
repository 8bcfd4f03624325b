"""Photographs by cameras that nothing was set on: other curves, stronger tone, JPEG, shadows lit up as phones do."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np

from studies.clients.targets import Target, at_least, at_most
from studies.photo.photo_accuracy import HEADING, cover_of_faces, line
from studies.photo.photo_gate import WRONG
from studies.photo.photo_runs import Run, run_all
from studies.scenes.cameras import CAMERAS
from studies.scenes.exposure import SKINS, Exposure, Plan, every_skin_in_every_light
from studies.scenes.photo_truth import Row
from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb, encode_srgb
from tenter.photo.face.result import PhotoVerdict

# What each stranger does: to the sensor's curves, then to the finished picture.
STRANGERS: dict[str, tuple[str, str]] = {
    "curves 8 nm longer": ("@8nm", ""),
    "curves 8 nm shorter": ("@-8nm", ""),
    "curves a fifth broader": ("@x1.2", ""),
    "strong tone curve": ("", "tone"),
    "shadows lit up": ("", "local"),
    "JPEG quality 70": ("", "jpeg"),
    "8 nm, strong tone, JPEG 70": ("@8nm", "tone jpeg"),
    "broader, lit up, JPEG 70": ("@x1.2", "local jpeg"),
}
_TONE = 0.5  # of a smoothstep on top of the camera's own curve, which has 0.35 at most
_LIT_UP, _AROUND = 0.2, 0.08  # exponent of the light round about, and how far that reaches: part of the picture's width
_JPEG = 70
_AXES = ("L*", "a*", "b*")


@dataclass(frozen=True)
class StrangerPlan:
    """One photograph by a camera that nothing was set on."""

    plan: Plan
    stranger: str

    def take(self) -> Exposure:
        curves, finish = STRANGERS[self.stranger]
        shot = replace(self.plan.shot, jpeg=_JPEG) if "jpeg" in finish else self.plan.shot
        taken = replace(self.plan, camera=self.plan.camera + curves, shot=shot).take()
        picture = taken.picture
        if "tone" in finish:
            picture = stronger_tone(picture)
        if "local" in finish:
            picture = lit_up(picture)
        return replace(taken, picture=picture)


def stronger_tone(picture: ByteArray) -> ByteArray:
    """Return a picture with more contrast, each channel by itself."""
    code = picture / 255
    return _bytes(code + _TONE * (code**2 * (3 - 2 * code) - code))


def lit_up(picture: ByteArray) -> ByteArray:
    """Return a picture whose dark parts are lit up and whose light parts are dimmed, as phones do."""
    linear = decode_srgb(picture / 255)
    luminance = np.maximum(linear @ SRGB_TO_XYZ[1], 1e-3)
    around = np.exp(cv2.GaussianBlur(np.log(luminance), (0, 0), _AROUND * picture.shape[1]))
    gain = (np.exp(np.log(around).mean()) / around) ** _LIT_UP
    return _bytes(encode_srgb(np.clip(linear * gain[..., None], 0, 1)))


def _bytes(code: FloatArray) -> ByteArray:
    return (np.clip(code, 0, 1) * 255 + 0.5).astype(np.uint8)


def stranger_runs(count: int, seed: int) -> list[tuple[str, Run]]:
    """Return what becomes of so many photographs, each stranger in turn."""
    names = list(STRANGERS)
    plans = [
        StrangerPlan(plan, names[(number + number // len(SKINS)) % len(names)])
        for number, plan in enumerate(every_skin_in_every_light(SKINS, count, seed))
    ]
    return [(plan.stranger, run) for plan, run in zip(plans, run_all(plans, "strangers"), strict=True)]


def stranger_table(runs: Sequence[tuple[str, Run]]) -> list[str]:
    """Return the skin by stranger, and what was refused."""
    refused = [run for _, run in runs if run.verdict is PhotoVerdict.REFUSED]
    codes = Counter(code for run in refused for code in run.codes if code != "uneven_light")
    told = ", ".join(f"{code} {count}" for code, count in codes.most_common())
    lines = [f"{len(runs)} photographs, refused {len(refused)}{': ' * bool(told)}{told}", " " * 7 + HEADING]
    groups = {name: [row for stranger, run in runs if stranger == name for row in run.skin] for name in STRANGERS}
    groups |= {
        camera: [row for _, run in runs if run.camera.startswith(camera) for row in run.skin] for camera in CAMERAS
    }
    lines += [_wide(name, rows) for name, rows in groups.items()]
    return [*lines, _wide("skin", [row for _, run in runs for row in run.skin])]


def _wide(name: str, rows: Sequence[Row]) -> str:
    return f"{name:26s}{line('', rows)[19:]}"


def stranger_targets(runs: Sequence[tuple[str, Run]]) -> list[Target]:
    """Return what is wanted of accepted photographs by strangers."""
    accepted = [run for _, run in runs if run.verdict is not PhotoVerdict.REFUSED and run.skin]
    errors = [row.error for run in accepted for row in run.skin]
    cover = cover_of_faces(accepted)
    return [
        at_most("strangers, skin, ΔE00, median", float(np.median(errors)), 2.0),
        at_most("the same, 95 of 100", float(np.percentile(errors, 95)), 4.3),
        *(at_least(f"90 % intervals of {k} cover", 100 * float(c), 85, "%") for k, c in zip(_AXES, cover, strict=True)),
        at_most(
            f"accepted and wrong (ΔE00 > {WRONG}), part of {len(accepted)}",
            100 * float(np.mean([run.error > WRONG for run in accepted])),
            1,
            "%",
        ),
    ]
