"""`tenter wardrobe`: words read against the JSON, exit codes, and nobody told to throw anything away."""

import json

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.consultation.personal.document import palette_document
from tests.support.clients.palette_clients import client
from tests.support.pseudo import english

OWNED = """name,kind,colour,role,price,wears,loved
blouse,top,"66,35,30",,40,20,
plum jumper,top,"25,17,-8",,60,5,yes
jeans,bottom,denim,away,80,100,
cardigan,layer,cream,near_face,,,
skirt,bottom,"30,25,-30",,30,2,
"""
WISHES = """name,kind,colour,role,price
shirt,top,apricot,near_face,45
chinos,bottom,moss,away,60
coat,layer,ivory,near_face,400
"""


@pytest.fixture
def run(tmp_path):
    known, made = client("warm spring")
    (tmp_path / "palette.json").write_text(json.dumps(palette_document("Ada", made, known)), encoding="utf-8")
    (tmp_path / "owned.csv").write_text(OWNED, encoding="utf-8")
    (tmp_path / "wishes.csv").write_text(WISHES, encoding="utf-8")

    def run(command, *arguments):
        files = [tmp_path / name for name in (("owned.csv", "wishes.csv") if command == "buy" else ("owned.csv",))]
        told = ["wardrobe", command, *files, *arguments, "--palette", tmp_path / "palette.json"]
        return CliRunner().invoke(app, [str(part) for part in told], catch_exceptions=False)

    return run


def words(done):
    assert done.exit_code == 0, done.stderr
    return " ".join(done.stdout.split())


def test_a_wardrobe_is_shown_piece_by_piece_with_its_gaps(run):
    found = json.loads(run("show", "--json").stdout)
    assert [p["role"] for p in found["pieces"]][:1] == ["near_face"]
    assert found["pieces"][0]["cost_per_wear"] == 2.0
    told = words(run("show"))
    assert "Blouse: near the face. 2.00 a wear so far." in told
    assert "Plum jumper: well away from the face. They love it: put" in told
    assert "It is far from the face, so it may be any colour." in told
    for part in found["parts"]:
        assert (f"No {part['part']} yet." in told) == part["gap"]
    assert f"{len(found['outfits'])} outfits from what they have." in told
    assert "Nothing needs to be thrown away." in told


def test_a_buy_list_keeps_to_the_budget(run):
    found = json.loads(run("buy", "--budget", 110, "--json").stdout)
    assert found["buy"] == ["shirt", "chinos"]
    assert found["spent"] == 105 <= found["budget"]
    assert found["exact"]
    told = words(run("buy", "--budget", 110))
    assert "Buy shirt and chinos: 105 of 110." in told
    assert f"They have {found['outfits_now']} outfits now, and {found['outfits_gained']} more with these." in told
    assert "No other choice within the budget makes more." in told
    for wish in found["wishes"]:
        count = wish["outfits_gained"]
        assert f"{'one more outfit' if count == 1 else f'{count} more outfits'}." in told
    for budget in (0, 10):
        told = words(run("buy", "--budget", budget))
        assert (
            f"Every wish costs more than {budget}: the cheapest is shirt, at 45. They have {found['outfits_now']}"
            in told
        )


def test_wishes_that_make_no_outfit_are_said_to_make_none(run, tmp_path):
    (tmp_path / "wishes.csv").write_text("name,kind,colour,price\nbag,bag,camel,5\n", encoding="utf-8")
    assert "Nothing on the list makes a new outfit within 10." in words(run("buy", "--budget", 10))


