"""What stock colour correction makes of the same patches and the same regions: colour-science's `colour_correction`.

Least squares from linear RGB (the picture taken for true sRGB) to XYZ on the patches that our own fit uses. The peers
fit no tone curve and no light across the card, and know no skin.
"""

import colour
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import decode_srgb, xyz_to_lab
from tenter.photo.card.calibration import calibrate
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.patches.reference import classic24
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.regions import Region, read_region

PEERS = {
    "3×3 (Cheung 2004)": {"method": "Cheung 2004", "terms": 3},
    "root polynomial, degree 2 (Finlayson 2015)": {"method": "Finlayson 2015", "degree": 2},
}


def peer_labs(photo: Photo, regions: tuple[Region, ...] = tuple(Region)) -> dict[str, dict[Region, FloatArray]]:
    """Return the Lab (3,) of each region by each peer; empty where card or face are not found."""
    reading, mesh = find_chart(photo), find_face(photo.rgb).mesh_px
    calibration = None if reading is None else calibrate(classic24(), (reading, reading.turned_half()))
    if calibration is None or mesh is None:
        return {}
    patches = decode_srgb(calibration.reading.code[calibration.used])
    target = calibration.card.xyz[calibration.used]
    read = {region: read_region(photo, mesh, region) for region in regions if region is not Region.HAIR}
    linear = {region: decode_srgb(pixels.code).mean(axis=0) for region, pixels in read.items() if not pixels.reason}
    found = {}
    for name, options in PEERS.items():
        xyz = colour.colour_correction(np.array(list(linear.values())), patches, target, **options)
        labs = xyz_to_lab(np.maximum(xyz, 1e-6), D65_WHITE)
        found[name] = dict(zip(linear, labs, strict=True))
    return found
