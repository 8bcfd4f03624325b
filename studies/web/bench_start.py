"""How long from the command to the first page, on a studio that is there already and on a new one.

Run: ./run bench start [--times 5]. Both are timed from the start of the process, by a visitor who asks every 20 ms; the
browser's own time is not in it. With `--open` a page says how the start goes: the time until that one is timed too.
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

from studies.web.live_studio import LiveStudio, free_port

AT_MOST = 4.0  # seconds from the command to the page; what was asked for
_OPEN = "from tenter.web.serve import main; main()"


def seconds_to_page(folder: Path) -> tuple[float, float]:
    """Return the seconds from starting a server on a folder's data until its login page, and of the processor's until
    it has ended.
    """
    begun, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    studio = LiveStudio(folder).start()
    took = time.perf_counter() - begun
    studio.stop()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return took, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def seconds_opened(folder: Path) -> tuple[float, float]:
    """Return the seconds until the page that says how the start goes, and until the studio's own."""
    port = free_port()
    environment = {**os.environ, "TENTER_DATA_DIR": str(folder / "data"), "BROWSER": "true"}
    begun = time.perf_counter()
    server = subprocess.Popen([sys.executable, "-c", _OPEN, "--open", "--port", str(port)], env=environment)
    first = page = 0.0
    try:
        while not page:
            time.sleep(0.02)
            status = _status(f"http://127.0.0.1:{port}/login")
            first = first or (time.perf_counter() - begun if status else 0.0)
            page = time.perf_counter() - begun if status == 200 else 0.0
    finally:
        server.terminate()
        server.wait()
    return first, page


def _status(address: str) -> int:
    try:
        with urllib.request.urlopen(address, timeout=5) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as error:
        return error.code
    except OSError:
        return 0


def main() -> None:
    """Time it and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=5)
    times = parser.parse_args().times
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        print(f"a new studio: {seconds_to_page(folder)[0]:.1f} s")
        took = sorted(seconds_to_page(folder) for _ in range(times))
        median, longest = took[times // 2][0], took[-1][0]
        print(f"one that is there: median {median:.1f} s, longest {longest:.1f} s (wanted: {AT_MOST:.0f} s)")
        print(f"of which the processor works {min(busy for _, busy in took):.1f} s, and stopping takes some of that")
        first, page = seconds_opened(folder)
        print(f"with --open: {first:.1f} s to the page that says so, {page:.1f} s to the studio's")


if __name__ == "__main__":
    main()
