"""Which palette a command means: a file's as it is, a client's of a ledger, and what is said where neither is named."""

import json

import pytest

from tenter import PhaseMissing, TenterError
from tenter.cli.shared.kept_palette import kept_palette
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.consultation.personal.document import palette_document


def given(source, client):
    return kept_palette(source, client, kit=None, method=DEFAULT_METHOD, face=None, seed=7)


def test_a_file_gives_the_palette_that_its_ledger_made(tmp_path):
    made = given(None, "K5")
    written = palette_document(made.client, made.palette, made.known)
    file = tmp_path / "of K5.JSON"
    file.write_text(json.dumps(written), encoding="utf-8")
    read = given(file, None)
    assert read.client == "K5"
    assert palette_document(read.client, read.palette, read.known)["colours"] == written["colours"]
    assert given(file, "Maren Tolliver").client == "Maren Tolliver"


@pytest.mark.parametrize("client", [None, ""])
def test_a_ledger_needs_a_client(client):
    with pytest.raises(TenterError, match="whose palette is not said; name a client of the ledger with --client"):
        given(None, client)


def test_too_few_answers_make_none(tmp_path):
    ledger = tmp_path / "judgements.csv"
    ledger.write_text("client,step,kind,cloths,answer\nAda,1,pair,D063 D064,D063\n", encoding="utf-8")
    with pytest.raises(PhaseMissing):
        given(ledger, "Ada")
