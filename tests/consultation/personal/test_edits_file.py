"""The consultant's changes in a file: as they were, or refused with what is wrong."""

import json

import pytest

from tenter.consultation.colours.colours import Part
from tenter.consultation.personal.edits import Add, ChosenColour, Drop, Move, Swap
from tenter.consultation.personal.edits_file import MOST, edits_document, read_edits
from tenter.errors import UnreadableInput

EDITS = (
    Drop("D004"),
    Swap("D009", ChosenColour((50.0, 20.5, -3.0), "зелёный <b>", "D012")),
    Add(ChosenColour((64.0, 45.0, 30.0), "my coral"), Part.NEAR_FACE),
    Move("D020", "D001"),
)


def written(tmp_path, document):
    file = tmp_path / "changes.json"
    file.write_text(document if isinstance(document, str) else json.dumps(document), encoding="utf-8")
    return file


def test_changes_come_back_in_their_order(tmp_path):
    assert read_edits(written(tmp_path, edits_document(EDITS))) == EDITS
    assert read_edits(written(tmp_path, edits_document(()))) == ()


@pytest.mark.parametrize(
    ("document", "said"),
    [
        ("[", "not JSON"),
        ([1], "no changes of a palette"),
        ({"kind": "palette", "changes": []}, "no changes of a palette"),
        (edits_document(()) | {"changes": {}}, "no changes of a palette"),
        (edits_document(()) | {"changes": [{"edit": "drop", "colour": "D1"}] * (MOST + 1)}, f"takes {MOST} changes"),
        (edits_document(()) | {"changes": [{"edit": "drop", "colour": "D1"}, {"edit": "burn"}]}, "change 2: .*burn"),
        (edits_document(()) | {"changes": [7]}, "change 1: "),
    ],
)
def test_what_are_no_changes_is_refused_with_where_they_come_from(tmp_path, document, said):
    with pytest.raises(UnreadableInput, match=said) as refused:
        read_edits(written(tmp_path, document))
    assert "palette's page" in refused.value.remedy
