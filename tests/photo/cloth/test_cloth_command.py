"""`tenter cloth`: exit codes, one JSON object on stdout, a kit file that reads back, and help that loads nothing."""

import json
import subprocess
import sys

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from studies.photo.card_faults import shaded
from studies.scenes.cloth_scene import Drapery, cloth_reflectances, cloth_scene, true_lab
from studies.scenes.exposure import Shot, expose
from tenter import Kit
from tenter.cli.photo.cloth import OrderOption, app
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.numerals import number
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.cloth.rack import Order
from tenter.photo.files.loading import load_photo

REFLECTANCES = cloth_reflectances()[[45, 48, 52, 60]]


@pytest.fixture(scope="module")
def picture(tmp_path_factory):
    """Two rows of two flat cloths beside a card."""
    boxes = [(380 + 250 * c, 60 + 310 * r, 200, 260) for r in range(2) for c in range(2)]
    cloths = [Drapery(box, reflectance) for box, reflectance in zip(boxes, REFLECTANCES, strict=True)]
    path = tmp_path_factory.mktemp("cloths") / "rack.jpg"
    path.write_bytes(expose(cloth_scene(cloths), "D65", "nikon", Shot(seed=6)).jpeg())
    return path


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, [*map(str, arguments)])


def test_a_cloth_ends_with_0_and_one_json_object(run, picture):
    done = run("measure", picture, "--at", "380,60,200,260", "--json")
    assert done.exit_code == 0, done.stderr
    assert done.stderr == ""
    result = json.loads(done.stdout)
    assert result["accepted"] is True
    assert delta_e_2000(np.array(result["cloth"]["lab"]), true_lab(REFLECTANCES[0])) < 2.5


def test_a_reader_gets_a_table_and_the_kept_part(run, picture):
    done = run("measure", picture, "--outline", "380,60 580,60 580,320 380,320")
    assert done.exit_code == 0
    for word in ("L*", "evenly lit", "Spread", "D65/10°", "not measured"):
        assert word in " ".join(done.stdout.split())


@pytest.fixture
def shaded_card(picture, tmp_path):
    """The rack's picture with a shadow over half of its card."""
    photo = load_photo(picture)
    corners = look_for_card(photo, CardChoice(ChartKind.CLASSIC24)).finding.corners_px
    path = tmp_path / "shaded.png"
    Image.fromarray(shaded(photo.rgb, corners, (-0.1, 0.5, 1.1, 1.2), 0.6)).save(path)
    return path


@pytest.mark.parametrize(
    "asked", [("measure", "--at", "380,60,200,260"), ("rack", "--rows", 2, "--columns", 2)], ids=lambda asked: asked[0]
)
def test_a_shaded_card_is_refused_with_the_option_that_overrules_it(run, shaded_card, asked):
    command, *options = asked
    refused = run(command, shaded_card, *options)
    assert refused.exit_code == 3
    assert "--card-is-evenly-lit says that you looked and nothing is there." in " ".join(refused.stdout.split())
    overruled = run(command, shaded_card, *options, "--card-is-evenly-lit")
    assert overruled.exit_code == 0
    assert "--card-is-evenly-lit" not in overruled.stdout


def test_a_print_is_told_as_areas(run, picture):
    done = run("measure", picture, "--print", "--at", "380,60,200,260", "--json")
    assert done.exit_code == 0, done.stderr
    assert [colour["area"] for colour in json.loads(done.stdout)["palette"]] == [1.0]


def test_a_print_is_looked_for_as_a_whole(run, tmp_path):
    three = cloth_reflectances()[[45, 60, 52]]
    scene = cloth_scene([Drapery((400, 80, 420, 560), three, areas=(0.5, 0.3, 0.2))])
    (tmp_path / "print.jpg").write_bytes(expose(scene, "D65", "nikon", Shot(seed=6)).jpeg())
    told = json.loads(run("measure", tmp_path / "print.jpg", "--print", "--json").stdout)
    assert [colour["area"] for colour in told["palette"]] == pytest.approx([0.5, 0.3, 0.2], abs=0.05)
    assert "stands out from the wall" in told["reasons"][0]["text"]


def test_a_refused_cloth_ends_with_3_and_says_why(run, picture):
    done = run("measure", picture, "--at", "400,100,10,10", "--json")
    assert done.exit_code == 3
    assert json.loads(done.stdout)["reasons"][0]["code"] == "cloth_too_small"
    told = run("measure", picture, "--at", "400,100,10,10")
    assert (told.exit_code, "Come closer" in told.stdout) == (3, True)


