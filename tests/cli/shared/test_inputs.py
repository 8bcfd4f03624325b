"""What the commands share: errors are said, and each kind ends with its exit code."""

import json

import pytest
import typer

from tenter import PhaseMissing, TenterError
from tenter.cli.shared.inputs import REFUSED, UNREADABLE, errors_said, refused_as_json
from tenter.errors import Refused, UnknownName
from tenter.photo.together.compare import TooFewMeasured


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (TenterError("no such light"), UNREADABLE),
        (UnknownName("page", "a5", ["a4"]), UNREADABLE),
        (Refused("not as things are"), REFUSED),
        (PhaseMissing(("undertone",)), REFUSED),
        (TooFewMeasured(1, 2), REFUSED),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, Exception) else str(value),
)
def test_what_is_refused_and_what_cannot_be_read_end_differently(error, code, capsys):
    with pytest.raises(typer.Exit) as ended, errors_said():
        raise error
    assert ended.value.exit_code == code
    assert capsys.readouterr() == ("", f"{error}\n")


@pytest.mark.parametrize("as_json", [True, False])
def test_a_refusal_is_one_object_where_json_was_asked_for_and_still_goes_on(as_json, capsys):
    missing = PhaseMissing(("undertone",))
    with pytest.raises(PhaseMissing), refused_as_json("Ada", as_json):
        raise missing
    out = capsys.readouterr().out
    assert (json.loads(out) if as_json else out) == (
        {"client": "Ada", "refused": str(missing), "owed": ["undertone"]} if as_json else ""
    )
