"""Ask argyll (Debian: argyll 2.3.1) what it reads in our files, and keep its answers as data for the tests.

    python bench/argyll_answers.py

writes tests/data/argyll anew. The tests compare with what is kept there, so they need no argyll. See the README there.
"""

import re
import subprocess
import sys
from pathlib import Path

from tenter.report.exports.formats import Format, exported

sys.path.append(str(Path(__file__).parents[1] / "tests"))
from invented_palette import invented_palette  # the tests' own

KEPT = Path(__file__).parents[1] / "tests" / "data" / "argyll"


def asked(*command: str, given: str = "") -> str:
    """Return what one of argyll's programs prints."""
    return subprocess.run(command, input=given, capture_output=True, text=True, check=True).stdout


def write_cgats_reading() -> None:
    """Keep our CGATS export of the tests' palette, and the Lab values that colverify reads in it."""
    file = KEPT / "palette_cgats.txt"
    file.write_bytes(exported(invented_palette(), Format.CGATS, "An invented palette", "2026-11-29"))
    printed = asked("colverify", "-v2", str(file), str(file))
    rows = re.findall(r"^(\d+): ([-\d.]+) ([-\d.]+) ([-\d.]+) <=>", printed, flags=re.MULTILINE)
    lines = ["id,L,a,b", *(",".join(row) for row in rows)]
    (KEPT / "palette_cgats_read_by_colverify.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    write_cgats_reading()
