"""How long a whole photograph takes once the program runs; on its own it prints seconds and memory as JSON."""

import json
import logging
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

from studies.clients.targets import Target, at_most
from studies.scenes.exposure import expose, load_scene
from tenter.photo.face.measure import measure_photo

_SIZES = {"12": (3000, 3750, 1.5), "1": (900, 1125, 0.5)}  # megapixels: width, height, seconds wanted
_REPEATS = 5


def speed_targets() -> list[Target]:
    """Measure in a process of its own, so that its memory is that of measuring alone."""
    with tempfile.TemporaryDirectory() as folder:
        picture = Image.fromarray(expose(load_scene("p6"), "D50", "phone-a").picture)
        for name, (width, height, _) in _SIZES.items():
            picture.resize((width, height), Image.Resampling.BICUBIC).save(Path(folder) / f"{name}.jpg", quality=92)
        found = subprocess.run(
            [sys.executable, "-m", "studies.photo.photo_speed", folder], capture_output=True, text=True, check=True
        )
    numbers = json.loads(found.stdout.splitlines()[-1])
    for name in _SIZES:
        print(
            f"{name} megapixels: {numbers[name]:.2f} s by the clock, {numbers[f'{name} busy']:.2f} s of processor time"
        )
    targets = [
        at_most(f"{name}-megapixel JPEG, whole", numbers[name], limit, "s") for name, (*_, limit) in _SIZES.items()
    ]
    return [*targets, at_most("memory of that process", numbers["gb"], 1.0, "GB")]


def timed(folder: Path) -> dict[str, float]:
    """Return the median seconds of each picture, after a first one, and the most memory held."""
    measure_photo(folder / "1.jpg")
    found = {}
    for name in _SIZES:
        times, busy = [], []
        for _ in range(_REPEATS):
            started, worked = time.perf_counter(), time.process_time()
            measure_photo(folder / f"{name}.jpg")
            times.append(time.perf_counter() - started)
            busy.append(time.process_time() - worked)
        found[name], found[f"{name} busy"] = float(np.median(times)), float(np.median(busy))
    found["gb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e9
    return found


if __name__ == "__main__":
    logging.disable(logging.CRITICAL)
    print(json.dumps(timed(Path(sys.argv[1]))))
