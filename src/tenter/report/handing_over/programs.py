"""The palette for other programs: every open format in one archive."""

import io
import zipfile
from datetime import date

from tenter.consultation.colours.colours import PersonalPalette
from tenter.report.exports.formats import Format, exported
from tenter.report.handing_over.handed_file import HandedFile, file_name
from tenter.report.reading.content import ClientCard

_READABLE = 0o644 << 16  # what an unpacked file may be opened by


def for_programs(client: ClientCard, palette: PersonalPalette) -> HandedFile:
    """Return a palette in every open format, as one ZIP. The same palette gives the same bytes."""
    buffer = io.BytesIO()
    day = date.fromisoformat(client.date)
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for kind in Format:
            name = file_name(client, f"colours-{kind}" if kind.ending != kind else "colours", kind.ending)
            entry = zipfile.ZipInfo(name, (max(day.year, 1980), day.month, day.day, 0, 0, 0))
            entry.external_attr, entry.compress_type = _READABLE, zipfile.ZIP_DEFLATED
            archive.writestr(entry, exported(palette, kind, client.name, client.date))
    return HandedFile(file_name(client, "for-programs", "zip"), "application/zip", buffer.getvalue())
