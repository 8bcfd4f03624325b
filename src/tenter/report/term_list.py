"""Every word that comes to a paper as data and is known beforehand, for the template of the translations."""

from collections.abc import Iterable, Iterator

from tenter.colorimetry.typology import ItaClass
from tenter.consultation.axes import Axis
from tenter.consultation.client.contrast import ContrastLevel
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.names import STEP_WORDS, known_names
from tenter.consultation.compared.agreement import Compared
from tenter.consultation.conventions.bundled import BUNDLED
from tenter.consultation.conventions.method import Method
from tenter.consultation.conventions.staple_customs import STAPLES
from tenter.consultation.fading.faded_pairs import PARTED
from tenter.consultation.findings.contradictions import ContradictionCause
from tenter.consultation.findings.reasons import ONLY_A_LITTLE, STRENGTH_WORDS
from tenter.consultation.garments.gaps import Section
from tenter.consultation.garments.wardrobe import PieceKind
from tenter.consultation.laid_out.coverage import CLOTH_TRAITS, LightnessLevel, Strength
from tenter.consultation.laid_out.pair_quality import Mixed
from tenter.consultation.palette.seen import FIRST, LATER, ORDINALS, SHOWN_WORDS
from tenter.consultation.personal.choosing import YOUR_RED
from tenter.consultation.personal.metal_colours import METAL_ANSWERS, METAL_NAMES
from tenter.consultation.personal.slots import SLOT_TITLES
from tenter.consultation.personal.tried import TRIED_WORDS
from tenter.consultation.readings.summary import READ_WITH
from tenter.consultation.reflected.effect import EffectSize
from tenter.consultation.reflected.on_face import PERHAPS
from tenter.consultation.sitting.outlook import HoldingAdvice
from tenter.consultation.sitting.show_round import ShowReason
from tenter.consultation.stock.movements import MovementReason
from tenter.consultation.wishes.honouring import A_SCARF, HONOURED_WORDS, NONE
from tenter.consultation.wishes.said_wishes import USUAL_WISHES
from tenter.consultation.words.answers import Relative, Suits
from tenter.consultation.words.difference_words import DIFFERENCES, HOW_MUCH
from tenter.consultation.words.face_places import WHERE_SEEN
from tenter.consultation.words.flags import Flag, Sign
from tenter.consultation.words.odds_words import Degree, OddsWord
from tenter.consultation.words.terms import reads_as_words, remark_word
from tenter.consultation.words.traits import LeadingTrait, UndertoneSide
from tenter.light.face_lux import FACE_POINTS, point_words
from tenter.light.standards import standard_figures
from tenter.photo.regions.regions import Region, region_in_words
from tenter.report.handing_over.handed_file import IN_A_NAME, NAMED_AFTER
from tenter.report.on_screen.arrival_words import arrival_terms
from tenter.report.on_screen.light_words import BETWEEN_HUES, LIGHT_HUES
from tenter.report.pictures.face_colours import region_name

# Places on the face that consultants name: as they follow "your", and as they are noted of a cloth.
PLACES = (
    *("cheeks", "jaw", "jawline", "chin", "eyes", "lips", "nose", "forehead", "neck", "smile", "hair", "skin", "mouth"),
    *("beard", "left jaw", "right jaw", "left cheek", "right cheek", "brows", "temples"),
    *("under-eye area", "hair and skin together", "face", "whole face"),
)
_NOTED = (*PLACES[:-4], "cheek", "eye", "lip")


