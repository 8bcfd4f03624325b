"""What the demo's workshop writes: a faded cloth in the kit's health, and a drape's light on a face."""

from pathlib import Path

from tenter import Face
from tenter.cli.studio.demo_workshop import write_workshop
from tenter.consultation.readings.book import read_book

FACE = Path(__file__).parents[2] / "data/written_faces/accepted.json"


def test_the_workshop_says_what_faded_and_what_a_drape_does_to_a_face(tmp_path):
    face = Face.read(FACE)
    made = write_workshop(tmp_path, "2026-03-12", face, "Maren Tolliver")
    assert {one.path for one in made} == set(tmp_path.iterdir())
    assert len({one.cloth for one in read_book(tmp_path / "kit.readings").readings}) == 8
    assert "Light thrown by the drape D062" in (tmp_path / "reflected-light.txt").read_text(encoding="utf-8")
