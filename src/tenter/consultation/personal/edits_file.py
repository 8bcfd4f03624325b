"""The consultant's changes of a palette as a file, so that the command line makes the palette that the studio made."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from tenter.consultation.cloths.tables import json_of, read_text
from tenter.consultation.colours.colours import Part
from tenter.consultation.personal.edits import PARTS, Add, ChosenColour, Drop, Edit, Move, Swap
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.given import given_path, given_text
from tenter.language import N_, _

MOST = 500  # changes of one palette: ten a colour
_TAG = "tenter palette changes"
_REMEDY = N_("The palette's page in the studio writes such a file: 'Changes as a file'.")


def edits_document(edits: Sequence[Edit]) -> dict[str, object]:
    """Return changes as plain values for JSON, in their order."""
    return {"kind": _TAG, "changes": [edit_document(edit) for edit in edits]}


def read_edits(path: str | Path) -> tuple[Edit, ...]:
    """Return the changes of a file in their order.

    Raises `UnreadableInput` where it holds no changes of a palette, one that is none, or more than `MOST`;
    `TenterError` for what is no path.
    """
    source = given_path(path)
    document = json_of(read_text(source), str(source), _REMEDY)
    changes = document.get("changes") if isinstance(document, Mapping) and document.get("kind") == _TAG else None
    if not isinstance(changes, list):
        raise UnreadableInput(str(source), _("these are no changes of a palette"), _(_REMEDY))
    if len(changes) > MOST:
        raise UnreadableInput(
            str(source),
            _("a palette takes {most} changes, and {count} came", most=MOST, count=len(changes)),
            _(_REMEDY),
        )
    return tuple(_edit(number, change, str(source)) for number, change in enumerate(changes, 1))


def _edit(number: int, change: Mapping[str, object], source: str) -> Edit:
    try:
        return edit_from(change)
    except TenterError as error:
        raise UnreadableInput(source, _("change {number}: {error}", number=number, error=error), _(_REMEDY)) from None


# -- one change --------------------------------------------------------------------------------------------------------


def edit_document(edit: Edit) -> dict[str, object]:
    """Return an edit as plain values for JSON."""
    if isinstance(edit, Drop):
        return {"edit": "drop", "colour": edit.colour}
    if isinstance(edit, Swap):
        return {"edit": "swap", "colour": edit.colour, "chosen": _chosen_document(edit.chosen)}
    if isinstance(edit, Add):
        return {"edit": "add", "chosen": _chosen_document(edit.chosen), "part": str(edit.part)}
    return {"edit": "move", "colour": edit.colour, "before": edit.before}


def _chosen_document(chosen: ChosenColour) -> dict[str, object]:
    return {"lab": list(chosen.lab), "name": chosen.name, "cloth": chosen.cloth}


def edit_from(document: Mapping[str, object]) -> Edit:
    """Return the edit of plain values.

    Raises `UnknownName` where it is no kind of edit, and `TenterError` where a value in it is missing or of the wrong
    kind.
    """
    kind = document.get("edit") if isinstance(document, Mapping) else None
    if kind not in _READERS:
        raise UnknownName(_("edit of a palette"), kind, _READERS)
    return _READERS[str(kind)](document)


def _text(document: Mapping[str, object], name: str, *, needed: bool = True) -> str:
    return given_text(document.get(name, ""), _("“{name}” of an edit", name=name), needed=needed)


def _chosen(document: Mapping[str, object]) -> ChosenColour:
    said = document.get("chosen")
    if not isinstance(said, Mapping):
        raise TenterError(_("an edit that chooses a colour says which, as lab, name and cloth"))
    return ChosenColour(said.get("lab", ()), said.get("name", ""), said.get("cloth", ""))


def _part(document: Mapping[str, object]) -> Part:
    said = document.get("part", Part.ACCENT)
    if said not in [*Part]:
        raise UnknownName(_("part of a chosen colour"), said, PARTS)
    return Part(str(said))


_READERS: dict[str, Callable[[Mapping[str, object]], Edit]] = {
    "drop": lambda d: Drop(_text(d, "colour")),
    "swap": lambda d: Swap(_text(d, "colour"), _chosen(d)),
    "add": lambda d: Add(_chosen(d), _part(d)),
    "move": lambda d: Move(_text(d, "colour"), _text(d, "before", needed=False)),
}
