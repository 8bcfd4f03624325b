"""The demo studio's photograph of a rack: its first 24 cloths in four rows beside a classic card, by a window.

.venv/bin/python -m studies.written.demo_rack src/tenter/demo_studio/rack.jpg
"""

import sys
from pathlib import Path

from studies.scenes.cloth_scene import Drapery, Room, cloth_scene
from studies.scenes.exposure import Shot, expose
from tenter import Kit

ROWS, COLUMNS = 4, 6


def rack_picture() -> bytes:
    """Return the photograph as a JPEG file."""
    reflectances = Kit.demo().bench_colours.reflectance[: ROWS * COLUMNS]
    places = [(row, column) for row in range(ROWS) for column in range(COLUMNS)]
    cloths = [
        Drapery((350 + 125 * column, 50 + 185 * row, 100, 150), reflectance, folds=2, slope=12)
        for (row, column), reflectance in zip(places, reflectances, strict=True)
    ]
    scene = cloth_scene(cloths, Room(size=(1130, 810), gradient=(0.2, -0.1)), seed=2)
    return expose(scene, "D65", "nikon", Shot(seed=6, jpeg=85)).jpeg()


if __name__ == "__main__":
    Path(sys.argv[1]).write_bytes(rack_picture())
