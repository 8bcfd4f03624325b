"""How a client arrives: whether the face can be judged now, what is done about it, and how long the skin settles.

Every rule here is common practice, no source. A finding is a word out of a closed list: nothing about health is asked
for or kept, and every reason speaks of the cloth and the light.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from tenter.errors import UnknownName
from tenter.language import _

SETTLES = timedelta(minutes=12)  # after cold or heat outside the colour of the skin returns in 10 to 20 minutes


class Fitness(StrEnum):
    """What to do about what was found."""

    GO = "go"
    ADAPT = "adapt"
    POSTPONE = "postpone"


@dataclass(frozen=True, slots=True)
class ArrivalFinding:
    """One thing that may be found, in words, with what to do and why."""

    word: str
    label: str
    fitness: Fitness
    reason: str


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that is looked at, and what may be found; the first finding is the usual one."""

    word: str
    title: str
    findings: tuple[ArrivalFinding, ...]

    def finding(self, word: str) -> ArrivalFinding:
        """Return a finding by its word; raises `UnknownName` for a word that is none of this check's."""
        for finding in self.findings:
            if finding.word == word:
                return finding
        raise UnknownName(_("finding at the arrival"), word, [f.word for f in self.findings])


CHECKS = (
    Check(
        "make-up",
        "Make-up",
        (
            ArrivalFinding("none", "None", Fitness.GO, "You see the bare face."),
            ArrivalFinding(
                "worn",
                "Worn",
                Fitness.ADAPT,
                "Make-up reacts to the cloth in its own way. Ask whether a wipe is welcome, take the make-up off, "
                "and start the timer again.",
            ),
            ArrivalFinding(
                "stays",
                "Some stays: a stain, a tint, permanent",
                Fitness.ADAPT,
                "Leave that region out and read the cloth at the jaw, the cheek and the white of the eye.",
            ),
        ),
    ),
    Check(
        "lenses",
        "Contact lenses",
        (
            ArrivalFinding("none", "None, or clear ones", Fitness.GO, "The eye is seen as it is."),
            ArrivalFinding("tinted-out", "Tinted, taken out", Fitness.GO, "The eye is seen as it is."),
            ArrivalFinding(
                "tinted-in",
                "Tinted, kept in",
                Fitness.ADAPT,
                "A tinted lens hides what the cloth does to the eye: leave the eyes out.",
            ),
        ),
    ),
    Check(
        "tan",
        "Tan",
        (
            ArrivalFinding("none", "None, or long past", Fitness.GO, "You see the lasting colour."),
            ArrivalFinding(
                "fading",
                "From the sun, fading",
                Fitness.ADAPT,
                "A tan covers the lasting colour: the reading is provisional until it has gone.",
            ),
            ArrivalFinding(
                "fresh",
                "From the sun, fresh",
                Fitness.POSTPONE,
                "A fresh tan changes what is seen. In two to four weeks the same cloths show more.",
            ),
            ArrivalFinding(
                "self-tan",
                "Self-tan",
                Fitness.POSTPONE,
                "Self-tan has a colour of its own. Ten days after the last use the cloths show more.",
            ),
        ),
    ),
    Check(
        "glasses",
        "Glasses",
        (
            ArrivalFinding("none", "None, or off", Fitness.GO, "Only the cloth reflects colour."),
            ArrivalFinding(
                "on",
                "On",
                Fitness.ADAPT,
                "A frame reflects its own colour, and some lenses darken in this light. Take glasses off while "
                "cloths are held. Frames are tried after the verdict.",
            ),
        ),
    ),
    Check(
        "flush",
        "Flush",
        (
            ArrivalFinding("settled", "Settled", Fitness.GO, "What changes now is changed by the cloth."),
            ArrivalFinding(
                "warm",
                "Still flushed, from the way here or from excitement",
                Fitness.ADAPT,
                "Colour that comes and goes hides what the cloth does. Wait a little longer, and hold the first "
                "pair again.",
            ),
            ArrivalFinding(
                "comes-and-goes",
                "Comes and goes",
                Fitness.ADAPT,
                "Judge while it is calm, at the jaw rather than the cheek, and note it on the entries made meanwhile.",
            ),
        ),
    ),
    Check(
        "nails",
        "Nails",
        (
            ArrivalFinding("plain", "Bare or neutral", Fitness.GO, "Nothing near the cloth has a colour of its own."),
            ArrivalFinding(
                "coloured",
                "Coloured",
                Fitness.ADAPT,
                "A strong colour near the cloth draws the eye. Put the hands under the cape.",
            ),
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class FaceCheck:
    """What was found, check by check in the order of `CHECKS`, and what follows for the sitting as a whole."""

    found: tuple[tuple[Check, ArrivalFinding], ...]

    @property
    def fitness(self) -> Fitness:
        """The gravest of what the findings ask for."""
        order = list(Fitness)
        return max((finding.fitness for _check, finding in self.found), key=order.index, default=Fitness.GO)

    @property
    def to_do(self) -> tuple[tuple[Check, ArrivalFinding], ...]:
        """The findings that ask for something."""
        return tuple((check, finding) for check, finding in self.found if finding.fitness is not Fitness.GO)


def check_of(word: str) -> Check:
    """Return a check by its word; raises `UnknownName` for any other."""
    for known in CHECKS:
        if known.word == word:
            return known
    raise UnknownName(_("check of the face"), word, [c.word for c in CHECKS])


def face_check(found: Mapping[str, str]) -> FaceCheck:
    """Return what was found from words, as they are kept; raises `UnknownName` for a word of no list."""
    pairs = [(check_of(word), check_of(word).finding(finding)) for word, finding in found.items()]
    order = list(CHECKS)
    return FaceCheck(tuple(sorted(pairs, key=lambda pair: order.index(pair[0]))))


def settles_at(since: datetime, wait: timedelta = SETTLES) -> datetime:
    """Return when the skin has settled, in the time zone of `since`; usually after `SETTLES`."""
    return since + wait
