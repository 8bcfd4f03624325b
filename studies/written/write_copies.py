"""Make the invented copies of the classic card that `copies.py` knows: python -m studies.written.write_copies.

What a home printer makes of a picture of the card: printers as in `sheet_prior.py`, asked for the card's colours
as sRGB. No real copy was used.
"""

from pathlib import Path

import numpy as np

from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb
from tenter.photo.own_card.sheet_prior import invented_prints
from tenter.photo.patches.reference import classic24

OUT = Path(__file__).parents[2] / "src" / "tenter" / "photo" / "data" / "classic24_invented_copies.npz"
_OF_INKS, _OF_DYES, _SEED = 24, 36, 5
_STEPS = 20_000  # a reflectance is kept in so many steps
_EVERY = 2  # of the 5 nm grid


def main() -> None:
    codes = np.clip(encode_srgb(np.clip(classic24().xyz @ XYZ_TO_SRGB.T, 0, 1)), 0, 1)
    prints = invented_prints(codes, _OF_INKS, _OF_DYES, _SEED)[..., ::_EVERY]
    kept = np.round(prints * _STEPS).astype(np.uint16)
    np.savez_compressed(OUT, reflectance=kept, steps=_STEPS, wavelengths_nm=WAVELENGTHS_NM[::_EVERY])
    print(f"{len(kept)} invented copies, {OUT.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
