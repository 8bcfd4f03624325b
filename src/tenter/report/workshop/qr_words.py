"""The codewords of a QR code (ISO/IEC 18004:2015, level M): a text as bytes, with what corrects its errors.

The standard's own terms: a code of one of its versions holds data codewords in blocks, each with error correction
codewords of a Reed–Solomon code over GF(256).
"""

from functools import cache
from typing import Final, NamedTuple

import numpy as np

from tenter.arrays import IntArray

_FIELD: Final = 0x11D  # x⁸ + x⁴ + x³ + x² + 1, which makes the field (7.5.2)
_BYTE_MODE: Final = 0b0100  # Table 2
_PADDING: Final = (0xEC, 0x11)  # 7.4.10
_LONG_FROM: Final = 10  # Table 3: from this version on, the count of bytes is 16 bits long


class Blocks(NamedTuple):
    """How a version's codewords are grouped: correcting ones a block, and the data codewords of each block."""

    correcting: int
    data: tuple[int, ...]


# Table 9 of ISO/IEC 18004:2015, level M, versions 1 to 10.
BLOCKS: Final = {
    1: Blocks(10, (16,)),
    2: Blocks(16, (28,)),
    3: Blocks(26, (44,)),
    4: Blocks(18, (32,) * 2),
    5: Blocks(24, (43,) * 2),
    6: Blocks(16, (27,) * 4),
    7: Blocks(18, (31,) * 4),
    8: Blocks(22, (38,) * 2 + (39,) * 2),
    9: Blocks(22, (36,) * 3 + (37,) * 2),
    10: Blocks(26, (43,) * 4 + (44,)),
}


def version_for(count: int) -> int:
    """Return the smallest version, 1 to 10, that holds a count of bytes; `StopIteration` for more than 213."""
    return next(v for v, blocks in BLOCKS.items() if 12 + 8 * (v >= _LONG_FROM) + 8 * count <= 8 * sum(blocks.data))


def codewords(text: bytes, version: int) -> IntArray:
    """Return all codewords of a text in the order in which they are placed, 0 to 255, shape (n,)."""
    correcting, sizes = BLOCKS[version]
    ends = np.cumsum(sizes)
    blocks = np.split(_data(text, version, int(ends[-1])), ends[:-1])
    data = [block[k] for k in range(max(sizes)) for block in blocks if k < block.size]
    added = np.stack([_corrected(block, correcting) for block in blocks], axis=1)
    placed: IntArray = np.concatenate([np.array(data), added.ravel()])
    return placed


def _data(text: bytes, version: int, count: int) -> IntArray:
    length = 16 if version >= _LONG_FROM else 8
    bits = f"{_BYTE_MODE:04b}{len(text):0{length}b}" + "".join(f"{byte:08b}" for byte in text)
    bits += "0" * min(4, 8 * count - len(bits))  # the terminator
    bits += "0" * (-len(bits) % 8)
    words = [int(bits[k : k + 8], 2) for k in range(0, len(bits), 8)]
    return np.array([*words, *(_PADDING[k % 2] for k in range(count - len(words)))])


@cache
def _powers() -> tuple[IntArray, IntArray]:
    """Return 2 to each power, twice over, shape (510,), and the power of each element, shape (256,)."""
    elements, value = [], 1
    for _ in range(255):
        elements.append(value)
        value = value << 1 ^ (_FIELD if value & 0x80 else 0)
    powers, logs = np.array(elements * 2), np.zeros(256, dtype=np.intp)
    logs[powers[:255]] = np.arange(255)
    return powers, logs


def _product(one: IntArray, factor: int) -> IntArray:
    powers, logs = _powers()
    product: IntArray = np.where((one == 0) | (factor == 0), 0, powers[logs[one] + logs[factor]])
    return product


@cache
def _generator(count: int) -> IntArray:
    """Return the polynomial with the roots 2⁰ … 2^(count − 1), highest power first, shape (count + 1,)."""
    found = np.array([1])
    for k in range(count):
        found = np.append(found, 0) ^ np.append(0, _product(found, int(_powers()[0][k])))
    return found


def _corrected(block: IntArray, count: int) -> IntArray:
    """Return the correcting codewords of a block: the remainder of its division by the generator, shape (count,)."""
    rest = np.append(block, np.zeros(count, dtype=block.dtype))
    for k in range(block.size):
        rest[k : k + count + 1] ^= _product(_generator(count), int(rest[k]))
    return rest[block.size :]
