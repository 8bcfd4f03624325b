"""A shopping list: the colours to look for, with what each adds, as a paper to take to the shop and as a CSV."""

import csv
import io
from typing import Final

import numpy as np

from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.worth.shopping import KitWorth, ToBuy
from tenter.language import N_, _, gettext_lazy, local_number, long_date, ngettext
from tenter.report.words.wording import sentence
from tenter.report.workshop.gain_words import GAINS_SAID, NATS_SAID, gain_numbers, gain_words
from tenter.report.workshop.what_first import lab_place, with_article
from tenter.report.workshop.workshop_paper import PaperRow, PaperSection, WorkshopPaper, paper_swatch

_COLUMNS: Final = (
    "order", "words", "hue_family", "L", "a", "b", "C", "h", "illuminant", "observer",
    "gain_nats", "gain_low", "gain_high", "gain_share", "shown_truly",
)  # fmt: skip
_FOUND: Final = N_("Found: ____________________   L* ______   a* ______   b* ______")
_HOW: Final = (
    gettext_lazy("Buy from the top: what each colour adds counts those above it as already bought."),
    gettext_lazy(
        "Go by the numbers, which are for D65 and the 10° observer: a print or a screen shows a colour only roughly. "
        "If you can, read the cloth in the shop; otherwise take a cutting home and read it there."
    ),
    gettext_lazy("The gains are worked out for exactly these colours. How near a cloth has to come is not known."),
    NATS_SAID,
    GAINS_SAID,
)


def shopping_list(worth: KitWorth, kit: str, iso_date: str, studio: str = "") -> WorkshopPaper:
    """Return the paper. kit: its name. iso_date: of the paper, YYYY-MM-DD."""
    rows = tuple(
        PaperRow(
            f"{sentence(cloth.words)}, {lab_place(cloth.lab)}",
            (
                _polar(cloth),
                _("{more} It adds {gain}.", more=gain_words(cloth), gain=gain_numbers(cloth.gain)),
                _(_FOUND),
            ),
            (paper_swatch(cloth.lab, with_article(cloth.words)),),
        )
        for cloth in worth.to_buy
    )
    many = ngettext("{count} colour to look for", "{count} colours to look for", len(rows))
    sections = [PaperSection(_("In this order"), rows), PaperSection(_("In the shop"), lines=tuple(map(str, _HOW)))]
    nothing = PaperSection(_("Why"), lines=(_("No single cloth is sure to tell you more than those you have."),))
    return WorkshopPaper(
        kind=_("Shopping list"),
        title=_("Shopping list, {day}", day=long_date(iso_date)),
        studio=studio,
        date=iso_date,
        shown_date=long_date(iso_date),
        about=_("for {kit}", kit=kit),
        headline=many if rows else _("Nothing to buy"),
        sections=tuple(sections) if rows else (nothing,),
    )


def shopping_csv(worth: KitWorth) -> str:
    """Return the colours as CSV, in the order in which to buy them: Lab and LCh under D65/10°, gains in nats."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(_COLUMNS)
    for order, cloth in enumerate(worth.to_buy, 1):
        chroma, hue = lab_to_lch(np.array(cloth.lab))[1:]
        gain = [f"{value:.5f}" for value in (cloth.gain.nats, cloth.gain.low, cloth.gain.high, cloth.share)]
        light = (D65_10.illuminant, D65_10.observer)
        shown = "yes" if cloth.shown_truly else "no"
        table.writerow(
            [order, cloth.words, cloth.hue_family, *cloth.lab, f"{chroma:.1f}", f"{hue:.0f}", *light, *gain, shown]
        )
    return text.getvalue()


def _polar(cloth: ToBuy) -> str:
    chroma, hue = lab_to_lch(np.array(cloth.lab))[1:]
    return _("Chroma C* {chroma}, hue {hue}°.", chroma=local_number(chroma, 0), hue=local_number(hue, 0))