def test_a_rack_becomes_a_kit_that_reads_back(run, picture, tmp_path):
    kit_file = tmp_path / "drapes.csv"
    numbers = ("--from", "D007", "--order", "columns")
    done = run("rack", picture, "--rows", 2, "--columns", 2, *numbers, "--csv", kit_file, "--json")
    assert done.exit_code == 0, done.stderr
    assert "4 cloths written" in done.stderr
    assert "predicted, not measured" in done.stderr
    kit = Kit.read(kit_file)
    assert kit.ids == ("D007", "D009", "D008", "D010")
    assert kit.colours.conditions == D65_10
    true = Colours(true_lab(REFLECTANCES), D65_2).under(D65_10)
    assert np.all(kit.colours.delta_e_2000(true) < 3)
    written = [cell["cloth"]["converted"]["lab"] for cell in json.loads(done.stdout)["cells"]]
    assert np.abs(kit.lab - written).max() < 0.06  # not the D65/2° that stands beside it
    assert "from a photograph ±" in kit["D007"].notes
    assert "converted" in kit["D007"].notes


def test_a_rack_prints_its_json_and_its_table(run, picture):
    done = run("rack", picture, "--rows", 2, "--columns", 2, "--numbers", "A,B,C,D", "--json")
    assert done.exit_code == 0
    assert [cell["name"] for cell in json.loads(done.stdout)["cells"]] == ["A", "B", "C", "D"]
    told = run("rack", picture, "--rows", 2, "--columns", 2)
    assert told.exit_code == 0
    assert "r2c2" in told.stdout


def test_no_figure_is_cut_on_a_narrow_terminal(run, picture, monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    done = run("rack", picture, "--rows", 2, "--columns", 2, "--numbers", "D0001,D0002,D0003,D0004")
    assert "…" not in done.stdout
    cells = json.loads(run("rack", picture, "--rows", 2, "--columns", 2, "--json").stdout)["cells"]
    for value in (value for cell in cells for value in cell["cloth"]["lab"]):
        assert number(value - 0.004) in done.stdout or number(value + 0.004) in done.stdout  # it was rounded before


def test_a_rack_that_is_not_there_ends_with_3_and_writes_nothing(run, picture, tmp_path):
    kit_file = tmp_path / "drapes.csv"
    done = run("rack", picture, "--rows", 5, "--columns", 3, "--csv", kit_file, "--json")
    assert done.exit_code == 3
    assert json.loads(done.stdout)["accepted"] is False
    assert not kit_file.exists()


def test_numbers_that_a_kit_cannot_have_write_nothing(run, picture, tmp_path):
    kit_file = tmp_path / "drapes.csv"
    done = run("rack", picture, "--rows", 2, "--columns", 2, "--numbers", "a b,c,d,e", "--csv", kit_file)
    assert done.exit_code == 2
    assert "cannot be a cloth's id" in done.stderr
    assert not kit_file.exists()


def test_a_kit_file_that_cannot_be_written_ends_with_2(run, picture, tmp_path):
    done = run("rack", picture, "--rows", 2, "--columns", 2, "--csv", tmp_path / "no" / "drapes.csv")
    assert done.exit_code == 2
    assert "cannot be written" in done.stderr


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--at", "1,2"), "left, top, width and height"),
        (("--at", "1,2,3,x"), "--at came as '1,2,3,x'"),
        (("--at", "0,0,9000,10"), "900 × 700"),
        (("--outline", "1,2"), "at least three"),
        (("--outline", "1,2 3,4,5 6,7"), "'1,2 3,4,5 6,7'"),
        (("--outline", " "), "--outline came as ''"),
        (("--at", "1,2,3,4", "--outline", "1,2 3,4 5,6"), "give one of them"),
        (("--chart", "none"), "needs a card"),
    ],
)
def test_options_that_cannot_be_used_end_with_2(run, picture, arguments, said):
    done = run("measure", picture, *arguments, "--json")
    assert done.exit_code == 2
    assert said in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--numbers", "A,B"), "2 numbers came"),
        (("--from", "cloth"), "has no number to count on"),
        (("--numbers", "A,B,C,D", "--from", "D1"), "give one of them"),
        (("--corners", "1,2 3,4"), "top left, top right"),
    ],
)
def test_rack_options_that_cannot_be_used_end_with_2(run, picture, arguments, said):
    done = run("rack", picture, "--rows", 2, "--columns", 2, *arguments)
    assert done.exit_code == 2
    assert said in done.stderr


def test_a_file_that_is_not_there_ends_with_2(run):
    for command in (("measure", "nothing.jpg"), ("rack", "nothing.jpg", "--rows", 2, "--columns", 2)):
        done = run(*command)
        assert (done.exit_code, done.stdout) == (2, "")
        assert "nothing.jpg" in done.stderr


def test_the_orders_are_those_of_the_rack():
    assert [option.value for option in OrderOption] == [str(order) for order in Order]


def test_help_loads_no_image_library():
    script = (
        "import sys; from typer.testing import CliRunner; from tenter.cli.main import app; "
        "done = CliRunner().invoke(app, ['cloth', 'rack', '--help']); assert done.exit_code == 0; "
        "print(sorted({'cv2', 'numpy', 'PIL', 'mediapipe'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
