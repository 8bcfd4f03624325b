"""Reading a kit: every fault named by row and column, and nothing half-loaded."""

import csv
import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from tenter import Kit, TenterError
from tenter.consultation.cloths.hue_families import TYPICAL_LAB, HueFamily, hue_family
from tenter.consultation.cloths.kit import KIT_OPTIONAL, KIT_REQUIRED
from tenter.errors import UnknownName, UnreadableInput

HEADER = ",".join(KIT_REQUIRED)
GOOD = "A1,Peach,80.0,15.0,25.0,D65,10"
COLUMNS = [*KIT_REQUIRED, *KIT_OPTIONAL]
WORDS = st.text(st.characters(categories=["L", "N"], include_characters=" .,;\"'-"), max_size=12).map(str.strip)
IDS = st.text(st.characters(categories=["L", "N"], include_characters="-_."), min_size=1, max_size=6)


@st.composite
def kit_rows(draw):
    """Rows of a valid kit, as cells by column."""
    ids = draw(st.lists(IDS, min_size=1, max_size=6, unique=True))
    rows = []
    for name in ids:
        family = draw(st.sampled_from(["", *HueFamily]))
        undertone = draw(st.floats(-3, 3)) if family == "metal" or draw(st.booleans()) else None
        rows.append(
            {
                "id": name,
                "name": draw(WORDS),
                **{axis: repr(draw(st.floats(*bounds))) for axis, bounds in zip("Lab", BOUNDS, strict=True)},
                "illuminant": "D65",
                "observer": "10",
                "group": draw(WORDS),
                "hue_family": str(family),
                "role": draw(WORDS),
                "notes": draw(WORDS),
                "undertone": "" if undertone is None else repr(undertone),
                "place": draw(WORDS),
                "bench_only": draw(st.sampled_from(["", "yes", "no", "Yes"])),
            }
        )
    return rows


BOUNDS = [(0, 115), (-150, 150), (-150, 150)]


def as_csv(rows, columns=tuple(COLUMNS), **how):
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, **how)
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


# -- whatever comes, only errors that can be shown -----------------------------------------------------------------


def assert_only_tenter_errors(read):
    try:
        kit = read()
    except TenterError:
        return
    assert len(kit) == len(kit.lab) > 0


@given(st.text())
def test_arbitrary_text_gives_a_kit_or_a_tenter_error(text):
    assert_only_tenter_errors(lambda: Kit.parse(text))


@given(st.lists(st.lists(st.text(max_size=8), min_size=7, max_size=8), max_size=4))
def test_arbitrary_cells_give_a_kit_or_a_tenter_error(cells):
    out = io.StringIO()
    csv.writer(out).writerows(cells)
    assert_only_tenter_errors(lambda: Kit.parse(f"{HEADER}\n{GOOD}\n{out.getvalue()}"))


