"""The consultant's changes of a palette as a file, so that the command line makes the palette that the studio made."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from tenter.consultation.cloths.tables import json_of, read_text
from tenter.consultation.personal.edits import Edit, edit_document, edit_from
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_path

MOST = 500  # changes of one palette: ten a colour
_TAG = "tenter palette changes"
_REMEDY = "The palette's page in the studio writes such a file: 'Changes as a file'."


def edits_document(edits: Sequence[Edit]) -> dict[str, object]:
    """Return changes as plain values for JSON, in their order."""
    return {"kind": _TAG, "changes": [edit_document(edit) for edit in edits]}


def read_edits(path: str | Path) -> tuple[Edit, ...]:
    """Return the changes of a file in their order.

    Raises `UnreadableInput` where it holds no changes of a palette, one that is none, or more than `MOST`.
    """
    source = given_path(path)
    document = json_of(read_text(source), str(source), _REMEDY)
    changes = document.get("changes") if isinstance(document, Mapping) and document.get("kind") == _TAG else None
    if not isinstance(changes, list):
        raise UnreadableInput(str(source), "these are no changes of a palette", _REMEDY)
    if len(changes) > MOST:
        raise UnreadableInput(str(source), f"a palette takes {MOST} changes, and {len(changes)} came", _REMEDY)
    return tuple(_edit(number, change, str(source)) for number, change in enumerate(changes, 1))


def _edit(number: int, change: Mapping[str, object], source: str) -> Edit:
    try:
        return edit_from(change)
    except TenterError as error:
        raise UnreadableInput(source, f"change {number}: {error}", _REMEDY) from None
