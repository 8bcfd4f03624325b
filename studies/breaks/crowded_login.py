"""How much memory the server takes while many log in at once. For `bench_breaks.py`.

The memory is the most that the server's processes have had, each by itself, added up: never less than what they had
together.
"""

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from studies.web.live_studio import LiveStudio, Visitor


def logins_at_once(folder: Path, count: int) -> tuple[float, int]:
    """Log in `count` times at once; return the server's megabytes at most, and how many did not come in."""
    studio = LiveStudio(folder).start()
    Visitor(studio).open_studio()
    visitors = [Visitor(studio) for _ in range(count)]
    for visitor in visitors:
        visitor.get("/login")

    def came_in(visitor: Visitor) -> bool:
        visitor.log_in()
        return visitor.at.endswith("/day")

    with ThreadPoolExecutor(count) as pool:
        inside = sum(pool.map(came_in, visitors))
    assert studio.process is not None
    megabytes = _most_megabytes(studio.process.pid)
    studio.stop()
    return megabytes, count - inside


def _most_megabytes(pid: int) -> float:
    told = Path(f"/proc/{pid}/status").read_text(encoding="ascii", errors="replace")
    found = re.search(r"VmHWM:\s+(\d+) kB", told)
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    return (int(found[1]) / 1000 if found else 0.0) + sum(_most_megabytes(int(child)) for child in children)
