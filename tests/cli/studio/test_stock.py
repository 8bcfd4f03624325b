"""`tenter stock`: drawers on the command line, exit codes, one JSON object on stdout, and nothing lost by a fault."""

import json

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app

ROWS = (
    "drawer,name,L,a,b,illuminant,observer,count,reorder_at\n7,coral wool,65,45,30,D65,10,3,2\n"
    "8,navy card,22,4,-24,D65,10,0,\n"
)


@pytest.fixture
def stock(tmp_path):
    path = tmp_path / "stock.csv"
    path.write_text(ROWS, encoding="utf-8")
    return path


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, ["stock", *map(str, arguments)])


def listed(run, stock):
    done = run("list", "--stock", stock, "--json")
    assert done.exit_code == 0, done.stderr
    return {one["drawer"]: one["count"] for one in json.loads(done.stdout)["snippets"]}


def test_the_drawers_are_listed_with_what_they_hold(run, stock):
    done = run("list", "--stock", stock)
    assert done.stdout == "drawer 7: coral wool, 3 pieces\ndrawer 8: navy card, empty\n"
    assert run("list", "--stock", stock, "--low").stdout == "Nothing to reorder.\n"


def test_pieces_come_in_and_are_counted(run, stock):
    assert run("count", 7, 1, "--stock", stock).stdout == "drawer 7: coral wool, 1 piece, reorder\n"
    assert run("list", "--stock", stock, "--low").stdout == "drawer 7: coral wool, 1 piece, reorder\n"
    assert run("bought", 7, 20, "--stock", stock, "--note", "fair").stdout == "drawer 7: coral wool, 21 pieces\n"
    back = json.loads(run("put-back", 7, "--stock", stock, "--json").stdout)
    assert (back["moved"], back["snippet"]["count"], back["snippet"]["reorder"]) == (1, 22, False)
    assert run("count", 7, 22, "--stock", stock).exit_code == 0
    assert listed(run, stock) == {"7": 22, "8": 0}
    assert stock.read_text(encoding="utf-8") == ROWS
    assert (stock.parent / "stock.movements.csv").read_text(encoding="utf-8").count("\n") == 4


def test_snippets_are_added_from_a_stock_and_from_a_kit(run, stock, tmp_path):
    more = tmp_path / "more.csv"
    more.write_text(ROWS.replace("7,coral", "9,rose").replace("8,navy", "10,ink"), encoding="utf-8")
    assert run("add", more, "--stock", stock).stdout == f"2 snippets added. {stock} has 4.\n"
    more.write_text("id,name,L,a,b,illuminant,observer\nD1,teal,50,-20,-9,D65,10\n", encoding="utf-8")
    done = json.loads(run("add", more, "--stock", stock, "--count", 5, "--reorder-at", 5, "--json").stdout)
    assert done["added"] == ["D1"]
    assert listed(run, stock) == {"7": 3, "8": 0, "9": 3, "10": 0, "D1": 5}
    assert run("list", "--stock", stock, "--low").stdout == "drawer D1: teal, 5 pieces, reorder\n"


def test_a_stock_begins_with_the_first_file(run, stock, tmp_path):
    assert run("add", stock, "--stock", tmp_path / "new.csv").exit_code == 0
    assert listed(run, tmp_path / "new.csv") == {"7": 3, "8": 0}


def test_an_empty_stock_says_how_to_begin(run, stock):
    stock.write_text(ROWS.splitlines()[0], encoding="utf-8")
    assert "tenter stock add" in run("list", "--stock", stock).stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("bought", 9, 1), "no drawer is called '9'; use 7 or 8"),
        (("bought", 7, 0), "what is bought goes in"),
        (("bought", 7, -2), "what is bought goes in"),
        (("count", 7, -1), "from 0 to 100000"),
        (("count", "7 8", 1), "cannot be a drawer's number"),
        (("put-back", 7, 10**7), "a change of drawer 7 is a whole number"),
        (("list", "--stock", "nowhere.csv"), "no such file"),
        (("add", "nowhere.csv"), "no such file"),
    ],
)
def test_what_cannot_be_is_said_and_changes_nothing(run, stock, arguments, said):
    given = arguments if "--stock" in arguments else (*arguments, "--stock", stock)
    done = run(given[0], *given[3:], "--", *given[1:3]) if given[0] != "list" and len(arguments) > 2 else run(*given)
    assert (done.exit_code, done.stdout) == (2, "")
    assert said in done.stderr
    assert sorted(path.name for path in stock.parent.iterdir()) == ["stock.csv"]
    assert stock.read_text(encoding="utf-8") == ROWS


