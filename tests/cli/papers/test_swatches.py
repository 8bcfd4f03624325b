"""`tenter swatches` and `tenter export`: from a palette's file or from judgements, files, words and exit codes."""

import json
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.consultation.personal.document import palette_document
from tenter.consultation.personal.making import known_of, personal_palette
from tenter.photo.print_test.layout import sent_codes
from tenter.report.exports.formats import Format, exported
from tenter.report.printing.print_correction import correction_document, fitted, read_correction
from tenter.report.printing.printer_profile import profile_of_file
from tenter.report.printing.soft_proof import printed_through
from tenter.report.printing.swatches import corrected_swatches, print_swatches

PROFILE = Path(__file__).parents[2] / "data" / "argyll" / "inks_cmyk.icc"


@pytest.fixture(scope="module")
def made(demo_sittings):
    sitting = demo_sittings["K5"]
    verdict = sitting.verdict()
    found = personal_palette(sitting, verdict)
    return found, palette_document("K5", found, known_of(sitting, verdict))


@pytest.fixture(scope="module")
def palette_file(made, tmp_path_factory):
    file = tmp_path_factory.mktemp("palette") / "palette.json"
    file.write_text(json.dumps(made[1]), encoding="utf-8")
    return file


def run(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


def pages(file):
    with pypdfium2.PdfDocument(file) as document:
        return [page.get_textpage().get_text_range() for page in document], [page.get_size() for page in document]


@pytest.mark.parametrize("kind", Format)
def test_a_palette_is_exported_in_every_format(made, palette_file, tmp_path, kind):
    out = tmp_path / f"colours.{kind.ending}"
    done = run("export", palette_file, "--format", kind, "--out", out, "--name", "Anna", "--date", "2026-11-29")
    assert done.exit_code == 0, done.output
    assert out.read_bytes() == exported(made[0], kind, "Anna", "2026-11-29")


def test_judgements_make_the_same_palette_as_its_file(palette_file, tmp_path):
    files = [tmp_path / "of_file.csv", tmp_path / "of_ledger.csv"]
    for file, words in zip(files, [(palette_file,), ("--client", "K5")], strict=True):
        assert run("export", *words, "--format", "csv", "--out", file).exit_code == 0
    names = [[row.split(",")[0] for row in file.read_text(encoding="utf-8").splitlines()] for file in files]
    assert names[0] == names[1]
    assert len(names[0]) > 40


@pytest.mark.parametrize(
    ("form", "said", "size"),
    [
        ("wallet", "cards for a wallet", (595, 842)),
        ("ring", "strips for a key ring", (595, 842)),
        ("a4", "single swatches", (595, 842)),
        ("letter", "single swatches", (612, 792)),
    ],
)
def test_swatches_are_written_in_every_form(made, palette_file, tmp_path, form, said, size):
    out = tmp_path / "swatches.pdf"
    done = run("swatches", palette_file, "--form", form, "--out", out)
    assert done.exit_code == 0, done.output
    texts, sizes = pages(out)
    assert said in texts[0]
    assert "K5" in texts[0]
    assert sizes[0] == pytest.approx(size, abs=0.5)
    backs = "".join("".join(texts[1::2]).split())
    assert all("".join(colour.name.split()) in backs for colour in made[0].colours if len(colour.name) < 12)


def test_a_language_without_a_catalogue_is_refused_by_those_that_there_are(palette_file, tmp_path):
    done = run("swatches", palette_file, "--out", tmp_path / "s.pdf", "--language", "xx")
    assert (done.exit_code, (tmp_path / "s.pdf").exists()) == (2, False)
    assert "no language that papers can be written in is called 'xx'; use de or en" in done.output


def test_a_profile_says_what_the_printer_misses(made, palette_file, tmp_path):
    done = run("swatches", palette_file, "--form", "ring", "--out", tmp_path / "s.pdf", "--profile", PROFILE)
    assert done.exit_code == 0, done.output
    first, *rest = done.stdout.splitlines()
    rows = [*made[0].colours, *made[0].borrowed]
    reached = int(first.split()[0])
    assert f"of {len(rows)} colours are printed to within ΔE00 1.0" in first
    missed = [line for line in rest if ": misses by " in line]
    assert len(missed) == len(rows) - reached > 0
    figures = [float(line.split("misses by ")[1].split(",")[0]) for line in missed]
    assert figures == sorted(figures, reverse=True)
    assert "The paper is L* 95.8" in done.stdout
    backs = "".join(pages(tmp_path / "s.pdf")[0][1::2])
    assert backs.count("≠ prints") == len(missed)
    assert "The printer does not make this colour as it is" in backs
    assert "stronger than a file" not in backs


def test_a_correction_changes_what_is_sent_and_says_what_to_expect(made, palette_file, tmp_path):
    codes = sent_codes()
    weak = srgb_to_lab(codes) * (0.92, 0.8, 0.8) + (6.0, 0.0, 2.0)
    learned = tmp_path / "printer.json"
    learned.write_text(json.dumps(correction_document(fitted(codes, weak))), encoding="utf-8")
    done = run("swatches", palette_file, "--form", "a4", "--out", tmp_path / "s.pdf", "--correction", learned)
    assert done.exit_code == 0, done.output
    assert "predicted from the others to within" in done.stdout
    wanted = corrected_swatches(made[0], read_correction(learned))
    with pypdfium2.PdfDocument(tmp_path / "s.pdf") as document:
        pixels = document[0].render(scale=2).to_numpy()[..., 2::-1].reshape(-1, 3)
    drawn = {bytes(pixel).hex() for pixel in np.unique(pixels, axis=0)}
    assert {swatch.hex[1:] for swatch in wanted[:30]} <= drawn
    assert [s.hex for s in wanted] != [s.hex for s in print_swatches(made[0])]


def test_a_profile_and_what_was_learned_with_it_work_together(made, palette_file, tmp_path):
    codes, profile = sent_codes(), profile_of_file(PROFILE)
    darker = printed_through(profile, srgb_to_lab(codes)) * (0.95, 1.0, 1.0)
    learned = tmp_path / "printer.json"
    learned.write_text(json.dumps(correction_document(fitted(codes, darker, profile))), encoding="utf-8")
    words = ("swatches", palette_file, "--out", tmp_path / "s.pdf", "--correction", learned)
    done = run(*words, "--profile", PROFILE)
    assert done.exit_code == 0, done.output
    assert "holds for the profile inks_cmyk.icc, this paper" in done.stdout
    rows = [*made[0].colours, *made[0].borrowed]
    reached, *missed = [line for line in done.stdout.splitlines() if "expected to within" in line or "by about" in line]
    assert int(reached.split()[0]) == len(rows) - len(missed)
    assert 0 < len(missed) < len(rows)
    (tmp_path / "s.pdf").unlink()
    done = run(*words)
    assert done.exit_code == 2
    assert "holds only while the printer uses that. Give the profile by --profile" in " ".join(done.stderr.split())
    assert not (tmp_path / "s.pdf").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("swatches",), "whose palette is not said"),
        (("export", "--format", "css"), "whose palette is not said"),
        (("swatches", "nowhere.json"), "nowhere.json"),
        (("swatches", "--profile", __file__), "not an ICC profile"),
        (("swatches", "--correction", __file__), "not JSON"),
        (("swatches", "--profile", "nowhere.icc"), "cannot be read"),
    ],
)
def test_what_cannot_be_used_is_said_and_nothing_is_written(palette_file, tmp_path, words, said):
    given = (*words, palette_file) if len(words) > 2 and words[0] == "swatches" else words
    done = run(*given, "--out", tmp_path / "out.file")
    assert done.exit_code == 2
    assert said in " ".join(done.stderr.split())
    assert not list(tmp_path.iterdir())


def test_a_sitting_without_a_verdict_says_what_it_owes(tmp_path):
    ledger = tmp_path / "judgements.csv"
    ledger.write_text("client,step,kind,cloths,answer,strength\nA,1,pair,D001 D002,D001,1\n", encoding="utf-8")
    done = run("export", ledger, "--client", "A", "--format", "css", "--out", tmp_path / "a.css")
    assert done.exit_code == 3, done.output
    assert not (tmp_path / "a.css").exists()
