"""The demo studio's light and its readings of cloths, both invented: writes light.csv and readings.csv.

.venv/bin/python -m studies.written.demo_workshop src/tenter/demo_studio
"""

import sys
from pathlib import Path

import numpy as np

from tenter import Kit
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power

_LAMP = 0.55  # share of the light that an LED lamp gives; the window gives the rest
_CLOTHS = ("D001", "D012", "D025", "D037", "D049", "D061", "D074", "D088")
_DAYS = ("2025-03-10", "2025-09-09", "2026-03-10")  # before the first invented sitting
_TIMES = 3  # readings of a cloth on a day
_NOISE = 0.12  # of a reading in L*, a* and b*: standard deviation
_FADED = ("D061", (4.2, -6.4, -1.0))  # in L*, a* and b* on the last day, half of it on the day before


def light_csv() -> str:
    """Return the spectrum of a studio's light: an LED lamp beside a window."""
    lamp, window = (illuminant_power(name) for name in ("LED-B4", "D50"))
    power = _LAMP * lamp / lamp.sum() + (1 - _LAMP) * window / window.sum()
    head = "# An LED lamp beside a window: CIE LED-B4 and D50, mixed by studies/written/demo_workshop.py; invented"
    rows = [f"{nm:.0f},{value:.4f}" for nm, value in zip(WAVELENGTHS_NM, 100 * power / power.max(), strict=True)]
    return "\n".join([head, "wavelength_nm,power", *rows, ""])


def readings_csv() -> str:
    """Return readings of a few cloths on three days, of which one cloth has faded."""
    kit, rng = Kit.demo(), np.random.default_rng(16)
    rows = ["cloth,day,L,a,b,illuminant,observer,instrument"]
    for step, day in enumerate(_DAYS):
        for cloth in _CLOTHS:
            faded = np.array(_FADED[1]) * step / (len(_DAYS) - 1) if cloth == _FADED[0] else 0.0
            labs = kit.bench_colours.lab[kit.row(cloth)] + faded + rng.normal(0, _NOISE, (_TIMES, 3))
            rows += [f"{cloth},{day},{L:.2f},{a:.2f},{b:.2f},D65,10,invented" for L, a, b in labs]
    return "\n".join([*rows, ""])


if __name__ == "__main__":
    (Path(sys.argv[1]) / "light.csv").write_text(light_csv(), encoding="utf-8")
    (Path(sys.argv[1]) / "readings.csv").write_text(readings_csv(), encoding="utf-8")
