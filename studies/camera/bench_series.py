"""What a series of A-B-A-B photographs can tell: `./run bench series [--series 40]`.

The rendered person of scenes p12 to p17 in one place under several cloths, photographed in turn with one camera under
one light: new noise in every frame, a slow drift of the exposure, small shifts and tilts of the frame. The difference
of two cloths per region is held against the true one. Ends with series whose settings are not locked.
"""

import argparse
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import cv2
import numpy as np

from studies.scenes.cameras import LIGHTS, light_power, sensitivities
from studies.scenes.exposure import Shot, develop, expose, load_scene
from studies.scenes.photo_truth import TRUTH_NAME
from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.cards import ChartKind
from tenter.photo.files.loading import Photo, photo_from_bytes
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.regions.regions import Region
from tenter.photo.series.measure import Series, series_of

WHITE, BLACK = "p12", "p13"
PAIRS = ((BLACK, WHITE), (BLACK, WHITE), ("p14", WHITE), (BLACK, "p14"), ("p17", "p15"), ("p17", "p16"), (WHITE, WHITE))
PARTS = (  # card, pattern, and which part of the series asked for
    (ChartKind.CLASSIC24, "ABAB", 1),
    (ChartKind.CLASSIC24, "ABABAB", 3),
    (ChartKind.NONE, "ABAB", 3),
)
CAMERAS = ("nikon", "sigma", "phone-a", "phone-b")


@dataclass(frozen=True)
class Handling:
    """How steady camera and settings are: sd of shift in pixels and of tilt in degrees, drift of exposure a frame."""

    shift: float = 4.0
    tilt: float = 0.7
    drift: float = 0.004
    exposure_sd: float = 0.002
    white_balance: str = "off"


@lru_cache(maxsize=4)
def signal_of(scene: str, light: str, camera: str) -> FloatArray:
    """Return the sensor's signal, before exposure and noise."""
    return load_scene(scene).integrate([sensitivities(camera) * light_power(light)[:, None]])


@lru_cache(maxsize=8)
def true_labs(scene: str) -> dict[Region, FloatArray]:
    """Return Lab of every region were the scene lit by D65."""
    xyz = expose(load_scene(scene), "D65", "nikon", noise=0.0).xyz_d65
    return {region: xyz_to_lab(xyz[name], D65_WHITE) for region, name in TRUTH_NAME.items()}


