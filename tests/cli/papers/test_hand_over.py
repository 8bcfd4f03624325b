"""`tenter hand-over`: all that one client takes home, in one folder, named by client and date."""

import io
import json
import zipfile
from email import message_from_bytes, policy

import pypdfium2
import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.cli.shared.inputs import REFUSED, UNREADABLE
from tenter.consultation.personal.document import read_palette
from tenter.consultation.personal.edits import Add, ChosenColour
from tenter.consultation.personal.edits_file import edits_document
from tenter.report.handing_over import whole_set
from tenter.report.handing_over.handed_file import HandedFile

PAPERS = "ilse-varnholt-2026-03-12-colours.pdf"
CHANGE = Add(ChosenColour((66.0, 44.0, 32.0), "my own coral"))
WHOLE = {
    PAPERS,
    *(f"ilse-varnholt-2026-03-12-swatches-{form}.pdf" for form in ("wallet", "ring", "grid")),
    "ilse-varnholt-2026-03-12-for-programs.zip",
    "ilse-varnholt-2026-03-12-phone.html",
    "ilse-varnholt-2026-03-12-lock-screen.png",
    "ilse-varnholt-2026-03-12-mail.eml",
    "ilse-varnholt-2026-03-12-studio-sheet.pdf",
}


def run(*said):
    return CliRunner().invoke(app, ["hand-over", *map(str, said)])


@pytest.fixture(scope="module")
def handed(tmp_path_factory):
    """The folder of one client, made by the command."""
    out = tmp_path_factory.mktemp("handed") / "a" / "new" / "folder"
    changes = tmp_path_factory.mktemp("changes") / "changes.json"
    changes.write_text(json.dumps(edits_document([CHANGE])), encoding="utf-8")
    card = ("--name", "Ilse Varnholt", "--date", "2026-03-12")
    result = run("--client", "K1", *card, "--changes", changes, "--out", out)
    assert result.exit_code == 0, result.output
    assert all(str(out / name) in result.output for name in WHOLE)
    return {path.name: path.read_bytes() for path in out.iterdir()}


def test_the_whole_set_is_there_and_each_file_is_of_its_kind(handed):
    assert set(handed) == WHOLE
    assert all(content.startswith(b"%PDF-") for name, content in handed.items() if name.endswith(".pdf"))
    with zipfile.ZipFile(io.BytesIO(handed["ilse-varnholt-2026-03-12-for-programs.zip"])) as archive:
        assert archive.testzip() is None
    draft = message_from_bytes(handed["ilse-varnholt-2026-03-12-mail.eml"], policy=policy.default)
    text = draft.get_body(("plain",)).get_content()
    assert "Your sitting is not finished, so some colours may change." in text.replace("\n", " ")


def test_what_the_consultant_changed_is_in_every_file(handed):
    with zipfile.ZipFile(io.BytesIO(handed["ilse-varnholt-2026-03-12-for-programs.zip"])) as archive:
        assert "my own coral" in archive.read("ilse-varnholt-2026-03-12-colours.gpl").decode()
    assert "my own coral" in handed["ilse-varnholt-2026-03-12-phone.html"].decode().lower()
    for name in (PAPERS, "ilse-varnholt-2026-03-12-swatches-wallet.pdf"):
        with pypdfium2.PdfDocument(handed[name]) as document:
            text = " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
        assert "my own coral" in text.lower()


def test_changes_that_are_none_write_nothing(tmp_path):
    (tmp_path / "changes.json").write_text("{}", encoding="utf-8")
    result = run("--client", "K1", "--changes", tmp_path / "changes.json", "--out", tmp_path / "out")
    assert result.exit_code == UNREADABLE
    assert "these are no changes of a palette" in result.output
    assert not (tmp_path / "out").exists()


