"""How coarsely a lossy WebP keeps light and dark, as the head of its one frame says.

Source: RFC 6386: 7.3 (bits that are coded by arithmetic), 9.2 to 9.6 and 19.2 (the frame's head), 14.1 (steps).
"""

from statistics import fmean

_HEAD_BYTES = 10  # tag, start code and sizes, uncoded
_SEGMENTS = 4  # of a frame, RFC 6386, section 9.3
_FIRST_STEP = 4  # of index 0; one more an index up to 58, and then more, which is coarse enough not to matter


class _Bits:
    """The coded bits of a frame's head, all of which are as likely 0 as 1."""

    def __init__(self, content: bytes) -> None:
        self._rest = iter(content)
        self._value = next(self._rest) << 8 | next(self._rest)
        self._range, self._shifted = 255, 0

    def flag(self) -> bool:
        split = 1 + ((self._range - 1) * 128 >> 8)
        is_set = self._value >= split << 8
        self._value -= split << 8 if is_set else 0
        self._range = self._range - split if is_set else split
        while self._range < 128:
            self._value, self._range, self._shifted = self._value << 1, self._range << 1, self._shifted + 1
            if self._shifted % 8 == 0:
                self._value |= next(self._rest, 0)
        return is_set

    def number(self, bits: int) -> int:
        return sum(self.flag() << place for place in reversed(range(bits)))

    def optional(self, bits: int) -> int:
        """Return a number with a sign behind it, or 0 where none is given."""
        if not self.flag():
            return 0
        size = self.number(bits)
        return -size if self.flag() else size


def luminance_step(frame: bytes) -> float:
    """Return the mean step of luminance of a lossy frame's segments, in code values; 0 where its head breaks off."""
    try:
        bits = _Bits(frame[_HEAD_BYTES:])
    except StopIteration:
        return 0.0
    bits.number(2)  # colour space and clamping
    absolute, ours = _segments(bits) if bits.flag() else (False, [0] * _SEGMENTS)
    bits.number(1 + 6 + 3)  # the filter against blocks: kind, level and sharpness
    if bits.flag() and bits.flag():  # how it differs by kinds of blocks
        for _ in range(2 * _SEGMENTS):
            bits.optional(6)
    bits.number(2)  # how many partitions
    common = bits.number(7)
    return _FIRST_STEP + fmean(ours if absolute else [common + one for one in ours])


def _segments(bits: _Bits) -> tuple[bool, list[int]]:
    """Return whether the segments' indices stand for themselves, or are added to the frame's, and the indices."""
    has_map, absolute, indices = bits.flag(), False, [0] * _SEGMENTS
    if bits.flag():
        absolute = bits.flag()
        indices = [bits.optional(7) for _ in range(_SEGMENTS)]
        for _ in range(_SEGMENTS):
            bits.optional(6)
    if has_map:
        for _ in range(_SEGMENTS - 1):
            if bits.flag():
                bits.number(8)
    return absolute, indices