@given(st.binary(max_size=200))
def test_arbitrary_bytes_give_a_kit_or_a_tenter_error(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("kit") / "drapes.csv"
    path.write_bytes(data)
    assert_only_tenter_errors(lambda: Kit.read(path))


# -- a valid kit ---------------------------------------------------------------------------------------------------


@given(kit_rows(), st.permutations(COLUMNS), st.sampled_from(["\r\n", "\n"]))
def test_a_valid_kit_reads_back_cell_by_cell(rows, columns, line_end):
    kit = Kit.parse(as_csv(rows, tuple(columns), lineterminator=line_end))
    assert kit.ids == tuple(row["id"] for row in rows)
    assert_array_equal(kit.lab, [[float(row[axis]) for axis in "Lab"] for row in rows])
    for row, drape in zip(rows, kit.drapes, strict=True):
        assert (drape.group, drape.role, drape.notes, drape.place) == tuple(
            row[c] for c in ("group", "role", "notes", "place")
        )
        assert drape.name == (row["name"] or row["id"])
        assert drape.undertone == (float(row["undertone"]) if row["undertone"] else None)
        assert drape.hue_family == (row["hue_family"] or hue_family([float(row[axis]) for axis in "Lab"]))
        assert drape.bench_only == (row["bench_only"].lower() == "yes")
        assert drape.measured


@given(
    kit_rows(),
    st.data(),
    st.sampled_from(
        [
            ("L", "12,5"),
            ("a", "warm"),
            ("b", "nan"),
            ("L", "-1"),
            ("a", "151"),
            ("b", ""),
            ("hue_family", "mauve"),
            ("undertone", "warm"),
            ("undertone", "9"),
            ("bench_only", "maybe"),
            ("id", "A B"),
            ("id", "A:B"),
            ("id", ""),
        ]
    ),
)
def test_a_damaged_cell_is_named_by_row_and_column(rows, data, damage):
    column, cell = damage
    number = data.draw(st.integers(0, len(rows) - 1))
    rows[number][column] = cell
    with pytest.raises(UnreadableInput) as caught:
        Kit.parse(as_csv(rows), "my kit")
    assert f"row {number + 2}, column {column}: " in str(caught.value)
    assert str(caught.value).startswith("my kit: ")
    assert "Nothing was loaded" in str(caught.value)


def test_every_fault_is_said_at_once():
    text = f"{HEADER}\n{GOOD}\nA2,Rust,forty,30,20,D65,10\n\nA3,Sky,60,0,999,D65,10\n"
    with pytest.raises(UnreadableInput) as caught:
        Kit.parse(text)
    assert "row 3, column L: 'forty' is not a number" in str(caught.value)
    assert "row 5, column b: 999 is outside -150 to 150" in str(caught.value)


def test_the_faults_of_a_hopeless_file_are_counted():
    rows = "\n".join(f"A{n},x,no,0,0,D65,10" for n in range(40))
    with pytest.raises(UnreadableInput, match="and 28 more"):
        Kit.parse(f"{HEADER}\n{rows}\n")


# -- one fault at a time -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the file is empty"),
        ("\n\n", "the file is empty"),
        (HEADER, "no row below the header"),
        (f"{HEADER}\n,,,,,,\n", "no row below the header"),
        ("id,name\nA,B\n", "missing column(s): 'L', 'a', 'b', 'illuminant', 'observer'"),
        (f"{HEADER},colour\n{GOOD},x\n", "unknown column(s): 'colour'"),
        (f"{HEADER},L\n{GOOD},1\n", "columns named twice: 'L'"),
        (f"{HEADER}\n{GOOD}\0\n", "NUL byte"),
        (f"{HEADER}\n{GOOD},extra\n", "row 2, column 8: 8 cells came where the header has 7"),
        (f"{HEADER}\nA1,Peach,80,5,15,0,25,0,D65,10\n", "10 cells came where the header has 7"),
        (f'{HEADER}\nA1,Peach,"80,5","15,0","25,0",D65,10\n', "row 2, column L: '80,5' has a comma"),
        (f"{HEADER}\n{GOOD}\n{GOOD}\n", "row 3, column id: 'A1' is in row 2 already"),
        (f"{HEADER}\n{GOOD}\nA2,x,50,0,0,D50,10\n", "row 3, column illuminant: 'D50' where row 2 has 'D65'"),
        (f"{HEADER}\n{GOOD}\nA2,x,50,0,0,D65,2\n", "row 3, column observer: '2' where row 2 has '10'"),
        (f"{HEADER}\nA1,x,50,0,0,D66,10\n", "row 2, column illuminant: no illuminant is called 'D66'"),
        (f"{HEADER}\nA1,x,50,0,0,D65,7\n", "row 2, column observer: no observer is called '7'"),
        (f"{HEADER}\nA1,x,50,0,0,,\n", "row 2, column illuminant"),
        (f"{HEADER},hue_family\n{GOOD},metal\n", "row 2, column undertone: a metal's undertone is set by hand"),
        (
            f"{HEADER},hue_family\n{GOOD},mauve\n",
            "row 2, column hue_family: no hue family is called 'mauve'; use red, pink",
        ),
        (f"{HEADER}\nA1,x,,,,D65,10\n", "row 2, column hue_family: the cell is empty"),
        (f"{HEADER}\nA1,x,50,,,D65,10\n", "row 2, column a: the cell is empty; a number is needed"),
        (f"{HEADER}\nA1,x,1_0,0,0,D65,10\n", "row 2, column L: '1_0' is not a number"),
        (f'{HEADER}\nA1,"x,50,0,0,D65,10\n', "not a CSV table"),
        (f'{HEADER}\nA1,"{"x" * 200_000}",50,0,0,D65,10\n', "not a CSV table"),
        (f"{HEADER}\nA=1,x,50,0,0,D65,10\n", "row 2, column id: 'A=1' cannot be a cloth's id"),
    ],
)
def test_a_faulty_table_says_what_came(text, words):
    with pytest.raises(UnreadableInput) as caught:
        Kit.parse(text)
    assert words in str(caught.value)
    assert str(caught.value) == f"{caught.value.source}: {caught.value.problem}. {caught.value.remedy}"


