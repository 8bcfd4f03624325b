"""The figures of the workshop: `./run bench workshop [--parts audit light]`.

Each part prints its own: what the kit audit finds and what its advice is worth; how far the values of lights are from
what is published and from other programs.
"""

import argparse
from collections.abc import Callable, Iterator

from studies.workshop.audit_figures import audit_lines
from studies.workshop.light_figures import light_lines

PARTS: dict[str, Callable[[], Iterator[str]]] = {"audit": audit_lines, "light": light_lines}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--parts", nargs="+", choices=list(PARTS), default=list(PARTS))
    said = parser.parse_args()
    for name, lines in PARTS.items():
        for line in lines() if name in said.parts else ():
            print(line, flush=True)


if __name__ == "__main__":
    main()
