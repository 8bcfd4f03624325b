"""docs/how-to/garments.md says what the program does: columns, kinds, borders, steps."""

import re
from pathlib import Path

from tenter.consultation.client.contrast import STEPS, ContrastLevel
from tenter.consultation.colours.borders import AWAY_FROM, HARDLY_DIFFERS, NEAR_FROM, SMALL_FROM
from tenter.consultation.garments import wardrobe
from tenter.consultation.garments.buying import MOST_EXACT
from tenter.consultation.garments.check import SURE_IN_A_PHOTO, SURE_OF_ROLE
from tenter.consultation.garments.role import ROLES

TEXT = (Path(__file__).parents[3] / "docs" / "how-to" / "garments.md").read_text(encoding="utf-8")
PROSE = " ".join(TEXT.split())


def test_columns_and_kinds():
    rows = re.findall(r"^\| `(\w+)` \| (yes|no) \|", TEXT, flags=re.MULTILINE)
    assert tuple(name for name, needed in rows if needed == "yes") == wardrobe.WARDROBE_REQUIRED
    assert tuple(name for name, needed in rows if needed == "no") == wardrobe.WARDROBE_OPTIONAL
    [kinds] = re.findall(r"^Kinds: (.*)$", TEXT, flags=re.MULTILINE)
    assert re.findall(r"`(\w+)`", kinds) == [str(kind) for kind in wardrobe.PieceKind]
    [role] = [line for line in TEXT.splitlines() if line.startswith("| `role`")]
    assert re.findall(r"`(\w+)`", role)[1:] == [str(role) for role in ROLES]


def test_borders():
    near, away, small = (f"{border:g}" for border in (NEAR_FROM, AWAY_FROM, SMALL_FROM))
    said = f"From {near} a colour is worn near the face, from {away} away from it, from {small} in small"
    assert said in PROSE
    assert f"within ΔE00 {HARDLY_DIFFERS:g} of the palette's own" in PROSE
    assert f"its certainty is {SURE_IN_A_PHOTO:g} or more in a photograph, {SURE_OF_ROLE:g} by a name" in PROSE
    assert f"exactly for up to {MOST_EXACT} wishes" in PROSE


def test_contrast():
    low, medium, high = (STEPS[level] for level in ContrastLevel)
    said = f"at most {low[1]:g} L\\* (low), by {medium[0]:g} to {medium[1]:g} (medium) or by {high[0]:g} or more (high)"
    assert said in PROSE