def write_folder(path):
    path.mkdir()


@pytest.mark.parametrize(
    ("write", "words"),
    [
        (lambda path: None, "there is no such file"),
        (write_folder, "it cannot be opened"),
        (lambda path: path.write_bytes(f"{HEADER}\nA1,Gr\xfcn,50,0,0,D65,10\n".encode("latin-1")), "not UTF-8"),
        (lambda path: path.write_bytes(f"{HEADER}\n{GOOD}\n".encode("utf-16")[:-1]), "not UTF-8"),
        (lambda path: path.write_bytes(b"x" * 21_000_000), "larger than 20 MB"),
    ],
)
def test_a_file_that_cannot_be_read_says_why(tmp_path, write, words):
    write(tmp_path / "drapes.csv")
    with pytest.raises(UnreadableInput, match=words) as caught:
        Kit.read(tmp_path / "drapes.csv")
    assert "drapes.csv" in str(caught.value)


@pytest.mark.parametrize(
    "data",
    [
        f"{HEADER}\n{GOOD}\n".encode("utf-8-sig"),
        f"{HEADER}\r\n{GOOD}\r\n".encode(),
        f"\n{HEADER}\n\n  \n{GOOD}\n,,\n\n".encode(),
        f" {HEADER.replace(',', ' , ')} \n {GOOD.replace(',', ' , ')} \n".encode(),
        f"{HEADER},notes\n{GOOD}\n".encode(),
    ],
    ids=["byte-order mark", "carriage returns", "blank lines", "spaces", "short row"],
)
def test_what_spreadsheets_add_is_passed_over(tmp_path, data):
    (tmp_path / "drapes.csv").write_bytes(data)
    kit = Kit.read(tmp_path / "drapes.csv")
    assert kit.ids == ("A1",)
    assert_array_equal(kit.lab, [[80.0, 15.0, 25.0]])


# -- what a kit knows ----------------------------------------------------------------------------------------------


def test_a_family_by_hand_overrules_the_colour():
    kit = Kit.parse(f"{HEADER},hue_family\n{GOOD},\nA2,Peach,80,15,25,D65,10,Pink\n")
    assert kit.hue_families == ("orange", "pink")


def test_an_undertone_by_hand_overrules_the_colour(bundled):
    kit = Kit.parse(f"{HEADER},undertone\n{GOOD},\nA2,Peach,80,15,25,D65,10,-0.6\n")
    measured, by_hand = bundled.coordinates(kit)
    assert measured[0] > 0
    assert by_hand[0] == -0.6
    assert_array_equal(measured[1:], by_hand[1:])


@pytest.mark.parametrize("family", [f for f in HueFamily if f is not HueFamily.METAL])
def test_a_cloth_without_a_colour_stands_for_its_family(family):
    kit = Kit.parse(f"{HEADER},hue_family\n{GOOD},\nA2,Scarf,,,,D65,10,{family}\n")
    assert [d.measured for d in kit.drapes] == [True, False]
    assert_array_equal(kit.lab[1], TYPICAL_LAB[family])