def every_term() -> Iterator[tuple[str, str, str]]:
    """Yield every word that comes as data and is known beforehand: its context, the word, and a note to translators."""
    colours = dict.fromkeys((*known_names(), *STAPLES, *METAL_NAMES))
    steps = [f"{word} {{colour}}" for word in STEP_WORDS]
    how_much = [f"{word} {{changed}}" for word in HOW_MUCH]
    where = [*WHERE_SEEN, *(f"at the {name}" for name in _NOTED), "at the {place}"]
    named = (*map(region_name, Region), *map(region_in_words, Region))
    regions = dict.fromkeys([*named, *map(point_words, FACE_POINTS)])
    asked = [figure.value for figure in standard_figures() if figure.of]
    listed: tuple[tuple[str, str, Iterable[str]], ...] = (
        ("season", "A season or sub-season of a bundled method.", _seasons()),
        ("method", "The title of a bundled method.", [method.title for method in _methods()]),
        ("phase", "The title of a phase of a bundled method.", _phases()),
        ("worn instead", "Of a hue that does not suit, as in: No orange: wear … instead.", _instead()),
        ("version of a hue", "What a version of a hue is called, as in: blue (navy).", _versions()),
        ("of colours", "As in: warm colours, warm ones. In the form that goes before colours.", LeadingTrait),
        ("colours are", "As in: your best colours are warm.", LeadingTrait),
        ("hue", "A hue family.", HueFamily),
        ("trait", "An end of an axis, as in: Leading trait: warm; too warm.", LeadingTrait),
        ("than another", "How one cloth differs from another, as in: the warmer cloth.", Relative),
        ("axis", "One of the three axes, inside a sentence.", Axis),
        ("reads as", "Where a client is on an axis.", _read_as()),
        ("odds", "How sure a verdict is, inside a sentence.", OddsWord),
        ("two readings", "How two consultants’ results compare, in a table.", Compared),
        ("how much better", "As in: navy was a little better than black.", (ONLY_A_LITTLE, *STRENGTH_WORDS.values())),
        ("said of a cloth", "A remark on a cloth, as in: navy was too dark.", map(remark_word, Flag)),
        ("seen in the face", "A sign in the face over a cloth, as in: with navy it was even.", map(remark_word, Sign)),
        ("whether to hold more", "What the bench says beside the cloths.", HoldingAdvice),
        ("why a cloth is shown", "In the round after the verdict.", ShowReason),
        ("differ in", "What two cloths differ in.", (*Mixed, *PARTED)),
        ("of cloths", "How light cloths are, as in: light cloths.", LightnessLevel),
        ("at the head of a column", "How light or how strong cloths are.", (*LightnessLevel, *Strength)),
        ("of a cloth to look for", "As in: a soft dark green.", CLOTH_TRAITS),
        ("hue of a light", "A hue that a lamp changes, as in: Looks softer: red.", (*LIGHT_HUES, BETWEEN_HUES)),
        ("asked by a standard", "What a standard asks of a viewing light.", dict.fromkeys(asked)),
        ("of a change", "Whether a change of a face can be seen.", (*EffectSize, PERHAPS)),
        ("skin", "How light a skin is, as in: light skin.", ItaClass),
        ("of a reading", "What a cloth was read with, inside a sentence.", READ_WITH),
        ("cause", "Why an answer may disagree with the others.", ContradictionCause),
        ("difference", "How one colour differs from another.", DIFFERENCES),
        ("difference", "How one colour differs from another, and by how much.", how_much),
        ("colour", "The name of a colour or a metal, as it is written inside a sentence.", colours),
        ("colour", "A colour that differs from what is usual of its name.", steps),
        ("what a colour is for", "Printed beside a colour.", (*SLOT_TITLES, YOUR_RED)),
        ("your …", "A place on the face, as it follows: your …", PLACES),
        ("piece of a wardrobe", "What a piece is, inside a list.", PieceKind),
        ("pieces of a drawer", "Why pieces came into a drawer or went out of it.", MovementReason),
        ("contrast", "The step from light to dark in a face.", ContrastLevel),
        ("question", "What a part of a sitting asks, as the client reads it.", _questions()),
        ("part of a palette", "A part of a palette, inside a sentence.", Section),
        ("region of the face", "A region of the face that was measured.", regions),
        ("seen of a cloth", "What a cloth did when it was held alone.", Suits),
        ("place in a row", "As in: second of 5.", (FIRST, *ORDINALS[1:], LATER)),
        ("seen of a colour", "What was seen of a cloth.", (*SHOWN_WORDS.values(), *TRIED_WORDS, *METAL_ANSWERS)),
        (IN_A_NAME, "What a file is, in its name; hyphens or spaces between words.", NAMED_AFTER),
        ("of a wish", "What became of what a client asked for.", (*USUAL_WISHES, *HONOURED_WORDS, A_SCARF, NONE)),
        ("seen …", "Where on the face it was seen, as in: seen at the jaw.", where),
    )
    for context, note, words in (*listed, *arrival_terms()):
        yield from ((context, str(word), note) for word in words)


def _read_as() -> list[str]:
    places = (reads_as_words(degree, end) for degree in Degree for end in LeadingTrait)
    return list(dict.fromkeys((Degree.MIDDLE, *places)))


def _methods() -> list[Method]:
    return [Method.bundled(name) for name in BUNDLED]


def _questions() -> list[str]:
    return list(dict.fromkeys(phase.question for method in _methods() for phase in method.phases))


def _seasons() -> list[str]:
    return list(dict.fromkeys(name for m in _methods() for name in (*m.seasons, *m.categories)))


def _versions() -> list[str]:
    versions = [version for method in _methods() for version in method.versions.of.values()]
    return list(dict.fromkeys(filter(None, (v.named(side) for v in versions for side in UndertoneSide))))


def _phases() -> list[str]:
    return list(dict.fromkeys(phase.title for method in _methods() for phase in method.phases))


def _instead() -> list[str]:
    versions = [version for method in _methods() for version in method.versions.of.values()]
    return list(dict.fromkeys(filter(None, (v.instead(side) for v in versions for side in UndertoneSide))))
