"""stock.csv and the movements beside it: read back whole, faults by row and column, and nothing lost."""

import re
from pathlib import Path

import pytest

from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.stock.files import (
    MOVEMENT_COLUMNS,
    STOCK_OPTIONAL,
    STOCK_REQUIRED,
    add_movements,
    add_snippets,
    movements_path,
    parse_movements,
    parse_snippets,
    parse_stock,
    read_stock,
    stock_csv,
)
from tenter.consultation.stock.movements import Movement, MovementReason, picked
from tenter.consultation.stock.snippets import Snippet, Stock
from tenter.errors import TenterError, UnreadableInput

HEADER = ",".join((*STOCK_REQUIRED, *STOCK_OPTIONAL))
ROWS = f"{HEADER}\n7,coral,65,40,30,D65,10,3,2\nA2,old navy,22.5,3,-20,A,2,0,\n"
DAY = "2026-11-29T10:00:00"
DOCUMENT = (Path(__file__).parents[3] / "docs" / "reference" / "stock.md").read_text(encoding="utf-8")


@pytest.fixture
def path(tmp_path):
    file = tmp_path / "stock.csv"
    file.write_text(ROWS, encoding="utf-8")
    return file


def test_a_stock_is_read_with_every_column() -> None:
    coral, navy = parse_stock(ROWS)
    assert coral == Snippet("7", "coral", (65.0, 40.0, 30.0), count=3, reorder_at=2)
    assert navy == Snippet("A2", "old navy", (22.5, 3.0, -20.0), Conditions("A", Observer.CIE_1931_2))


def test_what_is_written_is_read_back_the_same() -> None:
    given = Stock((Snippet("1", 'two, "three"', (1 / 3, -1e-7, 40.0)), *parse_stock(ROWS)))
    assert parse_stock(stock_csv(given)).snippets == given.snippets
    assert len(parse_stock(stock_csv(Stock()))) == 0


def test_count_and_reorder_at_may_be_left_out() -> None:
    [one] = parse_stock("drawer,name,L,a,b,illuminant,observer\n1,,50,0,0,D65,10\n")
    assert (one.name, one.count, one.reorder_at) == ("1", 0, None)


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        ("7,rose,50,0,0,D65,10,1,", "row 4, column drawer: drawer 7 is in row 2 already"),
        ("a2,rose,50,0,0,D65,10,1,", "row 4, column drawer: drawer a2 is in row 3 already"),
        ("a b,rose,50,0,0,D65,10,1,", "row 4, column drawer: 'a b' cannot be a drawer's number"),
        ("9,rose,white,0,0,D65,10,1,", "row 4, column L: 'white' is not a number"),
        ("9,rose,150,0,0,D65,10,1,", "row 4, column L: 150 is outside 0 to 115"),
        ("9,rose,50,0,0,D66,10,1,", "row 4, column illuminant: no illuminant is called 'D66'"),
        ("9,rose,50,0,0,D65,7,1,", "row 4, column observer"),
        ("9,rose,50,0,0,D65,10,many,", "row 4, column count: 'many' is not a whole number"),
        ("9,rose,50,0,0,D65,10,-3,", "row 4, column count: '-3' is not a number of pieces"),
        ("9,rose,50,0,0,D65,10,1.5,", "row 4, column count: '1.5' is not a whole number"),
        ("9,rose,50,0,0,D65,10,1,x", "row 4, column reorder_at: 'x' is not a whole number"),
        (f"9,{'x' * 81},50,0,0,D65,10,1,1", "row 4, column name: a snippet's name has 80 letters at most"),
    ],
)
def test_a_fault_is_named_by_row_and_column(row: str, fault: str) -> None:
    with pytest.raises(UnreadableInput, match=re.escape(fault)):
        parse_stock(f"{ROWS}{row}\n")


def test_every_fault_is_told_at_once() -> None:
    with pytest.raises(UnreadableInput) as caught:
        parse_stock(f"{HEADER}\n1,a,x,0,0,D65,10,1,\n1,b,50,0,0,D65,10,z,\n")
    assert [part in caught.value.problem for part in ("row 2, column L", "drawer 1 is in row 2", "row 3, column count")]
    assert "row 2, column drawer" not in caught.value.problem


def test_a_kit_from_photographs_can_be_taken_in_and_anything_else_not() -> None:
    [one] = parse_snippets("id,name,L,a,b,illuminant,observer\nD1,rose,50,9,0,D65,10\n", "kit.csv", 5, 2)
    assert (one.drawer, one.count, one.reorder_at) == ("D1", 5, 2)
    assert parse_snippets(ROWS, "stock.csv", 5) == parse_stock(ROWS).snippets
    with pytest.raises(UnreadableInput, match="neither a stock"):
        parse_snippets("a,b\n1,2\n", "other.csv")
    with pytest.raises(UnreadableInput, match="neither a stock"):
        parse_snippets("", "other.csv")