def test_a_kit_under_another_light_is_carried_to_the_bench():
    kit = Kit.parse(f"{HEADER}\n{GOOD.replace('D65,10', 'D50,2')}\n")
    assert str(kit.colours.conditions) == "D50/2°"
    assert kit.bench_colours.recovered
    assert_array_equal(kit.lab, [[80.0, 15.0, 25.0]])
    assert not np.array_equal(kit.bench_colours.lab, kit.lab)
    back = kit.bench_colours.under(kit.colours.conditions).lab
    assert_allclose(back, kit.lab, atol=0.5)


def test_the_demo_kit_is_the_file_in_the_demo_studio(demo_kit):
    assert len(demo_kit) == 96
    assert demo_kit["D026"].name == "Dust Rose Linen"
    assert not demo_kit.bench_colours.recovered


def test_cloths_are_found_by_id(demo_kit):
    assert demo_kit.row("D003") == 2
    assert "D003" in demo_kit
    assert "D999" not in demo_kit
    with pytest.raises(UnknownName, match="D999"):
        demo_kit.row("D999")


# -- from plain values ---------------------------------------------------------------------------------------------


def test_from_lab_reads_the_families_where_none_are_given():
    kit = Kit.from_lab(["A", "B"], [[80, 15, 25], [15, 0, 0]])
    assert kit.hue_families == ("orange", "dark")


@pytest.mark.parametrize("by_hand", [{"B": 1.0}, [None, 1.0]])
def test_from_lab_takes_undertones_by_name_or_in_order(by_hand):
    kit = Kit.from_lab(["A", "B"], [[80, 15, 25], [70, 0, 20]], ["orange", "metal"], undertone=by_hand)
    assert [d.undertone for d in kit.drapes] == [None, 1.0]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"ids": [], "lab": [], "hue_families": []}, "needs a Lab value per cloth|Lab values need"),
        ({"ids": ["A"]}, "2 hue_families came for 1 cloths"),
        ({"ids": ["A", "A"]}, "used twice: A"),
        ({"lab": [[50, 0, 0]]}, "needs a Lab value per cloth"),
        ({"lab": [[50, 0], [50, 0]]}, "finite"),
        ({"lab": [[50, 0, float("nan")], [50, 0, 0]]}, "finite"),
        ({"hue_families": ["red"]}, "1 hue_families came for 2 cloths"),
        ({"hue_families": ["red", "mauve"]}, "no hue family is called 'mauve'"),
        ({"hue_families": ["red", "metal"]}, "missing for B"),
        ({"groups": ["x"]}, "1 groups came for 2 cloths"),
        ({"undertone": [1.0]}, "1 undertone came for 2 cloths"),
        ({"undertone": {"Z": 1.0}}, "'Z'"),
        ({"undertone": {"A": float("nan")}}, "on Tenter's scale"),
        ({"illuminant": "D66"}, "no illuminant is called 'D66'"),
        ({"observer": "7"}, "no observer is called '7'"),
        ({"ids": ["A", "B C"]}, "cannot be a cloth's id"),
    ],
)
def test_from_lab_checks_what_it_is_given(arguments, words):
    good = {"ids": ["A", "B"], "lab": [[50, 40, 20], [60, 40, 20]], "hue_families": ["red", "red"]}
    with pytest.raises(TenterError, match=words):
        Kit.from_lab(**(good | arguments))


@pytest.mark.parametrize("sign", [";", "\t"])
def test_a_kit_saved_with_semicolons_or_tabs_and_decimal_commas_is_read(sign, tmp_path):
    rows = ["id,name,L,a,b,illuminant,observer", "A,one,50.5,-3.25,7,D65,10"]
    same = Kit.parse("\n".join(rows))
    path = tmp_path / "kit.csv"
    path.write_text("\n".join(row.replace(",", sign).replace(".", ",") for row in rows), encoding="utf-16")
    found = Kit.read(path)
    assert found.lab.tolist() == same.lab.tolist() == [[50.5, -3.25, 7.0]]
    assert found.drapes == same.drapes