def frame_of(
    scene: str, light: str, camera: str, shot: Shot, handling: Handling, rng: np.random.Generator
) -> ByteArray:
    """Return one photograph, shifted and tilted a little."""
    picture = develop(signal_of(scene, light, camera), load_scene(scene), camera, shot)
    height, width = picture.shape[:2]
    moved = cv2.getRotationMatrix2D((width / 2, height / 2), float(rng.normal(0, handling.tilt)), 1.0)
    moved[:, 2] += rng.normal(0, handling.shift, 2)
    return np.asarray(
        cv2.warpAffine(picture, moved, (width, height), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    )


def take_series(
    a: str, b: str, pattern: str, light: str, camera: str, shot: Shot, handling: Handling, rng: np.random.Generator
) -> list[Photo]:
    """Return the photographs of a series, as JPEG files read again."""
    photos = []
    drift = rng.normal(0, handling.drift)
    for k, letter in enumerate(pattern):
        exposure = shot.exposure * float(np.exp(drift * k + rng.normal(0, handling.exposure_sd)))
        taken = replace(shot, exposure=exposure, seed=int(rng.integers(2**31)), white_balance=handling.white_balance)
        picture = frame_of(a if letter == "A" else b, light, camera, taken, handling, rng)
        content = cv2.imencode(".jpg", picture[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, shot.jpeg])[1]
        photos.append(photo_from_bytes(content.tobytes(), f"{k + 1}.jpg"))
    return photos


def ordinary(rng: np.random.Generator) -> Shot:
    return Shot(
        exposure=float(2 ** rng.uniform(-0.4, 0.1)),
        tone=str(rng.choice(["linear", "s-curve"])),
        noise=float(rng.uniform(0.05, 0.5)),
        jpeg=int(rng.integers(85, 97)),
    )


@dataclass(frozen=True)
class Row:
    """One region of one series."""

    pair: tuple[str, str]
    region: Region
    covered: FloatArray
    covered_e: bool
    half: FloatArray
    error: float
    true_e: float
    told: bool


def rows_of(pair: tuple[str, str], series: Series) -> list[Row]:
    a, b = true_labs(pair[0]), true_labs(pair[1])
    rows = []
    for d in series.differences:
        if d.delta_lab is None or d.half_width_90 is None or d.delta_e_interval_90 is None:
            continue
        true = b[d.region] - a[d.region]
        true_e = float(delta_e_2000(a[d.region], b[d.region]))
        low, high = d.delta_e_interval_90
        rows.append(
            Row(
                pair,
                d.region,
                np.abs(d.delta_lab - true) <= d.half_width_90,
                low <= true_e <= high,
                d.half_width_90,
                float(np.linalg.norm(d.delta_lab - true)),
                true_e,
                d.told,
            )
        )
    return rows


def table(rows: Sequence[Row]) -> list[str]:
    groups: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        groups[row.region].append(row)
        groups["all"].append(row)
    lines = ["                  n  true ΔE00  error  inside: L*   a*   b*  ΔE00   half L*   a*   b*   told"]
    for name in (*TRUTH_NAME, "all"):
        held = groups[name]
        if held:
            inside = np.mean([r.covered for r in held], axis=0)
            half = np.median([r.half for r in held], axis=0)
            lines.append(
                f"  {name:12s} {len(held):5d}  {np.median([r.true_e for r in held]):9.2f}  "
                f"{np.median([r.error for r in held]):5.2f}  {inside[0]:10.2f} {inside[1]:.2f} {inside[2]:.2f}  "
                f"{np.mean([r.covered_e for r in held]):.2f}  {half[0]:8.2f} {half[1]:.2f} {half[2]:.2f}   "
                f"{np.mean([r.told for r in held]):.2f}"
            )
    return lines


def study(count: int, seed: int, chart: ChartKind, pattern: str) -> tuple[list[Row], list[Series]]:
    rng = np.random.default_rng(seed)
    rows, refused = [], []
    for k in range(count):
        pair = PAIRS[k % len(PAIRS)]
        light, camera = str(rng.choice(LIGHTS)), str(rng.choice(CAMERAS))
        photos = take_series(*pair, pattern, light, camera, ordinary(rng), Handling(), rng)
        series = series_of(photos, [f"{i + 1}.jpg" for i in range(len(photos))], pattern, chart)
        if series.accepted:
            rows += rows_of(pair, series)
        else:
            refused.append(series)
    return rows, refused


def unlocked(count: int, seed: int, chart: ChartKind) -> dict[str, int]:
    """Return how many series whose settings are not locked are found out: refused or said."""
    rng = np.random.default_rng([seed, 1])
    ways = {
        "locked": Handling(),
        "white balance automatic": Handling(white_balance="auto"),
        "exposure wanders 10 %": Handling(exposure_sd=0.10),
        "exposure wanders 3 %": Handling(exposure_sd=0.03),
    }
    found = {}
    for name, handling in ways.items():
        found[name] = 0
        for _ in range(count):
            light, camera = str(rng.choice(("D65", "LED-B3", "D50"))), str(rng.choice(CAMERAS))
            photos = take_series(BLACK, WHITE, "ABAB", light, camera, ordinary(rng), handling, rng)
            series = series_of(photos, list("1234"), "ABAB", chart)
            found[name] += bool(series.refusals or series.notes)
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--series", type=int, default=42)
    parser.add_argument("--unlocked", type=int, default=6)
    parser.add_argument("--seed", type=int, default=5)
    given = parser.parse_args()
    for chart, pattern, share in PARTS:
        rows, refused = study(max(7, given.series // share), given.seed, chart, pattern)
        print(f"\n{pattern}, card {chart}: {len({id(r) for r in refused})} refused")
        for series in refused:
            print("  ", series.refusals[0])
        print("\n".join(table(rows)))
        for title, wanted in (
            ("a white cloth against a black one", {(BLACK, WHITE)}),
            ("the same cloth twice", {(WHITE, WHITE)}),
        ):
            print(f" {title}:")
            print("\n".join(table([r for r in rows if r.pair in wanted])))
    for chart in (ChartKind.CLASSIC24, ChartKind.NONE):
        told = ", ".join(f"{name} {n}" for name, n in unlocked(given.unlocked, given.seed, chart).items())
        print(f"\nfound out of {given.unlocked} series, card {chart}: {told}")


if __name__ == "__main__":
    main()
