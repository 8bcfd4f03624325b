"""What the client's own screen shows. Before the reveal it knows no category, no odds and no cloth's group or name."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter import Sitting as LiveSitting
from tenter.consultation.reading.phases import DONE
from tenter.consultation.reading.plan import NothingToPropose
from tenter.consultation.words import terms as trade
from tenter.report.client_paper.content import handed_over
from tenter.report.client_paper.result import PaperResult, result
from tenter.report.on_screen.plain_cloths import plain_cloth_names
from tenter.report.on_screen.told_back import ToldGroup, told_back
from tenter.report.reading.wearing import PaletteLine, PaletteSection
from tenter.report.words import terms
from tenter.report.words.cautions import cautions
from tenter.report.words.swatches import Swatch, kit_swatches
from tenter.report.words.wording import sentence
from tenter.web.models import Sitting
from tenter.web.store import sheets

_TOLD_AFTERWARDS = ("over-claim", "minor", "skin")


@dataclass(frozen=True, slots=True)
class HeldSide:
    """A side that is held: its cloths' numbers, and their plain words for a client who goes by words."""

    number: str
    words: str


@dataclass(frozen=True, slots=True)
class Calm:
    """The screen while cloths are held, and after them. `asked` counts from 1, of `questions`."""

    question: str
    asked: int
    questions: int
    entries: int
    held: tuple[HeldSide, ...]
    on_the_bench: str

    @property
    def step(self) -> str:
        """Which question it is."""
        return _("Question %(asked)s of %(questions)s") % {"asked": self.asked, "questions": self.questions}

    @property
    def so_far(self) -> str:
        """How much has been looked at, or where to look."""
        if not self.entries:
            return _("Look at your face, not at the cloth: the chin and along the jaw.")
        told = ngettext("%(count)s looked at so far.", "%(count)s looked at so far.", self.entries)
        return told % {"count": self.entries}

    @property
    def steps(self) -> tuple[bool, ...]:
        """Which questions have been reached."""
        return tuple(step < self.asked for step in range(self.questions))


@dataclass(frozen=True, slots=True)
class RevealedScreen:
    """The screen after the reveal. borrowed: each colour to borrow, by what people call it."""

    groups: tuple[ToldGroup, ...]
    result: PaperResult
    borrow: PaletteSection
    borrowed: tuple[tuple[str, PaletteLine], ...]
    cautions: tuple[str, ...]
    words: bool


def goes_by_words(row: Sitting) -> bool:
    """Tell whether words stand beside every swatch for a client."""
    return bool(row.client.words_only or row.client.minor)


def calm(row: Sitting, live: LiveSitting) -> Calm:
    """Return the screen before the reveal."""
    phases = live.method.phases
    places = [phase.id for phase in phases]
    done = live.phase == DONE
    place = len(places) - 1 if done else places.index(live.phase)
    return Calm(
        question=_asked_now(row, "" if done else phases[place].question),
        asked=place + 1,
        questions=len(places),
        entries=sum(e.stands for e in live.entries),
        held=() if row.closed else _held(row.held.split(), live, goes_by_words(row)),
        on_the_bench=_("On the bench"),
    )


def _asked_now(row: Sitting, question: str) -> str:
    """Return the question of the moment; without one, what is said when all have been asked."""
    if row.closed:
        return _("The cloths are down. Thank you for sitting.")
    return terms.question(question) if question else _("Every question has been asked. Rest your eyes for a moment.")


def _held(chosen: Sequence[str], live: LiveSitting, in_words: bool) -> tuple[HeldSide, ...]:
    """Return the sides of the analyst's choice, or the plan's pair; a plus joins cloths that are worn together."""
    try:
        sides = [side.split("+") for side in chosen or live.propose()]
    except NothingToPropose:
        return ()
    swatches = kit_swatches(live.kit) if in_words else {}
    return tuple(HeldSide(" + ".join(side), _worn(swatches, side) if in_words else "") for side in sides)


def _worn(swatches: Mapping[str, Swatch], side: Sequence[str]) -> str:
    return str(trade.cloths_worn_together([swatches[cloth].words for cloth in side]))


def revealed_screen(row: Sitting, live: LiveSitting) -> RevealedScreen:
    """Return the screen after the reveal; raises `PhaseMissing` where entries were undone since."""
    sheet = sheets.screen_of(row).handed
    swatches: dict[str, Swatch] = kit_swatches(live.kit)
    names, borrow = plain_cloth_names(live.kit), sheet.wearing.section("borrow")
    return RevealedScreen(
        groups=told_back(live, live.verdict(), swatches),
        result=_result(row, live),
        borrow=borrow,
        borrowed=tuple((sentence(names[line.swatch.id][0]), line) for line in borrow.lines),
        cautions=tuple(c.text for c in cautions(row.client.minor) if c.key in _TOLD_AFTERWARDS),
        words=goes_by_words(row),
    )


def _result(row: Sitting, live: LiveSitting) -> PaperResult:
    """Return what it came to, as the client's paper says it."""
    verdict = handed_over(live)
    judged = live.named if verdict.category != live.verdict().category else None
    return result(live.method, verdict, judged, row.client.minor)