def test_a_palette_of_a_file_is_handed_over_as_it_is(tmp_path, monkeypatch):
    """It is told apart from one of other judgements, and what it has in it already cannot be said again."""
    file, given = tmp_path / "palette.json", []
    made = CliRunner().invoke(app, ["palette", "--client", "K1", "--hate", "green", "--out", str(file)])
    assert made.exit_code == 0, made.output
    monkeypatch.setattr(whole_set, "whole_set", lambda *_, kept, **__: given.append(kept) or iter(()))
    assert run("--client", "K1", "--palette", file, "--out", tmp_path / "out").exit_code == 0
    assert [c.name for c in given[0].palette.colours] == [c.name for c in read_palette(file).palette.colours]
    other = run("--client", "K2", "--palette", file, "--out", tmp_path / "out")
    assert other.exit_code == UNREADABLE
    assert "made from other judgements" in " ".join(other.output.split())
    twice = run("--client", "K1", "--palette", file, "--hate", "pink", "--out", tmp_path / "out")
    assert twice.exit_code == UNREADABLE
    assert "leave --palette out" in " ".join(twice.output.split())
    assert len(given) == 1


def test_the_mail_carries_the_papers(handed):
    draft = message_from_bytes(handed["ilse-varnholt-2026-03-12-mail.eml"], policy=policy.default)
    attached = {a.get_filename(): a.get_payload(decode=True) for a in draft.iter_attachments()}
    assert set(attached) == {PAPERS, *(name for name in handed if "phone" in name or "lock-screen" in name)}
    assert all(content == handed[name] for name, content in attached.items())
    assert draft["X-Unsent"] == "1"


def test_without_a_verdict_nothing_is_written(tmp_path):
    ledger = tmp_path / "judgements.csv"
    ledger.write_text("client,step,kind,cloths,answer\nAda,1,pair,D063 D064,D063\n", encoding="utf-8")
    result = run(ledger, "--client", "Ada", "--out", tmp_path / "out")
    assert result.exit_code == REFUSED
    assert "still owed" in result.output
    assert list((tmp_path / "out").iterdir()) == []


def test_what_was_handed_over_is_kept_unless_it_is_to_be_replaced(tmp_path, monkeypatch):
    made = [HandedFile("ada-colours.pdf", "application/pdf", b"new"), HandedFile("ada-phone.html", "text/html", b"new")]
    monkeypatch.setattr(whole_set, "whole_set", lambda *_, **__: iter(made))
    (tmp_path / "ada-phone.html").write_bytes(b"of yesterday")
    result = run("--client", "K1", "--out", tmp_path)
    assert result.exit_code == UNREADABLE
    assert f"{tmp_path / 'ada-phone.html'} is there already. Nothing was written" in result.output
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("ada-phone.html", b"of yesterday")]
    assert run("--client", "K1", "--out", tmp_path, "--replace").exit_code == 0
    assert {path.read_bytes() for path in tmp_path.iterdir()} == {b"new"}


def test_a_wrong_date_is_said(tmp_path):
    result = run("--client", "K1", "--date", "12.3.2026", "--out", tmp_path / "out")
    assert result.exit_code == UNREADABLE
    assert "2026-03-14" in result.output


def test_the_demo_makes_it_all_for_the_client_that_is_named_and_says_where(tmp_path):
    result = CliRunner().invoke(app, ["demo", "--client", "K3", "--out", str(tmp_path)])
    assert result.exit_code == 0, result.output
    assert {path.name for path in tmp_path.iterdir()} == {"K3", "studio", "workshop"}
    written = {path.name for path in (tmp_path / "K3").iterdir()}
    assert len(written) == len(WHOLE)
    workshop = {path.name for path in (tmp_path / "workshop").iterdir()}
    assert workshop == {"kit.readings", "kit-health.pdf", "labels.pdf", "light-report.pdf"}
    written |= workshop
    assert all(name in result.output for name in written)


def test_the_demo_names_its_clients_where_another_is_asked_for(tmp_path):
    result = CliRunner().invoke(app, ["demo", "--client", "K9", "--out", str(tmp_path / "out")])
    assert result.exit_code == UNREADABLE
    assert "no client of the demo is called 'K9'; use K1, K2, K3, K4 or K5" in result.output
    assert not (tmp_path / "out").exists()
