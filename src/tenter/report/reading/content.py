"""The studio's sheet: everything that is said, in words, numbers and colours, before anything is drawn.

The PDF and the verdict's page draw this one object, so they cannot disagree.
"""

from dataclasses import dataclass, replace
from datetime import date

from tenter.consultation.findings.named import as_named
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.palette.palette import palette
from tenter.consultation.sitting.sitting import Sitting
from tenter.errors import TenterError
from tenter.given import given_text
from tenter.language import N_, _, as_typed, as_written, in_a_row, language, long_date, translated
from tenter.report.own_words.studio_words import Language, language_from
from tenter.report.pictures.face_colours import FaceColours, face_colours
from tenter.report.reading.finding import Finding, finding, record_note
from tenter.report.reading.named_result import NO_WHY, Paper, finding_as_named, named_line
from tenter.report.reading.trait_lines import AXIS_REACH, axis_share
from tenter.report.reading.wearing import Wearing, wearing
from tenter.report.reading.why import Why, why
from tenter.report.words.cautions import Caution, cautions
from tenter.report.words.marks import MarkKey, mark_keys
from tenter.report.words.swatches import colour_note, kit_swatches
from tenter.report.words.wording import degree_borders, odds_key

_PAIRING_IN_WORDS = (
    N_(
        "Every swatch carries its name, how light it is, how strong it is and its hue, so that none of it has to be "
        "seen."
    ),
    N_("Light with dark: take one cloth called light and one called dark from your list, whatever their hues."),
    N_("One strong at a time: a cloth called vivid or clear goes with any that is called muted, white or near-black."),
    N_("Same hue word, another lightness word: always a quiet pair."),
    N_("Label your clothes with these words once, and choose by the label afterwards."),
)


def pairing_in_words() -> tuple[str, ...]:
    """Return how to pair colours by their words alone."""
    return tuple(map(_, _PAIRING_IN_WORDS))


@dataclass(frozen=True, slots=True)
class ClientCard:
    """For whom a paper, a sheet or a phone page is, by whom, and when.

    `date` is ISO text. An empty studio or consultant is left out. `words_only` hands over in words. guardian: to whom
    the mail of a minor is written, empty where nobody is named. Raises `TenterError` for a blank name, a field that is
    no text, and what is no date.
    """

    name: str
    studio: str
    consultant: str
    date: str
    remarks: str = ""
    minor: bool = False
    words_only: bool = False
    guardian: str = ""

    def __post_init__(self) -> None:
        given_text(self.name, _("the client's name"))
        given_text(self.studio, _("the studio"), needed=False)
        given_text(self.consultant, _("the consultant"), needed=False)
        given_text(self.guardian, _("the guardian"), needed=False)
        try:
            date.fromisoformat(self.date)
        except ValueError:
            raise TenterError(_("{date} is not a date; write it as 2026-03-14", date=as_typed(self.date))) from None


@dataclass(frozen=True, slots=True)
class ReadingLabels:
    """Headings and labels, the same wherever the sheet is drawn."""

    sheet: str = N_("Studio’s sheet")
    read_by: str = N_("read by")
    traits: str = N_("Colouring")
    categories: str = N_("How likely each is")
    remarks: str = N_("Remarks")
    why: str = N_("Why")
    against: str = N_("What speaks against it")
    contradictions: str = N_("Entries that disagree with the rest")
    causes: str = N_("What may explain it:")
    between_causes: str = N_("; or ")
    settling: str = N_("What would settle it")
    pairing: str = N_("Pairing by words")
    face: str = N_("The measured face")
    face_columns: tuple[str, ...] = (N_("Region"), "L*", "a*", "b*")
    known: str = N_("How each thing is known")
    cautions: str = N_("What to keep in mind")


@dataclass(frozen=True, slots=True)
class TraitScale:
    """The axis that traits are drawn on: where its middle and the borders of the degrees lie, 0 to 1."""

    borders: tuple[float, ...]
    text: str


@dataclass(frozen=True, slots=True)
class ReadingSheet:
    """Everything that the studio's sheet says."""

    title: str
    client: ClientCard
    date: str
    finding: Finding
    scale: TraitScale
    why: Why
    wearing: Wearing
    pairing: tuple[str, ...]
    face: FaceColours
    cautions: tuple[Caution, ...]
    marks: tuple[MarkKey, ...]
    notes: tuple[str, ...]
    labels: ReadingLabels
    language: Language


def reading_sheet(client: ClientCard, sitting: Sitting, paper: Paper = Paper.STUDIO) -> ReadingSheet:
    """Return the sheet of a sitting; raises `PhaseMissing` before there is a verdict.

    Where the consultant names another result than the odds, the client's paper carries theirs and the studio's both.
    """
    by_odds, judged = sitting.verdict(), as_named(sitting, sitting.verdict())
    verdict = judged if judged and paper is Paper.CLIENT else by_odds
    handed = palette(sitting, verdict)
    swatches = kit_swatches(sitting.kit)
    best_white = handed.whites[0].drape.name if handed.whites else None
    return ReadingSheet(
        title=_("Studio’s sheet for {name}", name=client.name),
        client=client,
        date=long_date(client.date),
        finding=_finding(sitting, by_odds, judged, client.minor, paper),
        scale=_scale(),
        why=why(sitting, verdict, swatches) if verdict is by_odds else NO_WHY,
        wearing=wearing(sitting, verdict, handed, swatches),
        pairing=pairing_in_words() if client.words_only else (),
        face=face_colours(sitting.face, handed.contrast, best_white, sitting.uses_face_prior),
        cautions=cautions(client.minor),
        marks=mark_keys(),
        notes=(
            record_note(sitting),
            *([_("Odds words: {words}.", words=odds_key())] if verdict is by_odds else []),
            colour_note(sitting.kit.colours),
        ),
        labels=translated(ReadingLabels()),
        language=language_from(language().code),
    )


def _finding(sitting: Sitting, by_odds: Verdict, judged: Verdict | None, minor: bool, paper: Paper) -> Finding:
    named = sitting.named
    if judged is None or named is None:
        return finding(sitting, by_odds, minor)
    if paper is Paper.CLIENT:
        return finding_as_named(named, judged, minor)
    return replace(finding(sitting, by_odds, minor), named=(named_line(named),))


def _scale() -> TraitScale:
    borders = degree_borders(AXIS_REACH)
    degrees = (N_("slight from {border}"), N_("marked from {border}"), N_("strong from {border}"))
    told = in_a_row([_(said, border=as_written(f"{b:g}")) for said, b in zip(degrees, borders, strict=True)])
    both = [axis_share(-b) for b in reversed(borders)] + [axis_share(b) for b in borders]
    scale = _("On Tenter’s scale: {degrees}. In brackets, and as a bar: the 90 % interval.", degrees=told)
    return TraitScale(tuple(both), scale)
