"""A printer's profile: looked up as argyll and LittleCMS look it up, and what is said of colours that it misses."""

import io
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from PIL import Image, ImageCms

from tenter.colorimetry.adaptation import Transform, adapt
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import SRGB_WHITE, lab_to_xyz, xyz_to_lab
from tenter.errors import UnreadableInput
from tenter.report.printing.connection_space import D50_XYZ
from tenter.report.printing.printer_profile import read_printer_profile
from tenter.report.printing.proof_words import miss_mark, paper_words
from tenter.report.printing.soft_proof import REACHED, connection_lab, paper_lab, soft_proofs, with_paper
from tests.support import icc_files
from tests.support.icc_files import gamma, new_table, nodes, old_table, profile, sampled, screen, xyz

DATA = Path(__file__).parents[2] / "data" / "argyll"
PRINTERS = ("dyes_rgb", "inks_cmyk")
OF_XYZ = ("dyes_xyz", "screen_rgb")


def kept(name):
    return (DATA / f"{name}.icc").read_bytes()


def look_ups(name, channels):
    """argyll's answers: what was asked, device values, the printed colour relative to the paper, and absolute."""
    table = np.genfromtxt(DATA / f"{name}_by_xicclu.csv", delimiter=",", skip_header=1)
    return np.split(table, [3, 3 + channels, 6 + channels], axis=1)


# -- argyll 2.3.1's xicclu: tests/data/argyll/README.md ------------------------------------------------------------


@pytest.mark.parametrize("name", PRINTERS)
def test_two_hundred_colours_are_looked_up_as_argyll_does(name):
    found = read_printer_profile(kept(name))
    asked, device, printed, absolute = look_ups(name, found.channels)
    assert len(asked) == 200
    ours = found.to_device.from_lab(asked)
    assert_allclose(ours, device, rtol=0, atol=2e-5)
    back = found.to_lab.to_lab(ours)
    assert delta_e_2000(back, printed).mean() <= 0.01  # the aim is 0.3
    misses = delta_e_2000(back, asked), delta_e_2000(printed, asked)
    assert np.abs(misses[0] - misses[1]).mean() <= 0.01
    # argyll goes from the paper to absolute colours by a transform of its own.
    assert delta_e_2000(with_paper(back, found), absolute).mean() <= 0.1


@pytest.mark.parametrize("name", OF_XYZ)
def test_profiles_that_speak_of_xyz_are_looked_up_as_argyll_does(name):
    data = kept(name)
    assert data[20:24] == b"XYZ "
    found = read_printer_profile(data)
    asked, device, printed, absolute = look_ups(name, found.channels)
    assert len(asked) == 200
    back = found.to_lab.to_lab(found.to_device.from_lab(asked))
    # argyll goes on beyond real colours, whose X, Y and Z are above 0; the profile's own numbers do not.
    assert delta_e_2000(back, printed).mean() <= 0.15  # the aim is 0.3
    assert delta_e_2000(found.to_lab.to_lab(device), printed).mean() <= 0.01
    real = np.all(lab_to_xyz(asked, D50_XYZ) > 0, axis=1)
    assert real.sum() > 150
    assert_allclose(found.to_device.from_lab(asked[real]), device[real], rtol=0, atol=2e-4)
    if found.of_paper:
        assert delta_e_2000(with_paper(back, found), absolute).mean() <= 0.1


def test_a_screens_profile_says_nothing_of_paper():
    found = read_printer_profile(kept("screen_rgb"))
    assert not found.of_paper
    assert "nothing about paper and inks" in paper_words(found)
    [proof] = soft_proofs(found, np.array([[60.0, 20.0, 10.0]]))
    assert proof.miss < 0.05
    assert proof.beside == pytest.approx(proof.miss, abs=1e-9)
    assert "The paper is" in paper_words(read_printer_profile(kept("dyes_rgb")))


# -- LittleCMS, which answers in 8 bits ----------------------------------------------------------------------------


def by_littlecms(data, codes, mode):
    """Lab (n, 3) relative to the paper, in 8 bits, of device codes (n, channels) 0 to 255."""
    lab = ImageCms.createProfile("LAB")
    picture = Image.fromarray(codes[None].astype(np.uint8), mode)
    given = ImageCms.ImageCmsProfile(io.BytesIO(data))
    intent = ImageCms.Intent.RELATIVE_COLORIMETRIC
    seen = ImageCms.profileToProfile(picture, given, lab, intent, outputMode="LAB")
    raw = np.frombuffer(seen.tobytes(), np.uint8).reshape(-1, 3)
    return np.column_stack([raw[:, 0] / 2.55, raw[:, 1:].astype(np.int8)])


