"""What is learned of a printer from its test sheet, and what that does to the swatches of a palette."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from studies.scenes.dye_printer import dye_printer
from studies.scenes.exposure import expose
from studies.scenes.print_test_scene import printed_lab, sheet_scene
from tenter.cli.main import app
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.errors import TenterError, UnreadableInput
from tenter.photo.print_test import layout
from tenter.report.printing.print_correction import correction_document, fitted, read_correction
from tenter.report.printing.printer_profile import profile_of_file
from tenter.report.printing.soft_proof import connection_lab, printed_through
from tenter.report.printing.swatches import corrected_swatches, palette_screen_lab, print_swatches
from tests.support.clients.odd_palette import odd_palette

DATA = Path(__file__).parents[2] / "data" / "argyll"
CODES = layout.sent_codes()
SENT = srgb_to_lab(CODES)
PALETTE = odd_palette()
ASKED = palette_screen_lab(PALETTE)
SERIAL = 104


def bent(lab):
    """A printer that is too dark, too weak and too yellow."""
    return lab * (0.9, 0.85, 0.85) + (4.0, 0.0, 3.0) + 0.002 * (lab[:, :1] - 50) ** 2 * (1, 0, 0)


def written(tmp_path, correction, **changes):
    file = tmp_path / "correction.json"
    file.write_text(json.dumps(correction_document(correction) | changes), encoding="utf-8")
    return file


def test_a_printer_that_bends_colours_smoothly_is_learned():
    found = fitted(CODES, bent(SENT))
    assert delta_e_2000(found.printed(ASKED), bent(ASKED)).mean() < 0.15
    assert found.left_out < 0.4
    assert found.uncorrected == pytest.approx(delta_e_2000(bent(SENT), SENT).mean())
    codes, remaining = found.to_send(ASKED)
    got = bent(srgb_to_lab(np.array([list(bytes.fromhex(code[1:])) for code in codes]) / 255))
    reached = remaining < 1
    assert reached.mean() > 0.7
    before, after = (delta_e_2000(lab, ASKED)[reached].mean() for lab in (bent(ASKED), got))
    assert after < 0.25 * before
    assert np.abs(delta_e_2000(got, ASKED) - remaining).mean() < 0.25


def test_a_true_printer_is_left_alone():
    found = fitted(CODES, SENT)
    codes, remaining = found.to_send(SENT)
    assert np.abs(np.array([list(bytes.fromhex(code[1:])) for code in codes]) - CODES * 255).max() <= 1
    assert remaining.max() < 0.5


def test_leaving_a_patch_out_is_what_fitting_without_it_does():
    measured = bent(SENT) + np.random.default_rng(1).normal(0, 1.0, SENT.shape)
    misses = []
    for k in range(len(SENT)):
        others = np.arange(len(SENT)) != k
        without = fitted(CODES[others], measured[others])
        misses.append(delta_e_2000(without.printed(SENT[k : k + 1])[0], measured[k]))
    assert fitted(CODES, measured).left_out == pytest.approx(np.mean(misses), abs=0.01)


# A printer of dyes whose driver takes it for another: studies/scenes/print_test_scene.py.
def test_a_photographed_test_sheet_brings_the_swatches_nearer(tmp_path):
    picture = tmp_path / "sheet.png"
    Image.fromarray(expose(sheet_scene(SERIAL), "D65", "phone-b", seed=7).picture).save(picture)
    file = tmp_path / "correction.json"
    done = CliRunner().invoke(app, ["printer", "learn", str(picture), "--out", str(file)])
    assert done.exit_code == 0, done.output
    assert "that near at best" in done.stdout
    before, after = print_swatches(PALETTE), corrected_swatches(PALETTE, read_correction(file))
    some = slice(None, None, 3)
    missed = [
        delta_e_2000(printed_lab(SERIAL, [swatch.hex for swatch in swatches[some]]), ASKED[some]).mean()
        for swatches in (before, after)
    ]
    assert missed[1] < 0.6 * missed[0], f"mean ΔE00 as sent and as corrected: {np.round(missed, 2)}"
    assert [s.name for s in before] == [s.name for s in after]


def test_a_correction_is_the_same_from_its_file(tmp_path):
    found = fitted(CODES, bent(SENT))
    again = read_correction(written(tmp_path, found))
    assert np.abs(again.printed(ASKED) - found.printed(ASKED)).max() < 0.02
    assert again.left_out == pytest.approx(found.left_out, abs=0.01)


def test_patches_that_do_not_fit_are_refused():
    shuffled = np.random.default_rng(3).permutation(SENT)
    with pytest.raises(TenterError, match="do not fit one another"):
        fitted(CODES, shuffled)
    with pytest.raises(TenterError, match="30 are needed"):
        fitted(CODES[:12], SENT[:12])
    for no_colour in (np.nan, 1e200):
        with pytest.raises(TenterError, match="three finite numbers"):
            fitted(CODES, np.full_like(SENT, no_colour))


# A printer of dyes by the profile of dyes_rgb.icc, which has since come to print two of the dyes weaker.
@pytest.fixture(scope="module")
def profile():
    return profile_of_file(DATA / "dyes_rgb.icc")


@pytest.fixture(scope="module")
def drifted(profile):
    real = dye_printer(np.random.default_rng(12))

    def prints(lab):
        deep = (1 - profile.to_device.from_lab(connection_lab(lab))) * (0.85, 0.95, 1.0)
        return reflectance_to_lab(real.reflectance(np.column_stack([deep, np.zeros(len(deep))])), "D65", "2")

    return prints


def test_what_is_learned_with_a_profile_goes_on_from_it(profile, drifted):
    measured = drifted(SENT)
    alone, both = fitted(CODES, measured), fitted(CODES, measured, profile)
    others = srgb_to_lab(np.random.default_rng(0).uniform(0, 1, (100, 3)))
    misses = [delta_e_2000(found.printed(others), drifted(others)).mean() for found in (alone, both)]
    assert misses[1] < 0.5 * misses[0]
    assert misses[1] < 0.5 * delta_e_2000(printed_through(profile, others), drifted(others)).mean()
    assert both.left_out < 0.5 * alone.left_out
    assert both.uncorrected == alone.uncorrected


def test_what_was_learned_with_a_profile_holds_with_that_alone(profile, drifted, tmp_path):
    measured = drifted(SENT)
    with_it, without = fitted(CODES, measured, profile), fitted(CODES, measured)
    other = profile_of_file(DATA / "inks_cmyk.icc")
    again = read_correction(written(tmp_path, with_it), profile)
    assert np.abs(again.printed(ASKED) - with_it.printed(ASKED)).max() < 0.02
    copy = tmp_path / "of another name.icc"
    copy.write_bytes((DATA / "dyes_rgb.icc").read_bytes())
    assert read_correction(written(tmp_path, with_it), profile_of_file(copy)).left_out == again.left_out
    for learned, used, said in (
        (with_it, None, "learned with the profile 'dyes_rgb.icc', and holds only"),
        (with_it, other, "learned with another profile, 'dyes_rgb.icc'.*than inks_cmyk.icc"),
        (without, other, "learned without a profile"),
    ):
        with pytest.raises(UnreadableInput, match=said) as refused:
            read_correction(written(tmp_path, learned), used)
        assert "--profile" in refused.value.remedy or "this one" in refused.value.remedy
    for junk in (7, {"name": 1, "sha256": "00"}, {}, [None]):
        with pytest.raises(UnreadableInput, match="of its profile cannot be read"):
            read_correction(written(tmp_path, with_it, profile=junk), profile)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"kind": "palette"}, "not a printer's correction"),
        ({"sent": "much"}, "numbers alone"),
        ({"measured": [[1, 2, 3]]}, "as many colours"),
    ],
)
def test_a_file_that_is_no_correction_is_refused(tmp_path, changes, said):
    with pytest.raises(UnreadableInput, match=said):
        read_correction(written(tmp_path, fitted(CODES, SENT), **changes))
    (tmp_path / "text.json").write_text("no JSON", encoding="utf-8")
    with pytest.raises(UnreadableInput, match="not JSON"):
        read_correction(tmp_path / "text.json")


def test_a_sheet_that_cannot_be_read_ends_with_3_and_writes_nothing(tmp_path):
    Image.new("RGB", (600, 400), (120, 130, 140)).save(tmp_path / "wall.png")
    done = CliRunner().invoke(app, ["printer", "learn", str(tmp_path / "wall.png"), "--out", str(tmp_path / "c.json")])
    assert done.exit_code == 3
    assert "No card was found" in done.stderr
    assert not (tmp_path / "c.json").exists()


def test_the_test_sheet_is_written(tmp_path):
    done = CliRunner().invoke(app, ["printer", "sheet", str(tmp_path / "sheet.pdf")])
    assert done.exit_code == 0
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
