"""Real photographs of real cards: clear ones are accepted; covered, cut and copied ones are refused.

Sources and licences: tests/data/real_chart_photos/README.md and docs/reference/sources.md. What each shows was judged
by eye.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from studies.photo.card_faults import shaded
from tenter.cli.photo.face import app
from tenter.cli.shared.inputs import REFUSED
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.files.loading import load_photo
from tenter.photo.reasons import Code

FOLDER = Path(__file__).parents[2] / "data" / "real_chart_photos"
CLEAR = [
    *("cabinet-1.jpg", "cabinet-2.jpg", "cards-1.png", "chair-1.png", "chair-2.png"),
    *(f"carpet-{n}.jpg" for n in range(1, 6)),
]


def refused(name: str, **choice) -> set[Code]:
    found = look_for_card(load_photo(FOLDER / name), CardChoice(ChartKind.CLASSIC24, **choice))
    return {reason.code for reason in found.reasons if reason.refuses}


@pytest.mark.parametrize("name", CLEAR)
def test_a_clear_card_is_accepted(name):
    assert refused(name) == set()


@pytest.mark.parametrize("evenly_lit", [False, True])
@pytest.mark.parametrize(
    ("name", "code"),
    [("cabinet-3.jpg", Code.CHART_CUT), ("cabinet-4.jpg", Code.CHART_CUT), ("printed-1.jpg", Code.CARD_OTHER)],
)
def test_a_cut_or_copied_card_is_refused_whoever_calls_it_evenly_lit(name, code, evenly_lit):
    assert code in refused(name, evenly_lit=evenly_lit)


def test_a_card_half_under_a_leaf_is_refused():
    assert refused("cards-2.png") & {Code.CHART_COVERED, Code.CALIBRATION_POOR}


def test_a_command_overrules_a_suspected_shadow(tmp_path, portrait):
    left, top, right, bottom = portrait.card_box
    corners = np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=float)
    picture = tmp_path / "shaded.png"
    Image.fromarray(shaded(portrait.rgb, corners, (-0.1, 0.5, 1.1, 1.2), 0.7)).save(picture)
    said = " ".join(CliRunner().invoke(app, ["measure", str(picture)]).stdout.split())
    assert "--picture FILE.png shows where. --card-is-evenly-lit says that you looked and nothing is there." in said
    plain = CliRunner().invoke(app, ["measure", str(picture), "--json"])
    looked_at = CliRunner().invoke(app, ["measure", str(picture), "--json", "--card-is-evenly-lit"])
    assert plain.exit_code == REFUSED
    assert json.loads(plain.stdout)["chart"]["suspected_edge_px"]
    assert looked_at.exit_code == 0
    assert "card_called_even" in {reason["code"] for reason in json.loads(looked_at.stdout)["reasons"]}
