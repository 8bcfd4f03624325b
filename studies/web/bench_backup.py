"""What a backup of many sittings costs, and its check: `./run bench backup --sittings 10000`.

Invented sittings of 12 to 36 entries each are written straight into a studio of its own, with photographs of noise.
Then, each time in a process of its own, everything is backed up as the command does it, and the backup is checked as a
restore checks it: the first time, when nothing has been replayed yet, and once more. Processor time is that of the
whole process, its start included. The same with a tenth of the sittings and photographs says whether memory grows.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile

from studies.clients.targets import Target, at_most

_FIRST_SECONDS, _AGAIN_SECONDS = 300.0, 20.0  # of a processor, for 10,000 sittings
_GROWTH_MB = 50.0  # from a tenth of the sittings and photographs to all


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--sittings", type=int, default=1000)
    parser.add_argument("--photographs", type=int, default=100)
    parser.add_argument("--seed", type=int, default=5)
    return parser.parse_args()


def figures(sittings: int, photographs: int, seed: int) -> list[Target]:
    """Return what a backup of so many sittings and photographs costs with its check, beside what is wanted."""
    with tempfile.TemporaryDirectory() as few, tempfile.TemporaryDirectory() as many:
        _run(few, "make", sittings // 10, photographs // 10, seed)
        small = _run(few, "cost")
        entries = _run(many, "make", sittings, photographs, seed)["entries"]
        first, again = _run(many, "cost"), _run(many, "cost")
    print(
        f"{sittings:,} sittings of {entries:,.0f} entries and {photographs} photographs: {first['size_mb']:.0f} MB; "
        f"replayed and compared {first['compared']:,.0f} the first time, {again['compared']:,.0f} again; "
        f"the backup alone {first['written_s']:.0f} s and {again['written_s']:.0f} s; "
        f"peak memory {first['peak_mb']:.0f} MB and {again['peak_mb']:.0f} MB, {small['peak_mb']:.0f} MB for a tenth"
    )
    return [
        at_most(f"backup and check of {sittings:,} sittings, first", first["cpu_s"], _FIRST_SECONDS, "s"),
        at_most("the same again", again["cpu_s"], _AGAIN_SECONDS, "s"),
        at_most("more memory than for a tenth of them", first["peak_mb"] - small["peak_mb"], _GROWTH_MB, "MB"),
    ]


def _run(folder: str, name: str, sittings: int = 0, photographs: int = 0, seed: int = 0) -> dict[str, float]:
    environment = {**os.environ, "TENTER_DATA_DIR": folder, "DJANGO_SETTINGS_MODULE": "tenter.web.settings"}
    environment |= {"OMP_NUM_THREADS": "1", "XDG_DATA_HOME": f"{folder}/share"}
    environment.pop("DATABASE_URL", None)
    command = [sys.executable, "-m", "studies.web.many_sittings", name, *map(str, (sittings, photographs, seed))]
    done = subprocess.run(command, check=True, env=environment, stdout=subprocess.PIPE, text=True)
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    said = arguments()
    targets = figures(said.sittings, said.photographs, said.seed)
    for target in targets:
        print(target)
    sys.exit(not all(target.passes for target in targets))


if __name__ == "__main__":
    main()
