"""What is wrong with a table, a line each."""

import gettext

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.forms import ValidationError

from tenter.consultation.cloths.tables import Fault, FaultyRows
from tenter.language import Catalogue, written_in
from tenter.web.sent.sent_text import said_lines, text_of


class InRanks(gettext.NullTranslations):
    """English that calls a row a rank."""

    def gettext(self, message):
        return message.replace("row", "rank")


def test_each_faulty_row_is_a_line_in_whatever_language_it_is_said():
    with written_in(Catalogue("qps", InRanks())):
        error = FaultyRows("a.csv", [Fault(row, "name", "it is blank") for row in range(2, 17)])
        lines = said_lines(error, str.title)
    assert lines[:2] == ["rank 2, column Name: it is blank", "rank 3, column Name: it is blank"]
    assert lines[11:-1] == ["rank 13, column Name: it is blank; and 3 more"]
    assert "correct the ranks named" in lines[-1]


@pytest.mark.parametrize("begins", [b"PK\x03\x04", b"\xd0\xcf\x11\xe0"])
def test_a_spreadsheet_is_told_from_a_table_with_what_to_do(begins):
    with pytest.raises(ValidationError, match="This is a spreadsheet"):
        text_of(SimpleUploadedFile("kit.xlsx", begins + b"xl/worksheets"))