def of_every_kind():
    matrix = (0.95, 0.02, 0.0, 0.0, 0.9, 0.05, 0.03, 0.0, 0.92, 0.01, 0.03, 0.02)
    both = {"device_curve": gamma(1.3), "pcs_curve": sampled(np.linspace(0, 1, 33) ** 1.1), "middle_curve": gamma(0.9)}
    there, back = nodes(9, 3, icc_files.to_pcs_colours), nodes(17, 3, icc_files.to_device_values)
    mab = new_table(there, True, matrix=matrix, **both)
    small = new_table(there, True, matrix=matrix, wide=False, **both)
    old = {"B2A1": old_table(back)}
    return {
        "lut16": icc_files.printer(),
        "lut8": icc_files.printer(A2B1=old_table(there, wide=False, bend=1.2), **old),
        "bent": icc_files.printer(A2B1=old_table(there, bend=1.2), **old),
        "mAB": icc_files.printer(A2B1=mab, **old),
        "mAB in 8 bits": icc_files.printer(A2B1=small, **old),
        **{name: kept(name) for name in (*PRINTERS, *OF_XYZ)},
    }


@pytest.mark.parametrize(("kind", "data"), of_every_kind().items(), ids=of_every_kind())
def test_tables_of_every_kind_are_looked_up_as_littlecms_does(kind, data):
    found = read_printer_profile(data)
    codes = np.random.default_rng(2).integers(0, 256, (200, found.channels))
    ours = found.to_lab.to_lab(codes / 255)
    theirs = by_littlecms(data, codes, "CMYK" if found.channels == 4 else "RGB")
    limit = 0.75 if found.channels == 4 else 0.4  # 8 bits cost 0.2 to 0.3; of four inks it takes the black apart
    assert delta_e_2000(np.round(ours), theirs).mean() <= limit
    assert np.abs(ours - theirs).mean() <= 1.0


def test_the_way_back_of_a_new_kind_takes_its_parts_in_the_other_order():
    grid = nodes(17, 3, icc_files.to_device_values)
    matrix = (0.95, 0, 0, 0, 0.9, 0, 0, 0, 0.9, 0.01, 0.04, 0.05)
    parts = new_table(grid, False, gamma(1.2), gamma(1.1), gamma(0.8), matrix)
    found = read_printer_profile(icc_files.printer(B2A1=parts)).to_device
    lab = np.array([[60.0, 20.0, -10.0], [45.0, -15.0, 5.0]])
    pcs = ((lab + np.array([0, 128, 128])) / (100, 255, 255)) ** 1.1
    middle = (pcs * (0.95, 0.9, 0.9) + (0.01, 0.04, 0.05)) ** 0.8
    expected = np.clip(icc_files.to_device_values(middle), 0, 1) ** 1.2
    assert_allclose(found.from_lab(lab), expected, atol=2e-3)


# -- what is said of colours ---------------------------------------------------------------------------------------

LAB = np.column_stack([np.linspace(15, 95, 40), *np.random.default_rng(4).uniform(-55, 55, (2, 40))])


@pytest.mark.parametrize("name", PRINTERS)
def test_no_colour_of_the_printer_is_nearer_than_the_nearest(name):
    found = read_printer_profile(kept(name))
    proofs = soft_proofs(found, LAB)
    device = np.random.default_rng(0).uniform(0, 1, (40_000, found.channels))
    reached = found.to_lab.to_lab(device[device.sum(axis=1) <= found.most_ink])
    for proof in proofs:
        assert proof.nearest_miss <= 1.04 * delta_e_2000(reached, proof.asked).min() + 0.05
        assert proof.nearest_miss <= proof.miss
        assert proof.nearest_miss == pytest.approx(float(delta_e_2000(proof.nearest, proof.asked)), abs=1e-6)
        assert proof.miss == pytest.approx(float(delta_e_2000(proof.printed, proof.asked)), abs=1e-6)
        assert proof.printable == (proof.nearest_miss <= REACHED)
    assert {proof.printable for proof in proofs} == {True, False}


def test_what_the_printer_prints_can_be_printed():
    found = read_printer_profile(kept("dyes_rgb"))
    printed = np.array([proof.printed for proof in soft_proofs(found, LAB)])
    assert max(proof.nearest_miss for proof in soft_proofs(found, _to_d65(printed))) < 0.1


def _to_d65(lab):
    return xyz_to_lab(adapt(lab_to_xyz(lab, D50_XYZ), D50_XYZ, SRGB_WHITE, Transform.BRADFORD), SRGB_WHITE)


def test_the_paper_is_white_of_itself_and_is_told_beside_a_perfect_white():
    found = read_printer_profile(icc_files.printer())
    assert_allclose(with_paper(np.array([[100.0, 0.0, 0.0]]), found)[0], paper_lab(found), atol=1e-9)
    assert paper_lab(found)[0] == pytest.approx(97.2, abs=0.1)  # Y 0.93
    [white] = soft_proofs(found, np.array([[100.0, 0.0, 0.0]]))
    assert white.miss < 0.5
    assert white.beside == pytest.approx(float(delta_e_2000(paper_lab(found), [100.0, 0.0, 0.0])), abs=0.5)


def test_white_stays_white_on_the_way_to_the_connection_space():
    assert_allclose(connection_lab(np.array([[100.0, 0, 0], [50.0, 0, 0]])), [[100, 0, 0], [50, 0, 0]], atol=0.01)


