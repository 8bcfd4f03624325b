"""What was just drawn, kept for the next file of the same hand-over: the mail carries the papers that were opened.

In memory alone, never on the disk: the last few things drawn, and none for longer than a hand-over takes. Whoever
erases something that papers say calls `forget_just_drawn`, so that nothing of it stays.
"""

import hashlib
import json
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from threading import Lock, Timer
from typing import Any, Generic, TypeVar
from weakref import WeakSet

from tenter.language import language

T = TypeVar("T")
_EVERY: "WeakSet[JustDrawn[Any]]" = WeakSet()
_SOONEST = 1.0  # seconds between two looks at what is too old


@dataclass(slots=True, eq=False, weakref_slot=True)
class JustDrawn(Generic[T]):
    """The last `most` things that were drawn, each let go of after `seconds`. clock: seconds that only go on."""

    most: int = 2  # the client's paper and the studio's
    seconds: float = 600.0
    clock: Callable[[], float] = time.monotonic
    _kept: dict[str, tuple[float, T]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)
    _next_look: Timer | None = None
    _forgotten: int = 0  # times that all was forgotten: what was being drawn meanwhile is not kept

    def __post_init__(self) -> None:
        _EVERY.add(self)

    def of(self, content: Sequence[object], draw: Callable[[], T]) -> T:
        """Return what `draw` gives, or gave for the same content, plain values for JSON, in the same language."""
        key = _digest(content)
        with self._lock:
            self._forget_the_old()
            if key in self._kept:
                return self._kept[key][1]
            forgotten = self._forgotten
        drawn = draw()
        with self._lock:
            if forgotten == self._forgotten:
                self._keep(key, drawn)
        return drawn

    def forget(self) -> None:
        """Let go of everything."""
        with self._lock:
            self._kept.clear()
            self._forgotten += 1

    def _keep(self, key: str, drawn: T) -> None:
        self._kept[key] = self.clock(), drawn
        for oldest in sorted(self._kept, key=lambda k: self._kept[k][0])[: -self.most]:
            del self._kept[oldest]
        if self._next_look is None:
            self._look_later()

    def _look_later(self) -> None:
        """Look again when the oldest is too old, whether or not anything is drawn by then."""
        oldest = min(drawn_at for drawn_at, _ in self._kept.values())
        self._next_look = Timer(max(_SOONEST, oldest + self.seconds - self.clock()), self._look)
        self._next_look.daemon = True  # it keeps no program from ending
        self._next_look.start()

    def _look(self) -> None:
        with self._lock:
            self._next_look = None
            self._forget_the_old()
            if self._kept:
                self._look_later()

    def _forget_the_old(self) -> None:
        now = self.clock()
        for key in [k for k, (drawn_at, _) in self._kept.items() if now - drawn_at >= self.seconds]:
            del self._kept[key]


def forget_just_drawn() -> None:
    """Let go of all that was just drawn, whatever it is."""
    for drawn in list(_EVERY):
        drawn.forget()


def _digest(content: Sequence[object]) -> str:
    told = json.dumps([language().code, *content], ensure_ascii=False)
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()