def test_a_drawer_in_use_is_not_written_over(run, stock):
    done = run("add", stock, "--stock", stock)
    assert done.exit_code == 2
    assert "drawer 7 holds coral wool already" in done.stderr
    assert stock.read_text(encoding="utf-8") == ROWS


# -- the pick list -----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def palette(tmp_path_factory):
    """The palette of the demo's K5, as a file."""
    path = tmp_path_factory.mktemp("palette") / "k5.json"
    done = CliRunner().invoke(app, ["palette", "--client", "K5", "--out", str(path)])
    assert done.exit_code == 0, done.stderr
    return path


@pytest.fixture
def stocked(palette, tmp_path):
    """A stock of the first three colours of that palette, the second drawer empty, and one far off."""
    colours = json.loads(palette.read_text(encoding="utf-8"))["colours"][:3]
    rows = [f"{n},snippet {n},{','.join(map(str, c['lab']))},D65,10,{2 * (n != 2)},1" for n, c in enumerate(colours, 1)]
    path = tmp_path / "stock.csv"
    path.write_text("\n".join((ROWS.splitlines()[0], *rows, "99,far,50,90,-90,D65,10,5,")) + "\n", encoding="utf-8")
    return path, [c["name"] for c in colours]


@pytest.fixture(scope="module")
def counted(palette):
    """How many colours that palette has, without metals and borrowed ones."""
    colours = json.loads(palette.read_text(encoding="utf-8"))["colours"]
    return sum(c["role"] != "metal" and c["fit"] != "borrow" for c in colours)


def test_a_palette_says_which_drawers_give_a_piece_and_what_is_printed(run, palette, counted, stocked):
    stock, names = stocked
    done = run("pick", palette, "--stock", stock)
    assert done.exit_code == 0, done.stderr
    lines = done.stdout.splitlines()
    assert lines[0] == f"2 colours from the drawers, {counted - 2} to be printed."
    assert lines[1] == f"drawer 1: snippet 1 for {names[0]}, the same to the eye; 1 left, reorder"
    assert f"print {names[1]}: drawer 2 would fit, but is empty" in lines
    assert "A metal cannot be judged by one colour value." in lines[-2]
    assert lines[-1] == "Nothing is counted down yet; --take does that."
    assert listed(run, stock) == {"1": 2, "2": 0, "3": 2, "99": 5}


def test_what_is_taken_is_counted_down_until_the_drawers_are_empty(run, palette, counted, stocked):
    stock, _ = stocked
    done = run("pick", palette, "--stock", stock, "--take", "--json")
    said = json.loads(done.stdout)
    assert [(one["drawer"], one["left"], one["reorder"]) for one in said["picks"]] == [("1", 1, True), ("3", 1, True)]
    assert (len(said["to_print"]), said["taken"], said["within"]) == (counted - 2, True, None)
    assert listed(run, stock) == {"1": 1, "2": 0, "3": 1, "99": 5}
    assert run("pick", palette, "--stock", stock, "--take").stdout.endswith("Counted down.\n")
    assert listed(run, stock) == {"1": 0, "2": 0, "3": 0, "99": 5}
    last = run("pick", palette, "--stock", stock, "--take").stdout
    assert last.startswith(f"No drawer has a colour of this palette. All {counted} are to be printed.")
    assert "K5" in (stock.parent / "stock.movements.csv").read_text(encoding="utf-8")


def test_the_ledger_gives_the_same_list_as_the_palettes_file(run, palette, stocked):
    stock, _ = stocked
    given, of_ledger = (run("pick", *of, "--stock", stock) for of in ((palette,), ("--client", "K5")))
    assert of_ledger.stdout == given.stdout


def test_a_pick_list_without_a_client_or_with_a_wrong_tolerance_is_refused(run, palette, stocked):
    stock, _ = stocked
    junk = stock.with_name("junk.json")
    junk.write_text("no palette", encoding="utf-8")
    for arguments, said in (
        ((), "whose palette is not said"),
        (("--client", "nobody"), "nobody"),
        ((palette, "--within", 30), "from 0 to 20"),
        ((junk,), "not JSON"),
    ):
        done = run("pick", *arguments, "--stock", stock)
        assert (done.exit_code, done.stdout) == (2, "")
        assert said in done.stderr


def test_an_empty_stock_has_all_printed(run, palette, counted, stock):
    stock.write_text(ROWS.splitlines()[0], encoding="utf-8")
    done = run("pick", palette, "--stock", stock, "--take")
    assert done.stdout.startswith(f"No drawer has a colour of this palette. All {counted} are to be printed.")
    assert "no snippets in stock" in done.stdout
    assert not (stock.parent / "stock.movements.csv").exists()