@pytest.mark.parametrize(
    ("owned", "said"),
    [
        ("bag,bag,camel,away\nblouse,top,coral,near_face", "An outfit is a top and a bottom, or a dress with a layer"),
        ("plum jumper,top,plum,leave\njeans,bottom,denim,away", "A scarf of one of their best colours"),
        ("frock,dress,coral,near_face\nbag,bag,camel,away", "nothing goes with what they wear near the face"),
    ],
)
def test_where_nothing_makes_an_outfit_the_reason_is_said(run, tmp_path, owned, said):
    (tmp_path / "owned.csv").write_text(f"name,kind,colour,role\n{owned}\n", encoding="utf-8")
    assert said in words(run("show"))
    assert said in words(run("rest"))
    assert "0 outfits" not in words(run("show"))
    assert "They have no outfits yet." in words(run("buy", "--budget", 0))


def test_of_many_pieces_in_no_outfit_the_first_are_named(run, tmp_path):
    bags = "".join(f"bag {n},bag,camel,away\n" for n in range(1, 21))
    pair = "blouse,top,coral,near_face\njeans,bottom,denim,away\n"
    (tmp_path / "owned.csv").write_text(f"name,kind,colour,role\n{pair}{bags}", encoding="utf-8")
    told = words(run("rest"))
    assert "After one day the outfits repeat" in told
    assert "In no outfit: bag 1, bag 2, bag 3, bag 4, bag 5, bag 6, bag 7, bag 8 and 12 more." in told


def test_a_buy_list_keeps_to_a_number_of_new_pieces(run):
    found = json.loads(run("buy", "--budget", 110, "--pieces", 1, "--json").stdout)
    assert len(found["buy"]) == 1


def test_contrast_narrows_the_outfits(run):
    every, low = (json.loads(run("show", *more, "--json").stdout)["outfits"] for more in ((), ("--contrast", "low")))
    assert len(low) < len(every)
    assert all(outfit in every for outfit in low)
    wrong = run("show", "--contrast", "huge")
    assert wrong.exit_code == 2
    assert "no contrast is called 'huge'; use low, medium or high" in wrong.stderr


def test_the_contrast_of_a_measured_face_is_taken(run, tmp_path):
    lab = {"forehead": [68, 9, 16], "hair": [20, 3, 4]}
    regions = {
        name: {"lab": v, "lab_interval_90": [[c - 2, c + 2] for c in v], "pixels": 900} for name, v in lab.items()
    }
    face = {"accepted": True, "reasons": [], "basis": "chart", "illuminant": "D65", "observer": "2", "regions": regions}
    (tmp_path / "face.json").write_text(json.dumps(face), encoding="utf-8")
    by_face, by_word = (
        json.loads(run("show", *more, "--json").stdout)["outfits"]
        for more in (("--face", tmp_path / "face.json"), ("--contrast", "high"))
    )
    assert by_face == by_word
    both = run("show", "--face", tmp_path / "face.json", "--contrast", "low")
    assert both.exit_code == 2
    assert "--contrast and --face were both given" in both.stderr


def test_thirty_days_of_shopping_nothing(run):
    found = json.loads(run("rest", "--json").stdout)
    assert len(found["days"]) == 30
    told = words(run("rest"))
    assert f"30 days without buying anything, in {found['different']} outfits." in told
    assert f"After {found['different']} days the outfits repeat" in told
    assert "In no outfit: plum jumper. They keep what they love. Nothing needs to be thrown away." in told
    assert found["unworn"] == ["plum jumper"]


def test_a_fault_of_the_file_ends_with_2(run, tmp_path):
    assert run("show", "--json").exit_code == 0
    (tmp_path / "owned.csv").write_text("name,kind,colour\nx,hat,camel\n", encoding="utf-8")
    done = run("show", "--json")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "no kind of piece is called 'hat'" in done.stderr


def test_each_command_speaks_another_language(run, spoken):
    own = {"blouse", "plum", "jumper", "jeans", "cardigan", "skirt", "shirt", "chinos", "coat"}
    for command, *more in (("show",), ("buy", "--budget", 110), ("rest", "--days", 3)):
        told = run(command, *more, "--language", spoken).stdout
        assert {word.lower() for word in english([told])} <= own
        assert len(english([run(command, *more).stdout])) > len(own)
