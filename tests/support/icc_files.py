"""Small ICC profiles made byte by byte: of a printer with tables of either kind, or of something else."""

import struct

import numpy as np

D50 = (0.9642, 1.0, 0.8249)


def fixed(*values):
    return struct.pack(f">{len(values)}i", *(round(v * 65536) for v in values))


def profile(tags, device=b"RGB ", kind=b"prtr", pcs=b"Lab ", version=0x04200000):
    """Return a profile with tags by name."""
    start = 128 + 4 + 12 * len(tags)
    table, body = b"", b""
    for name, bare in tags.items():
        data = bare + b"\0" * (-len(bare) % 4)
        table += name + struct.pack(">II", start + len(body), len(data))
        body += data
    header = struct.pack(">I4sI4s4s4s", start + len(body), b"\0" * 4, version, kind, device, pcs)
    header += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28 + fixed(*D50) + b"\0" * 48
    return header[:128] + struct.pack(">I", len(tags)) + table + body


def xyz(values=D50):
    return b"XYZ \0\0\0\0" + fixed(*values)


def gamma(exponent):
    return b"para\0\0\0\0" + struct.pack(">HH", 0, 0) + fixed(exponent)


def sampled(values):
    codes = np.round(np.asarray(values) * 65535).astype(">u2")
    return b"curv\0\0\0\0" + struct.pack(">I", len(codes)) + codes.tobytes()


def nodes(size, channels, function):
    """Return a grid (size, ..., outputs) of a function of places (n, channels)."""
    axes = np.meshgrid(*[np.linspace(0, 1, size)] * channels, indexing="ij")
    values = function(np.stack(axes, -1).reshape(-1, channels))
    return np.clip(values, 0, 1).reshape((size,) * channels + (-1,))


def old_table(grid, wide=True, bend=1.0):
    """Return a lut16Type or lut8Type with curves of an exponent in front of and behind a grid."""
    inputs, outputs, size = grid.ndim - 1, grid.shape[-1], grid.shape[0]
    entries = 64 if wide else 256
    curve = np.linspace(0, 1, entries) ** bend
    head = (
        (b"mft2" if wide else b"mft1")
        + b"\0" * 4
        + bytes([inputs, outputs, size, 0])
        + fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    )
    if wide:
        head += struct.pack(">HH", entries, entries)
    numbers = np.concatenate([np.tile(curve, inputs), grid.ravel(), np.tile(curve, outputs)])
    return head + np.round(numbers * (65535 if wide else 255)).astype(">u2" if wide else np.uint8).tobytes()


def new_table(grid, to_pcs, device_curve, pcs_curve, middle_curve, matrix, wide=True):
    """Return a lutAToBType or lutBToAType with all five parts: matrix (12,) is its rows, then its offsets."""
    inputs, outputs = grid.ndim - 1, grid.shape[-1]
    device, pcs = (inputs, outputs) if to_pcs else (outputs, inputs)
    codes = np.round(grid.ravel() * (65535 if wide else 255)).astype(">u2" if wide else np.uint8).tobytes()
    sizes = bytes(grid.shape[:-1]) + b"\0" * (16 - inputs)
    table = sizes + bytes([2 if wide else 1, 0, 0, 0]) + codes
    curves = {
        name: c + b"\0" * (-len(c) % 4) for name, c in (("d", device_curve), ("p", pcs_curve), ("m", middle_curve))
    }
    parts = [curves["p"] * pcs, fixed(*matrix), curves["m"] * pcs, table, curves["d"] * device]
    at, offsets, body = 32, [], b""
    for part in parts:
        offsets.append(at + len(body))
        body += part + b"\0" * (-len(part) % 4)
    head = (b"mAB " if to_pcs else b"mBA ") + b"\0" * 4 + bytes([inputs, outputs, 0, 0])
    return head + struct.pack(">5I", *offsets) + body


def to_pcs_colours(device):
    """Return 0-1 of L*, a*, b* of device values (n, 3): a printer that behaves, its white at L* 100."""
    red, green, blue = device.T
    lightness = 0.12 + 0.88 * (0.3 * red + 0.55 * green + 0.15 * blue)
    a = 128 / 255 + 0.28 * (red - green) + 0.06 * (blue - green)
    b = 128 / 255 + 0.3 * (green - blue) + 0.1 * (red - blue)
    return np.stack([lightness, a, b], axis=1)


def to_device_values(pcs):
    """Return device values of 0-1 of L*, a*, b* (n, 3): the way back of `to_pcs_colours`, nearly."""
    origin = to_pcs_colours(np.zeros((1, 3)))[0]
    matrix = to_pcs_colours(np.eye(3)) - origin
    return (pcs - origin) @ np.linalg.inv(matrix)


def printer(pcs=b"Lab ", **changes):
    """Return a printer's profile with lut16Type tables."""
    tags = {
        b"wtpt": xyz((0.9, 0.93, 0.78)),
        b"A2B1": old_table(nodes(9, 3, to_pcs_colours)),
        b"B2A1": old_table(nodes(17, 3, to_device_values)),
    }
    return profile(tags | {name.encode(): data for name, data in changes.items()}, pcs=pcs)


def screen(**changes):
    """Return a screen's profile of a matrix and curves."""
    colorants = {b"rXYZ": (0.44, 0.22, 0.014), b"gXYZ": (0.385, 0.717, 0.097), b"bXYZ": (0.1392, 0.063, 0.7139)}
    tags = {name: xyz(values) for name, values in colorants.items()}
    tags |= {name: gamma(2.0) for name in (b"rTRC", b"gTRC", b"bTRC")}
    return profile(tags | {name.encode(): data for name, data in changes.items()}, kind=b"mntr", pcs=b"XYZ ")