def test_a_colour_sent_weaker_than_it_is_misses_by_that_as_well():
    found = read_printer_profile(kept("dyes_rgb"))
    asked, sent = np.array([[55.0, 20.0, 15.0]]), np.array([[55.0, 12.0, 9.0]])
    [true], [weaker] = soft_proofs(found, asked), soft_proofs(found, asked, sent)
    assert weaker.miss > true.miss + 3
    assert weaker.nearest_miss == pytest.approx(true.nearest_miss, abs=0.2)


def test_a_miss_is_said_in_the_words_of_the_pick_list():
    asked = np.array([50.0, 40.0, 20.0])
    assert miss_mark(asked, asked + np.array([0.5, 0, 0])) == ""
    assert miss_mark(asked, asked + np.array([3.0, 0, 0])) == "≠ prints a little lighter"
    assert miss_mark(asked, np.array([50.0, 20.0, 10.0])) == "≠ prints clearly softer"


# -- junk ----------------------------------------------------------------------------------------------------------


def broken():
    whole = icc_files.printer()
    tags = {b"wtpt": xyz(), b"A2B1": old_table(nodes(5, 3, icc_files.to_pcs_colours))}
    there = tags[b"A2B1"]
    two = nodes(9, 2, lambda p: np.column_stack([p, p[:, 0]]))
    return {
        "empty": (b"", "not an ICC profile"),
        "text": (b"hello " * 100, "not an ICC profile"),
        "bare screen": (profile({}, kind=b"mntr", pcs=b"XYZ "), "no tables for printing"),
        "screen of one colour": (
            screen(rXYZ=xyz(), gXYZ=xyz((0.96, 1, 0.82)), bXYZ=xyz((0.97, 0.99, 0.82))),
            "damaged or incomplete",
        ),
        "screen that turns back": (screen(gTRC=sampled([0, 0.7, 0.4, 1])), "damaged or incomplete"),
        "grey screen": (profile({}, kind=b"mntr", device=b"GRAY"), "for a device that prints greys only"),
        "CMYK space": (profile({}, kind=b"spac", device=b"CMYK"), "give one for RGB"),
        "named": (profile({}, kind=b"nmcl"), "of named colours, not of a printer"),
        "link": (profile({}, kind=b"link"), "of two devices in one, not of a printer"),
        "version 5": (profile(tags, version=0x05000000), "ICC version 5, and versions 2 to 4"),
        "camera": (profile({}, kind=b"scnr"), "of a camera or scanner"),
        "unknown": (profile({}, kind=b"abcd"), "of something unknown"),
        "not Lab": (profile(tags, pcs=b"Luv "), "neither CIELAB nor XYZ"),
        "no tables": (profile({b"wtpt": xyz()}), "no tables for printing"),
        "one way": (profile(tags), "no tables for printing"),
        "cut short": (whole[:3000], f"is cut off: 3000 bytes of {len(whole)}"),
        "cut in the list": (whole[:140], "is cut off: 140 bytes"),
        "small table of XYZ": (
            icc_files.printer(pcs=b"XYZ ", A2B1=old_table(nodes(5, 3, icc_files.to_pcs_colours), wide=False)),
            "damaged or incomplete",
        ),
        "no paper": (icc_files.printer(wtpt=xyz((0.0, 0.0, 0.0))), "damaged or incomplete"),
        "grid of one": (icc_files.printer(A2B1=there[:10] + b"\x01" + there[11:]), "damaged or incomplete"),
        "another kind": (icc_files.printer(A2B1=b"text" + there[4:]), "damaged or incomplete"),
        "two channels": (icc_files.printer(A2B1=old_table(two)), "damaged or incomplete"),
        "greys": (
            icc_files.printer(
                A2B1=old_table(nodes(9, 1, lambda p: np.column_stack([p, 0 * p + 0.5, 0 * p + 0.5]))),
                B2A1=old_table(nodes(9, 3, lambda p: p[:, :1])),
            ),
            "prints greys only",
        ),
        "contradiction": (
            icc_files.printer(B2A1=old_table(nodes(5, 3, lambda p: 1 - icc_files.to_device_values(p)))),
            "contradict each other",
        ),
    }


@pytest.mark.parametrize(("data", "said"), broken().values(), ids=broken())
def test_junk_is_refused_with_what_would_do(data, said):
    with pytest.raises(UnreadableInput, match=said) as refused:
        read_printer_profile(data, "my.icc")
    assert str(refused.value).startswith("my.icc: ")
    assert refused.value.remedy


def test_bytes_changed_at_random_are_refused_or_read_and_never_crash():
    whole, rng = icc_files.printer(), np.random.default_rng(8)
    for _ in range(60):
        data = bytearray(whole)
        for at in rng.integers(128, 320, 4):
            data[at] = rng.integers(256)
        try:
            found = read_printer_profile(bytes(data))
        except UnreadableInput:
            continue
        assert np.isfinite(found.to_lab.to_lab(found.to_device.from_lab(LAB))).all()
