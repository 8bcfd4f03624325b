"""What is said of readings of cloths: what a summary comes to, what was added to a book and what was there already."""

from collections.abc import Sequence

from tenter.consultation.readings.book import AddedToBook, ReadingBook
from tenter.consultation.readings.cloth_reading import ClothReading, ConversionBasis, GivenAs, Ultraviolet
from tenter.consultation.readings.summary import ClothSummary
from tenter.consultation.readings.wash_log import Wash
from tenter.language import N_, _, local_number, ngettext
from tenter.numerals import how_many, listed, number

_MOST_NAMED = 6  # of what was there already, in one sentence


def summary_line(one: ClothSummary) -> str:
    """Return a cloth's colour on a day in a line: Lab with its light, how many readings, their spread, by what."""
    L, a, b = (number(value) for value in one.lab)
    predicted = ", predicted from another light" if ConversionBasis.PREDICTED in one.basis else ""
    spread = "" if one.mcdm is None else f", spread ΔE00 {number(one.mcdm)}"
    count = how_many(len(one.readings), "reading")
    beside = how_many(len(one.apart), "reading")
    apart = f"; {beside} without ultraviolet not in the mean" if one.apart else ""
    return f"{one.cloth}, {one.day}: L* {L}, a* {a}, b* {b} ({one.conditions}{predicted}), {count}{spread}{apart}"


def added_lines(done: AddedToBook, book: str) -> list[str]:
    """Return what was added to a book, and what was in it already and is not doubled."""
    cloths = len({one.cloth for one in done.book.readings})
    whole = f"{book} has {how_many(len(done.book.readings), 'reading')} of {how_many(cloths, 'cloth')}"
    lines = [f"{how_many(len(done.added), 'reading') if done.added else 'No reading'} added. {whole}."]
    if done.already:
        named = [f"{one.cloth} (row {one.row})" for one in done.already[:_MOST_NAMED]]
        more = [f"{len(done.already) - _MOST_NAMED} more"] if len(done.already) > _MOST_NAMED else []
        was = "was" if len(done.already) == 1 else "were"
        count = how_many(len(done.already), "reading")
        lines.append(f"{count} {was} in it already and {was} not added again: {listed([*named, *more])}.")
    return lines


_LAMP = {Ultraviolet.WITH: N_("with ultraviolet"), Ultraviolet.WITHOUT: N_("without ultraviolet")}
_GIVEN = {GivenAs.SPECTRUM: N_("spectrum"), GivenAs.PHOTOGRAPH: N_("photograph")}


def reading_line(one: ClothReading) -> str:
    """Return one reading in a line, as it was taken: colour, circumstances, where it came from."""
    L, a, b = (local_number(value, 2) for value in one.lab)
    how = one.how
    said = [
        how.time,
        how.instrument,
        _("on {backing}", backing=how.backing) if how.backing else "",
        ngettext("{count} fold", "{count} folds", how.folds) if how.folds else "",
        how.direction,
        how.place,
        _(_LAMP.get(how.uv, "")),
        how.note,
    ]
    words = "".join(f", {word}" for word in said if word)
    where = " [" + _("{file}, row {row}", file=one.source, row=one.row) + "]" if one.source else ""
    given_as = _(_GIVEN.get(one.given_as, str(one.given_as)))
    return f"{given_as} {L} {a} {b} ({one.conditions}){words}{where}"


def wash_line(wash: Wash) -> str:
    """Return one wash in a line."""
    return f"{wash.cloth}, {wash.day}: {wash.kind}{f', {wash.note}' if wash.note else ''}"


def book_lines(book: ReadingBook, summaries: Sequence[ClothSummary], every: bool) -> list[str]:
    """Return a book in lines: each cloth and day with what to know of it, every reading where asked, the washes."""
    lines = []
    for one in summaries:
        lines += [summary_line(one), *(f"  ! {warning}" for warning in one.warnings)]
        lines += [f"  {reading_line(reading)}" for reading in (*one.readings, *one.apart) if every]
    washes = sorted(book.washes, key=lambda wash: (wash.cloth, wash.day))
    return [*lines, *(["Washes:"] if washes else []), *(f"  {wash_line(wash)}" for wash in washes)]
