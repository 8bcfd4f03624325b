"""Write the table of mean skins from the 100 published forearms: everybody, and each class of the typology angle.

python -m studies.written.write_mean_skins
"""

from pathlib import Path

import numpy as np

from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab, resample
from tenter.colorimetry.typology import ItaClass, individual_typology_angle, ita_class

ROOT = Path(__file__).parents[2]
FOREARMS = ROOT / "tests/data/nist_skin/nist_skin_mean_360-830nm_5nm.csv"
TABLE = ROOT / "src/tenter/colorimetry/data/nist_mean_skins_380-780nm_5nm.csv"
_HEAD = """\
# Mean reflectance factor of the inside of the forearm of 100 people, 380-780 nm every 5 nm: of everybody, and by class
# of the individual typology angle of each (D65/10 degrees): {counts}.
# C. C. Cooksey, D. W. Allen, B. K. Tsai (2017), J. Res. NIST 122, 26, doi:10.6028/jres.122.026 (US Government work).
# Means of the published means, resampled to 5 nm; ours, by studies/written/write_mean_skins.py.
"""


def mean_skins_text() -> str:
    """Return the table as the text of a CSV file."""
    published = np.loadtxt(FOREARMS, delimiter=",", skiprows=1)
    forearms = resample(published[:, 1:].T, published[:, 0])
    angles = individual_typology_angle(reflectance_to_lab(forearms, D65_10.illuminant, D65_10.observer))
    classes = np.array([ita_class(float(angle)) for angle in angles])
    groups = {str(name): forearms[classes == name] for name in ItaClass}
    counts = ", ".join(f"{len(group) or 'nobody'} {name}" for name, group in groups.items())
    means = {"everybody": resample(published[:, 1:].mean(axis=1), published[:, 0])}
    means |= {name: group.mean(axis=0) for name, group in groups.items() if len(group)}
    rows = [
        ",".join((f"{nm:.0f}", *(f"{value:.5f}" for value in values)))
        for nm, *values in zip(WAVELENGTHS_NM, *means.values(), strict=True)
    ]
    return _HEAD.format(counts=counts) + "\n".join([",".join(("nm", *means)), *rows]) + "\n"


if __name__ == "__main__":
    TABLE.write_text(mean_skins_text(), encoding="utf-8")
