"""The figures of the workshop: `./run bench workshop [--parts audit light readings reflected walks]`.

Each part prints its own: what the kit audit finds and what its advice is worth; how far the values of lights are from
what is published and from other programs; what readings come to; how well the light that a drape throws is predicted;
and the acceptance walks 1 to 4 in a real browser, each with its limit of seconds by hand.
"""

import argparse
import subprocess
import sys
from collections.abc import Callable, Iterator

from studies.workshop.audit_figures import audit_lines
from studies.workshop.bench_reflected import reflected_part
from studies.workshop.light_figures import light_lines
from studies.workshop.readings_figures import readings_lines

WALKS = {
    "1, a newcomer's first day": "tests/web/studio/test_walk_newcomer.py",
    "2 and 3, a measuring evening and what has faded": "tests/web/readings/test_walk_readings.py",
    "4, the light in the morning": "tests/web/light/test_walk_light.py",
}


def reflected_lines() -> Iterator[str]:
    """Print the figures of reflected light; they come row by row, so none is left to yield."""
    reflected_part()
    yield from ()


def walk_lines() -> Iterator[str]:
    """Yield how each walk ended in a real browser; a walk holds its seconds by hand itself."""
    for name, tests in WALKS.items():
        told = ["-q", "-p", "no:cacheprovider", "-p", "no:randomly", "--durations=0", "--durations-min=0.5", tests]
        done = subprocess.run([sys.executable, "-m", "pytest", *told], capture_output=True, text=True, check=False)
        yield f"walk {name}: {'passed' if done.returncode == 0 else 'FAILED'}"
        yield from (f"  {line}" for line in done.stdout.splitlines() if " call " in line or "Error" in line)


PARTS: dict[str, Callable[[], Iterator[str]]] = {
    "audit": audit_lines,
    "light": light_lines,
    "readings": readings_lines,
    "reflected": reflected_lines,
    "walks": walk_lines,
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--parts", nargs="+", choices=list(PARTS), default=list(PARTS))
    said = parser.parse_args()
    for name, lines in PARTS.items():
        for line in lines() if name in said.parts else ():
            print(line, flush=True)


if __name__ == "__main__":
    main()
