"""Results from before as a table."""

from datetime import date

import pytest

from tenter.consultation.client.told_results import ToldResult, told_results
from tenter.errors import UnreadableInput

TODAY = date(2026, 11, 30)


def read(text):
    return told_results(text, "old.csv", TODAY)


def test_a_table_is_read_with_its_days_as_exact_as_they_are_known():
    mira = "Mira  Holt;12.05.2019;deep autumn;told in another studio"
    text = f"Name;Date;Result;Note\n{mira}\nAna;2017;summer;\nJo;2020-02;warm;"
    assert read(text) == (
        ToldResult(2, "Mira Holt", "2019-05-12", "deep autumn", "told in another studio"),
        ToldResult(3, "Ana", "2017", "summer"),
        ToldResult(4, "Jo", "2020-02", "warm"),
    )


def test_headings_may_be_those_of_a_list_of_clients_in_english_or_german():
    assert read("Kundin;Farbtyp;Datum\nAna;Sommer;2017") == (ToldResult(2, "Ana", "2017", "Sommer"),)
    assert read("Client,Season,Year\nAna,summer,2017") == (ToldResult(2, "Ana", "2017", "summer"),)


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (",2019,summer", "row 3, column name: words are missing here"),
        ("Ana,2019,", "row 3, column result: words are missing here"),
        ("Ana,5/12/2019,summer", "row 3, column date: '5/12/2019' is no date"),
        ("Ana,2019-02-30,summer", "row 3, column date: '2019-02-30' is no day of the calendar"),
        ("Ana,2027,summer", "row 3, column date: '2027' is not in the past"),
        ("Ana,0019,summer", "row 3, column date: '0019' is not in the past"),
        (f"{'A' * 121},2019,summer", "row 3, column name: 121 characters came where 120 fit"),
        ("mira,2018,Spring", "row 3, column result: row 2 says the same"),
        ("Ana,2019,summer,,", "row 3, column 5"),
    ],
)
def test_a_wrong_row_is_named_with_its_column(row, fault):
    with pytest.raises(UnreadableInput) as refused:
        read(f"name,date,result,note\nMira,2018,spring,\n{row}")
    assert fault in str(refused.value)


def test_a_column_that_is_missing_is_named():
    with pytest.raises(UnreadableInput, match="missing column"):
        read("name,result\nAna,summer")
