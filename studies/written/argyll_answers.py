"""Ask argyll (Debian: argyll 2.3.1) what it reads in our files, and keep its answers as data for the tests.

    python -m studies.written.argyll_answers

writes tests/data/argyll anew. The tests compare with what is kept there, so they need no argyll. See the README there.
"""

import re
import subprocess
import tempfile
from collections.abc import Callable
from itertools import product
from pathlib import Path

import numpy as np

from studies.scenes.dye_printer import dye_printer
from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.photo.own_card.ink import assumed_printer
from tenter.report.exports.formats import Format, exported
from tests.support.clients.odd_palette import odd_palette  # the tests' own

KEPT = Path(__file__).parents[2] / "tests" / "data" / "argyll"


def asked(*command: str, given: str = "") -> str:
    """Return what one of argyll's programs prints."""
    return subprocess.run(command, input=given, capture_output=True, text=True, check=True).stdout


def write_cgats_reading() -> None:
    """Keep our CGATS export of the tests' palette, and the Lab values that colverify reads in it."""
    file = KEPT / "palette_cgats.txt"
    file.write_bytes(exported(odd_palette(), Format.CGATS, "An invented palette", "2026-11-29"))
    printed = asked("colverify", "-v2", str(file), str(file))
    rows = re.findall(r"^(\d+): ([-\d.]+) ([-\d.]+) ([-\d.]+) <=>", printed, flags=re.MULTILINE)
    lines = ["id,L,a,b", *(",".join(row) for row in rows)]
    (KEPT / "palette_cgats_read_by_colverify.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


# -- profiles of two invented printers, and what argyll looks up in them ---------------------------------------------

_LOOKED_UP = 200


def printed_by_dyes(codes: FloatArray) -> FloatArray:
    """Return the reflectances (n, 81) of RGB codes (n, 3) on a printer of three dyes."""
    return dye_printer(np.random.default_rng(12)).reflectance(np.column_stack([1 - codes, np.zeros(len(codes))]))


def printed_by_inks(coverages: FloatArray) -> FloatArray:
    """Return the reflectances (n, 81) of CMYK coverages (n, 4)."""
    return assumed_printer().reflectance(coverages)


def write_profile(
    name: str, channels: str, steps: int, printed: Callable[[FloatArray], FloatArray], algorithm: str = "l"
) -> None:
    """Have colprof make a profile of an invented printer from a chart of its device values.

    algorithm: "l" for tables of CIELAB, "x" for tables of XYZ.
    """
    device = np.array(list(product(np.linspace(0, 1, steps), repeat=len(channels))))
    if channels == "CMYK":
        device = device[device.sum(axis=1) <= 3.0]
    lab = reflectance_to_lab(printed(device), "D50", Observer.CIE_1931_2)
    fields = [f"{channels}_{letter}" for letter in channels] + ["LAB_L", "LAB_A", "LAB_B"]
    rows = [" ".join(map(str, [k, *np.round(row, 5)])) for k, row in enumerate(np.hstack([100 * device, lab]), 1)]
    limit = ["-l300"] if channels == "CMYK" else []
    space = f"{'iRGB' if channels == 'RGB' else channels}_LAB"
    _profile(name, "OUTPUT", space, fields, rows, ["-bl", "-ni", "-no", f"-a{algorithm}", *limit])


def write_screen_profile(name: str, steps: int) -> None:
    """Have colprof make a profile of a matrix and curves, as photo labs ask for, of an invented screen."""
    device = np.array(list(product(np.linspace(0, 1, steps), repeat=3)))
    xyz = 100 * (device**_SCREEN_GAMMA @ _SCREEN_XYZ.T)
    fields = [*(f"RGB_{letter}" for letter in "RGB"), *(f"XYZ_{letter}" for letter in "XYZ")]
    rows = [" ".join(map(str, [k, *np.round(row, 5)])) for k, row in enumerate(np.hstack([100 * device, xyz]), 1)]
    _profile(name, "DISPLAY", "RGB_XYZ", fields, rows, ["-as"])


_SCREEN_GAMMA = np.array([1.9, 2.0, 2.1])
_SCREEN_XYZ = np.array([[0.46, 0.30, 0.19], [0.23, 0.68, 0.09], [0.01, 0.06, 1.02]])  # of red, green and blue at full


def _profile(name: str, kind: str, space: str, fields: list[str], rows: list[str], options: list[str]) -> None:
    head = ["CTI3", "", 'DESCRIPTOR "An invented device"', 'ORIGINATOR "Tenter"', f'DEVICE_CLASS "{kind}"']
    head += [f'COLOR_REP "{space}"', f"NUMBER_OF_FIELDS {len(fields) + 1}"]
    head += ["BEGIN_DATA_FORMAT", " ".join(["SAMPLE_ID", *fields]), "END_DATA_FORMAT"]
    text = "\n".join([*head, f"NUMBER_OF_SETS {len(rows)}", "BEGIN_DATA", *rows, "END_DATA", ""])
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "chart.ti3").write_text(text, encoding="utf-8")
        words = ["-A", "Tenter", "-M", name, "-D", f"An invented device: {name}", "-C", "CC0 1.0"]
        made = ["-O", str(KEPT / f"{name}.icc"), str(Path(folder, "chart"))]
        asked("colprof", "-ql", *options, *words, *made)


def write_look_ups(name: str) -> None:
    """Keep what xicclu makes of 200 colours: device values by B2A1, and the colour of those by A2B1."""
    profile = str(KEPT / f"{name}.icc")
    rng = np.random.default_rng(5)
    lab = np.column_stack([rng.uniform(8, 96, _LOOKED_UP), rng.uniform(-65, 65, (_LOOKED_UP, 2))]).round(4)
    device = asked("xicclu", "-v0", "-fb", "-ir", "-pl", profile, given=_lines(lab)).replace(" (clip)", "")
    back = asked("xicclu", "-v0", "-ff", "-ir", "-pl", profile, given=device)
    absolute = asked("xicclu", "-v0", "-ff", "-ia", "-pl", profile, given=device)
    read = [np.array([line.split() for line in text.splitlines()], dtype=float) for text in (device, back, absolute)]
    columns = ["L", "a", "b", *(f"device_{k}" for k in range(read[0].shape[1]))]
    columns += ["L_printed", "a_printed", "b_printed", "L_absolute", "a_absolute", "b_absolute"]
    rows = [",".join(f"{v:.6f}" for v in row) for row in np.hstack([lab, *read])]
    (KEPT / f"{name}_by_xicclu.csv").write_text("\n".join([",".join(columns), *rows, ""]), encoding="utf-8")


def _lines(rows: FloatArray) -> str:
    return "".join(" ".join(f"{v:.4f}" for v in row) + "\n" for row in rows)


if __name__ == "__main__":
    write_cgats_reading()
    write_profile("dyes_rgb", "RGB", 9, printed_by_dyes)
    write_profile("inks_cmyk", "CMYK", 6, printed_by_inks)
    write_profile("dyes_xyz", "RGB", 9, printed_by_dyes, "x")
    write_screen_profile("screen_rgb", 6)
    for profile_name in ("dyes_rgb", "inks_cmyk", "dyes_xyz", "screen_rgb"):
        write_look_ups(profile_name)
