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
        (("bought", 9, 1), "no drawer '9'; known: 7, 8"),
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