def test_the_document_says_what_is_read() -> None:
    [example] = re.findall(r"^```csv stock.csv\n(.*?)^```", DOCUMENT, flags=re.MULTILINE | re.DOTALL)
    assert [one.drawer for one in parse_stock(example)] == ["7", "8", "A2"]
    rows = re.findall(r"^\| (`[^|]+`) \| (yes|no) \|", DOCUMENT, flags=re.MULTILINE)
    told = [(name, needed) for names, needed in rows for name in re.findall(r"`([^`]+)`", names)]
    assert [name for name, needed in told if needed == "yes"] == list(STOCK_REQUIRED)
    assert [name for name, needed in told if needed == "no"] == list(STOCK_OPTIONAL)
    assert [word for word in (*MOVEMENT_COLUMNS, *MovementReason) if f"`{word}`" not in DOCUMENT] == []


# -- files -------------------------------------------------------------------------------------------------------------


def test_movements_are_added_beside_the_stock_whose_own_file_stays(path: Path) -> None:
    add_movements(path, [Movement("7", 4, MovementReason.BOUGHT, DAY, "fair")])
    after = add_movements(path, picked(["7", "7"], DAY, "K1"))
    assert after["7"].count == read_stock(path)["7"].count == 5
    assert path.read_text(encoding="utf-8") == ROWS
    lines = movements_path(path).read_text(encoding="utf-8").splitlines()
    assert lines[0] == ",".join(MOVEMENT_COLUMNS)
    assert lines[1] == f"{DAY},7,4,bought,fair"
    assert len(lines) == 4


def test_what_cannot_go_out_leaves_every_file_as_it_was(path: Path) -> None:
    add_movements(path, picked(["7"], DAY))
    before = movements_path(path).read_bytes()
    for wrong in (picked(["7", "7", "7"], DAY), picked(["7", "9"], DAY), picked(["A2"], DAY)):
        with pytest.raises(TenterError):
            add_movements(path, wrong)
    assert movements_path(path).read_bytes() == before
    assert read_stock(path)["7"].count == 2


def test_snippets_are_added_and_a_drawer_in_use_changes_nothing(path: Path) -> None:
    add_movements(path, picked(["7"], DAY))
    after = add_snippets(path, [Snippet("8", "rose", (60.0, 30.0, 5.0), count=2)])
    assert [(one.drawer, one.count) for one in after] == [("7", 2), ("8", 2), ("A2", 0)]
    before = path.read_bytes()
    with pytest.raises(TenterError, match="drawer 7 holds coral already"):
        add_snippets(path, [Snippet("9", "", (50.0, 0.0, 0.0)), Snippet("7", "teal", (50.0, 0.0, 0.0))])
    assert path.read_bytes() == before
    assert [file.name for file in sorted(path.parent.iterdir())] == ["stock.csv", "stock.movements.csv"]


def test_a_stock_begins_with_the_first_snippets(tmp_path: Path) -> None:
    after = add_snippets(tmp_path / "new.csv", [Snippet("1", "rose", (60.0, 30.0, 5.0), count=2)])
    assert read_stock(tmp_path / "new.csv").snippets == after.snippets


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(UnreadableInput, match="cannot be written"):
        add_snippets(tmp_path / "none" / "new.csv", [Snippet("1", "rose", (60.0, 30.0, 5.0))])
    with pytest.raises(UnreadableInput, match="no such file"):
        read_stock(tmp_path / "none.csv")


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (f"{DAY},7,0,counted,", "row 2, column drawer: what is counted goes in or out; got 0"),
        (f"{DAY},7,two,bought,", "row 2, column change: 'two' is not a whole number"),
        (f"{DAY},7,1,stolen,", "row 2, column why: no reason of a movement is called 'stolen'"),
        (f"{DAY},7,1,picked,", "what is picked goes out"),
        ("noon,7,1,bought,", "a movement has a date"),
    ],
)
def test_a_fault_of_a_movement_is_named(row: str, fault: str) -> None:
    with pytest.raises(UnreadableInput, match=re.escape(fault)):
        parse_movements(f"{','.join(MOVEMENT_COLUMNS)}\n{row}\n")


def test_movements_that_do_not_fit_their_stock_are_said_by_their_file(path: Path) -> None:
    movements_path(path).write_text(f"{','.join(MOVEMENT_COLUMNS)}\n{DAY},9,1,bought,\n", encoding="utf-8")
    with pytest.raises(UnreadableInput, match="no drawer is called '9'") as caught:
        read_stock(path)
    assert caught.value.source.endswith("stock.movements.csv")
