"""How the process ends: whatever is under way is finished first."""

import os
import signal
import threading
from types import FrameType


def end_this_process() -> None:
    """Ask this process to end in order, as the system would."""
    os.kill(os.getpid(), signal.SIGTERM)


def end_in_order() -> None:
    """Let whatever is under way be finished when the system, a closed terminal or the page asks this process to end."""
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, _leave)
        signal.signal(signal.SIGHUP, lambda _number, _frame: end_this_process())


def _leave(_number: int, _frame: FrameType | None) -> None:
    raise SystemExit(0)
