"""Swatches with and without the correction of the printer: eight invented printers, each test sheet photographed once.

    ./run bench swatches

For every printer: by how much (mean ΔE00) the swatches of a client's palette miss their colours as sent, and as
corrected from a photograph of the test sheet beside a classic card, and beside a card of our own that was measured in
one photograph; by how much the correction itself says that it misses; and what is left where the patches are measured
without error.
"""

from datetime import date

import numpy as np

from studies.scenes.cameras import CAMERAS
from studies.scenes.exposure import expose
from studies.scenes.own_card_scene import DYED, calibration_photograph, printed_card
from studies.scenes.print_test_scene import printed_lab, sheet_scene
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, Colours
from tenter.consultation.cloths.kit import Kit
from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.files.loading import Photo
from tenter.photo.own_card.calibration import calibrate_own_cards
from tenter.photo.print_test import layout
from tenter.photo.print_test.reading import read_test_sheet
from tenter.report.printing.print_correction import fitted

PRINTERS = (1, 2, 3, 4, DYED + 1, DYED + 2, DYED + 3, DYED + 4)


_OWN_CARD = 9  # serial of the card of our own, as its printer made it


def main() -> None:
    kit = Kit.demo()
    matt = [not drape.is_metal for drape in kit.drapes]
    asked = kit.colours.under(D65_2).lab[matt][::2]
    photo = Photo(calibration_photograph(printed_card(_OWN_CARD), seed=5, camera="nikon"))
    [values] = calibrate_own_cards([photo], date(2026, 11, 29)).values
    print(f"{len(asked)} colours of the demo kit; mean ΔE00 of print against colour")
    for own, choice in ((None, CardChoice()), (_OWN_CARD, CardChoice(ChartKind.OWN, own=values))):
        print(f"beside {'a classic card' if own is None else 'a card of our own'}")
        table(asked, own, choice)


def table(asked: FloatArray, own: int | None, choice: CardChoice) -> None:
    """Print the figures of every printer, whose sheet lies beside a card."""
    sent, _ = Colours(asked, D65_2).on_screen()
    print("printer  as sent  corrected  by exact patches  patches read wrong by  said to miss")
    kept = []
    for k, serial in enumerate(PRINTERS):
        camera = tuple(CAMERAS)[k % len(CAMERAS)]
        photo = Photo(expose(sheet_scene(serial, own), ("D65", "D50", "DAY5500")[k % 3], camera, seed=k).picture)
        read = read_test_sheet(photo, choice)
        true = printed_lab(serial, [patch.hex for patch in layout.SHEET_PATCHES])
        codes = layout.sent_codes()
        numbers = list(read.patches)
        learned, exact = fitted(codes[numbers], read.lab), fitted(codes, true)
        missed = [
            delta_e_2000(printed_lab(serial, hexes), asked).mean()
            for hexes in (sent, learned.to_send(asked)[0], exact.to_send(asked)[0])
        ]
        off = delta_e_2000(read.lab, true[numbers]).mean()
        kept.append(missed)
        figures = "  ".join(f"{v:8.2f}" for v in (*missed, off, learned.left_out))
        print(f"{serial:7d} {figures}   {camera}", flush=True)
    print("mean    " + "  ".join(f"{v:8.2f}" for v in np.mean(kept, axis=0)))


if __name__ == "__main__":
    main()
