"""What was just drawn, kept for the next file of the same hand-over: the mail carries the papers that were opened.

In memory alone, never on the disk: the last few things drawn, and none for longer than a hand-over takes.
"""

import hashlib
import json
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from threading import Lock
from typing import Generic, TypeVar

from tenter.report.language import language

T = TypeVar("T")


@dataclass(slots=True)
class JustDrawn(Generic[T]):
    """The last `most` things that were drawn, each forgotten after `seconds`. clock: seconds that only go on."""

    most: int = 2  # the client's paper and the studio's
    seconds: float = 600.0
    clock: Callable[[], float] = time.monotonic
    _kept: dict[str, tuple[float, T]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def of(self, content: Sequence[object], draw: Callable[[], T]) -> T:
        """Return what `draw` gives, or gave for the same content, plain values for JSON, in the same language."""
        key = _digest(content)
        with self._lock:
            self._forget_the_old()
            if key in self._kept:
                return self._kept[key][1]
        drawn = draw()
        with self._lock:
            self._kept[key] = self.clock(), drawn
            for oldest in sorted(self._kept, key=lambda k: self._kept[k][0])[: -self.most]:
                del self._kept[oldest]
        return drawn

    def _forget_the_old(self) -> None:
        now = self.clock()
        for key in [k for k, (drawn_at, _) in self._kept.items() if now - drawn_at > self.seconds]:
            del self._kept[key]


def _digest(content: Sequence[object]) -> str:
    told = json.dumps([language().code, *content], ensure_ascii=False)
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()
