"""What breaks: `./run bench breaks` kills, spoils, crowds and fills, and prints what is wanted beside what was found.

Parts: `kills` (the program killed while entries, photographs, a backup, a restore and the tables are written, or the
tables changed with rows in them), `spoilt` (files of every format that is no picture), `pictures` (photographs),
`logins` (at once), `pages` (in a full studio), `backup` (of many sittings). All of it takes hours; smaller counts say
less and answer sooner.
"""

import argparse
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from studies.breaks import killed
from studies.breaks.answered import MOST_MB, MOST_SECONDS, every_answer
from studies.breaks.crowded_login import logins_at_once
from studies.clients.targets import Target, at_most
from studies.web import bench_backup, bench_pages

# Of 200 kills.
_SHARES = {
    "entries": 90, "photographs": 40, "backups": 20, "restores": 20, "migrations": 10, "changes_of_tables": 20,
}  # fmt: skip


def kills(said: argparse.Namespace) -> list[Target]:
    found = []
    for name, share in _SHARES.items():
        with tempfile.TemporaryDirectory() as folder:
            found.append(getattr(killed, name)(Path(folder), max(1, round(said.kills * share / 200)), said.seed))
        print(found[-1], flush=True)
    total = sum(one.kills for one in found)
    return [
        at_most(f"lost in {total} kills", sum(one.lost for one in found), 0),
        at_most(f"doubled in {total} kills", sum(one.doubled for one in found), 0),
    ]


def spoilt(said: argparse.Namespace) -> list[Target]:
    found = every_answer(said.spoilt, said.seed)
    return [
        at_most(f"spoilt files of {len(found)} formats answered badly", sum(len(one.bad) for one in found), 0),
        at_most("the slowest of them", max(one.slowest for one in found), MOST_SECONDS, "s"),
        at_most("the most memory of them", max(one.peak_mb for one in found), MOST_MB, "MB"),
    ]


def pictures(said: argparse.Namespace) -> list[Target]:
    from studies.photo import mutations  # noqa: PLC0415  # its models load at once

    found = [mutations.run(said.pictures, said.seed), *([] if said.pictures < 300 else [mutations.run_hostile()])]
    for one in found:
        print("\n".join(one.lines()))
    return [
        at_most("spoilt photographs answered badly", sum(len(one.bad) for one in found), 0),
        at_most("the slowest of them", max(max(one.seconds) for one in found), MOST_SECONDS, "s"),
        at_most("the most memory of them", max(one.peak_bytes for one in found) / 1e6, MOST_MB, "MB"),
    ]


def logins(said: argparse.Namespace) -> list[Target]:
    with tempfile.TemporaryDirectory() as folder:
        megabytes, outside = logins_at_once(Path(folder), said.logins)
    return [
        at_most(f"memory of the server, {said.logins} logins at once", megabytes, 900, "MB"),
        at_most("of them that did not come in", outside, 0),
    ]


def pages(said: argparse.Namespace) -> list[Target]:
    printed, targets = bench_pages.run(said.sittings // 5, said.sittings, bench_pages.OF_ONE)
    print(printed)
    return targets


def backup(said: argparse.Namespace) -> list[Target]:
    return bench_backup.figures(said.sittings, said.photographs, said.seed)


PARTS: dict[str, Callable[[argparse.Namespace], list[Target]]] = {
    "logins": logins,
    "spoilt": spoilt,
    "kills": kills,
    "pictures": pictures,
    "backup": backup,
    "pages": pages,  # last: it sets up the web app in this process
}


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--parts", nargs="+", choices=list(PARTS), default=list(PARTS))
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--spoilt", type=int, default=300, help="files of each format that is no picture")
    parser.add_argument("--pictures", type=int, default=1800, help="spoilt photographs, of six formats")
    parser.add_argument("--logins", type=int, default=40, help="at once")
    parser.add_argument("--sittings", type=int, default=10_000, help="of the backup and of the pages")
    parser.add_argument("--photographs", type=int, default=100, help="of the backup")
    parser.add_argument("--seed", type=int, default=5)
    said = parser.parse_args()
    targets = [target for name in PARTS if name in said.parts for target in PARTS[name](said)]
    print(*targets, sep="\n")
    sys.exit(not all(target.passes for target in targets))


if __name__ == "__main__":
    main()
