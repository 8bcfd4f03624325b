"""The client's paper, "Your colours": everything that is said, in plain words and colours, before anything is drawn.

It comes from the same sitting, verdict and palette as the studio's sheet. Nothing here counts or measures anew.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tenter.consultation.client.contrast import contrast_level
from tenter.consultation.colours.colours import Part, PersonalPalette
from tenter.consultation.findings.ending import Ending
from tenter.consultation.findings.named import as_named
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.sitting.sitting import Sitting
from tenter.language import N_, _, language, long_date, translated
from tenter.report.client_paper.guide import Guide, GuideAdvice, guide, sides_of
from tenter.report.client_paper.in_words import Alike, alike
from tenter.report.client_paper.outfits import colour_outfits
from tenter.report.client_paper.own_page import OwnPage, own_page
from tenter.report.client_paper.photo_pair import PhotoPair
from tenter.report.client_paper.result import PaperResult, result
from tenter.report.client_paper.seen_on_you import seen_on_you
from tenter.report.client_paper.shades import (
    Shade,
    ShadeRow,
    SignKey,
    StapleLine,
    on_rails,
    shades,
    sign_keys,
    staple_lines,
)
from tenter.report.client_paper.where import how_to_shop, metals_text, not_to_worry, wear_where, what_was_asked
from tenter.report.own_words.studio_words import NO_WORDS, Language, StudioWords, language_from
from tenter.report.reading.content import ClientCard, pairing_in_words
from tenter.report.words import terms
from tenter.report.words.cautions import Caution, cautions_for_client
from tenter.report.words.palette_words import STAPLES_TITLE, STRONGER, worn_instead

_COVER = 6  # colours across the head of the paper
_ACCENTS = (Part.ACCENT, Part.AWAY, Part.SMALL)
_PRINTED = N_(
    "Colours on paper and on screens are close to cloth, and never quite the same. A swatch with a zigzag edge "
    "is stronger in cloth than it can be shown here."
)


@dataclass(frozen=True, slots=True)
class PaperLabels:
    """Headings and labels of the paper."""

    paper: str = N_("Your colours")
    by: str = N_("with")
    seen: str = N_("What was seen on you")
    side: str = N_("Side by side")
    colours: str = N_("Your colours, as a shop hangs them")
    where: str = N_("What to wear where")
    neutrals: str = N_("Neutrals and whites")
    metals: str = N_("Metals")
    borrowed: str = N_("To borrow, in small areas")
    staples: str = STAPLES_TITLE
    asked: str = N_("What you asked for")
    worry: str = N_("What not to worry about")
    shop: str = N_("How to shop")
    cautions: str = N_("What to keep in mind")
    card: str = N_("Your palette")
    near: str = N_("Hold these to your face")
    accents: str = N_("And these with them")
    guide: str = N_("How to wear them")
    contrast: str = N_("Light and dark")
    prints: str = N_("Prints")
    two: str = N_("Two colours")
    three: str = N_("Three colours")
    shades: str = N_("Make-up, hair and glasses")
    alike: str = N_("Colours that may look alike to you")
    pairing: str = N_("Choosing by words")
    remarks: str = N_("From your consultant")
    stronger: str = STRONGER


@dataclass(frozen=True, slots=True)
class ClientPaper:
    """Everything that the client's paper says, in the language that is written.

    cover: colours across its head. near, accents, neutrals, whites, metals, borrowed: the palette by what each is for.
    own: the studio's own page, None where the studio has written nothing. photographs: None without consent or without
    any.
    """

    title: str
    client: ClientCard
    date: str
    result: PaperResult
    cover: tuple[Shade, ...]
    seen: tuple[str, ...]
    rails: tuple[ShadeRow, ...]
    colours_note: str
    where: tuple[GuideAdvice, ...]
    near: tuple[Shade, ...]
    accents: tuple[ShadeRow, ...]
    neutrals: tuple[Shade, ...]
    whites: tuple[Shade, ...]
    metals: tuple[Shade, ...]
    metals_text: str
    borrowed: tuple[Shade, ...]
    lacking: tuple[str, ...]
    staples: tuple[StapleLine, ...]
    asked: tuple[str, ...]
    worry: tuple[str, ...]
    shop: tuple[str, ...]
    guide: Guide
    alike: tuple[Alike, ...]
    pairing: tuple[str, ...]
    cautions: tuple[Caution, ...]
    signs: tuple[SignKey, ...]
    own: OwnPage | None
    printed: str
    labels: PaperLabels
    language: Language
    photographs: PhotoPair | None = None


def handed_over(sitting: Sitting) -> Verdict:
    """Return the verdict that the client is given: the consultant's where they name another result than the odds.

    Raises `PhaseMissing` before there is a verdict.
    """
    by_odds = sitting.verdict()
    return as_named(sitting, by_odds) or by_odds


def client_paper(
    client: ClientCard,
    sitting: Sitting,
    palette: PersonalPalette,
    words: StudioWords = NO_WORDS,
    photographs: PhotoPair | None = None,
) -> ClientPaper:
    """Return the paper of a sitting; raises `PhaseMissing` before there is a verdict.

    palette: of the verdict that is handed over. words: the studio's own, which have a page of theirs.
    """
    verdict = handed_over(sitting)
    named = sitting.named if verdict.category != sitting.verdict().category else None
    drawn = dict(zip(map(id, palette.colours), shades(palette.colours, palette.conditions), strict=True))
    near, accents, neutrals, whites, coloured = (
        tuple(drawn[id(c)] for c in palette.of_part(*parts))
        for parts in ((Part.NEAR_FACE,), _ACCENTS, (Part.NEUTRAL,), (Part.WHITE,), (Part.NEAR_FACE, *_ACCENTS))
    )
    metals, borrowed = (shades(part, palette.conditions) for part in (palette.metals, palette.borrowed))
    sides = sides_of(verdict.traits)
    everything = (*drawn.values(), *metals, *borrowed)
    dissent = named is None and bool(verdict.against or verdict.contradictions)
    return ClientPaper(
        title=_("Your colours: {name}", name=client.name),
        client=client,
        date=long_date(client.date),
        result=result(sitting.method, verdict, named, client.minor),
        cover=_cover(near, coloured),
        seen=seen_on_you(sitting, verdict) if named is None else (),
        rails=on_rails(coloured),
        colours_note=_colours_note(verdict),
        where=wear_where(near, bool(metals), bool(borrowed)),
        near=near,
        accents=on_rails(accents),
        neutrals=neutrals,
        whites=whites,
        metals=metals,
        metals_text=metals_text(sitting, palette.metals, sides),
        borrowed=borrowed,
        lacking=worn_instead(palette.missing),
        staples=staple_lines(palette.staples, palette.conditions),
        asked=what_was_asked(palette.honoured),
        worry=not_to_worry(sitting, palette, tuple(drawn.values()), dissent),
        shop=how_to_shop(sides),
        guide=_guide(sitting, client, (near, (*neutrals, *whites), accents), metals),
        alike=alike(tuple(drawn.values())) if client.words_only else (),
        pairing=pairing_in_words() if client.words_only else (),
        cautions=cautions_for_client(client.minor),
        signs=sign_keys(everything),
        own=own_page(words, [(name, sitting.method.season_of.get(name, "")) for name in palette.categories]),
        printed=_(_PRINTED),
        labels=translated(PaperLabels()),
        language=language_from(language().code),
        photographs=photographs,
    )


def _guide(sitting: Sitting, client: ClientCard, parts: tuple[Sequence[Shade], ...], metals: Sequence[Shade]) -> Guide:
    """Return how to wear the colours together; parts: those near the face, neutrals with whites, and accents."""
    contrast = contrast_level(sitting.face) if sitting.face else None
    near, quiet, accents = parts
    sides = sides_of(handed_over(sitting).traits)
    outfits = colour_outfits(near, quiet, accents, contrast)
    return guide(sides, contrast, outfits, tuple(m.in_line for m in metals), client.minor)


def _cover(near: Sequence[Shade], coloured: Sequence[Shade]) -> tuple[Shade, ...]:
    """Return the colours of the cover: those with a name of the client's own first, in the order in which they hang."""
    wanted = [*(s for s in coloured if s.title), *near, *coloured]
    first = list(dict.fromkeys(wanted))[:_COVER]
    return tuple(s for s in coloured if s in first)


def _colours_note(verdict: Verdict) -> str:
    """Return for which result the colours are, where it is not a single one."""
    if verdict.is_between:
        seasons = {"season": terms.season(verdict.category), "other": terms.season(verdict.runner_up)}
        return _("Each of them suits you as {season} and as {other}.", **seasons)
    if verdict.reached.ending is Ending.UNFINISHED:
        return _("They are chosen for all the results that are still likely. Some may change.")
    return ""
