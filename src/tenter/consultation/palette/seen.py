"""What the counted answers showed of each cloth: in words, and as findings that move a cloth on the palette.

Counted are the consultant's own entries that stand and weigh anything: not a client's, not a void one, not half-face
views that followed the side of the face. An answer is direct where the cloth was held by itself; what two cloths worn
together did is said of neither. Of two showings of one pair the later one holds. Common practice, no source.

What was shown after the verdict counts here too, though it is no evidence about the season: it was seen on the client.
It is the last word on its cloth until a direct answer comes after it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.reading.evidence import differing_cloths
from tenter.consultation.reading.weighing import entry_weights
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import DrapeJudgement, FanJudgement, Judgement, PairJudgement
from tenter.consultation.record.no_evidence import Showing
from tenter.consultation.words import terms
from tenter.consultation.words.answers import Answer, Source, Suits, Worth
from tenter.consultation.words.flags import Flag, Sign
from tenter.language import N_, Sentence, gettext_lazy, pgettext_lazy

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


@dataclass(frozen=True, slots=True)
class ClothFindings:
    """What the counted answers showed of one cloth.

    told: every answer, in the order it came. failed: on its own, or wrong beside another, and no better since.
    too: the flags of its last direct answer that miss the client. ever_off: it failed or was too anything at any time.
    won_over, lost_to, level_with: cloths against which it was held, by the last showing of each pair. blends: whether
    it was last seen to blend with the skin or to stand apart, as metals do; None where neither was said.
    shown: the answer of the show round; None where there was none, or a direct answer came after it.
    """

    told: tuple[Sentence, ...] = ()
    failed: bool = False
    too: tuple[Flag, ...] = ()
    ever_off: bool = False
    won_over: tuple[str, ...] = ()
    lost_to: tuple[str, ...] = ()
    level_with: tuple[str, ...] = ()
    blends: bool | None = None
    shown: Worth | None = None

    @property
    def words(self) -> tuple[str, ...]:
        """Every answer in the language that is written, in the order it came."""
        return tuple(map(str, self.told))

    @property
    def worked_alone(self) -> bool:
        """Whether it worked on its own at any time."""
        return ALONE[Suits.WORKS] in self.told

    @property
    def off(self) -> bool:
        """Whether the last that was seen of it speaks against it."""
        return self.failed or bool(self.too)


SHOWN_WORDS = {
    Worth.BEST: "among your best when shown",
    Worth.YES: "good when shown",
    Worth.AWAY: "better away from your face when shown",
    Worth.NO: "did not suit when shown",
}
ALONE = {suits: pgettext_lazy("seen of a cloth", suits.value) for suits in Suits}
BETTER, WORSE = N_("better than {other}"), N_("not as good as {other}")
_EQUAL = {
    Answer.NOTHING_SEEN: N_("no difference from {other}"),
    Answer.BOTH_GOOD: N_("good, like {other}"),
    Answer.BOTH_WRONG: N_("wrong, like {other}"),
}
FIRST, LATER = "best", "{number}th"  # places among the steps of a fan, beside the ordinals
NOTHING_SEEN_OF_IT = ClothFindings()


@dataclass(slots=True)
class _Noted:
    """What was seen of a cloth so far. `beside` tells by cloth: 1 better, −1 worse, 0 level, None no difference."""

    told: list[Sentence] = field(default_factory=list)
    failed: bool = False
    too: tuple[Flag, ...] = ()
    ever_off: bool = False
    beside: dict[str, int | None] = field(default_factory=dict)
    blends: bool | None = None
    shown: Worth | None = None

    def found(self) -> ClothFindings:
        won, lost, level = (tuple(c for c, told in self.beside.items() if told == sign) for sign in (1, -1, 0))
        told = tuple(dict.fromkeys(self.told))
        return ClothFindings(told, self.failed, self.too, self.ever_off, won, lost, level, self.blends, self.shown)


def counted_entries(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Return the entries that speak about the face and weigh anything, in order."""
    standing = [e for e in entries if e.is_evidence]
    weights = entry_weights(standing)
    return tuple(e for e in standing if weights[e.number] > 0)


def seen_on_client(entries: Iterable[Entry], kit: Kit, flags: frozenset[Flag]) -> Mapping[str, ClothFindings]:
    """Return the findings of every cloth that was held, by id.

    Parameters
    ----------
    entries
        Of one sitting, void and undone ones included.
    kit
        For the cloths' names.
    flags
        The flags that count under the method.
    """
    noted: dict[str, _Noted] = {}
    for judgement in _speaking(entries):
        for cloth in judgement.cloths:
            noted.setdefault(cloth, _Noted())
        if isinstance(judgement, Showing):
            _note_shown(judgement, noted)
            continue
        for cloth, told in _told(kit, judgement):
            noted[cloth].told.append(told)
        for better, worse, step in _compared(judgement):
            noted[better].beside[worse] = step
            noted[worse].beside[better] = None if step is None else -step
        _note_alone(judgement, noted)
        _note_flags(judgement, flags, noted)
        for sign in judgement.signs:
            if sign.sign in (Sign.BLENDS, Sign.STANDS_APART):
                noted[sign.drape].blends = sign.sign is Sign.BLENDS
    return {cloth: n.found() for cloth, n in noted.items()}


def _speaking(entries: Iterable[Entry]) -> list[Judgement]:
    """Return what is to be read, in order: the counted answers, and what the consultant showed after the verdict."""
    every = list(entries)
    numbers = {e.number for e in counted_entries(every)}
    return [e.judgement for e in every if e.number in numbers or (e.stands and _was_shown(e.judgement))]


def _was_shown(judgement: Judgement) -> bool:
    return isinstance(judgement, Showing) and judgement.source is Source.ANALYST


def _note_shown(judgement: Showing, noted: Mapping[str, _Noted]) -> None:
    for cloth in judgement.cloths:
        at = noted[cloth]
        at.told.append(shown_words(judgement.worth))
        at.shown, at.failed, at.too = judgement.worth, judgement.worth is Worth.NO, ()
        at.ever_off |= at.failed


def _alone(judgement: Judgement) -> tuple[str, ...]:
    """Return the cloths that were held by themselves."""
    if isinstance(judgement, PairJudgement):
        return tuple(side[0] for side in judgement.sides if len(side) == 1)
    if isinstance(judgement, FanJudgement):
        return tuple(step[0] for step in judgement.steps if len(step) == 1)
    return judgement.cloths if len(judgement.cloths) == 1 and isinstance(judgement, DrapeJudgement) else ()


def _compared(judgement: Judgement) -> Iterator[tuple[str, str, int | None]]:
    """Yield cloths held by themselves against each other: the better one first with 1, or both with 0 or None."""
    alone = _alone(judgement)
    if isinstance(judgement, PairJudgement) and len(alone) == 2:
        left, right = alone
        if judgement.answer is Answer.RIGHT:
            left, right = right, left
        level = 0 if judgement.answer is Answer.BOTH_GOOD else None
        yield left, right, level if judgement.answer.is_equal else 1
    elif isinstance(judgement, FanJudgement):
        place = {step[0]: at for at, rank in enumerate(judgement.ranks) for step in rank if len(step) == 1}
        for one, other in combinations(alone, 2):
            level = 0 if place[one] == 0 else None  # lower down, level cloths were passed over alike
            yield one, other, 1 if place[one] < place[other] else level


def _note_alone(judgement: Judgement, noted: Mapping[str, _Noted]) -> None:
    """Note that cloths failed or did well by themselves; a mere win or loss says neither."""
    failed = None
    if isinstance(judgement, DrapeJudgement):
        failed = judgement.suits is Suits.FAILS
    elif isinstance(judgement, PairJudgement) and judgement.answer in (Answer.BOTH_GOOD, Answer.BOTH_WRONG):
        failed = judgement.answer is Answer.BOTH_WRONG
    if failed is None:
        return
    for cloth in _alone(judgement):
        noted[cloth].failed = failed
        noted[cloth].ever_off |= failed


def _note_flags(judgement: Judgement, flags: frozenset[Flag], noted: Mapping[str, _Noted]) -> None:
    """Note the flags of a direct answer, which take the place of those of an earlier one. A flag is always direct."""
    said: dict[str, tuple[Flag, ...]] = dict.fromkeys(_alone(judgement), ())
    for flagged in judgement.flags:
        told = said.setdefault(flagged.drape, ())
        if flagged.flag in flags and flagged.flag.direction:
            said[flagged.drape] = (*told, flagged.flag)
    for cloth, too in said.items():
        noted[cloth].too, noted[cloth].shown = too, None
        noted[cloth].ever_off |= bool(too)


# -- in words ----------------------------------------------------------------------------------------------------------


def shown_words(worth: Worth) -> Sentence:
    """Return what the show round showed of a cloth."""
    return pgettext_lazy("seen of a colour", SHOWN_WORDS[worth])


def _told(kit: Kit, judgement: Judgement) -> list[tuple[str, Sentence]]:
    flags = [(f.drape, terms.flag(f.flag)) for f in judgement.flags]
    if isinstance(judgement, PairJudgement):
        return _of_pair(kit, judgement) + flags
    if isinstance(judgement, FanJudgement):
        return _of_fan(judgement) + flags
    if isinstance(judgement, DrapeJudgement):
        return [(c, ALONE[judgement.suits]) for c in judgement.cloths] + flags
    return flags


def _of_fan(judgement: FanJudgement) -> list[tuple[str, Sentence]]:
    """Return the place of each step: behind two that are level for the first comes the third."""
    told, before, steps = [], 0, len(judgement.steps)
    for rank in judgement.ranks:
        found = _place(before, len(rank) - 1, steps)
        told += [(cloth, found) for step in rank for cloth in step]
        before += len(rank)
    return told


def _place(before: int, others: int, steps: int) -> Sentence:
    """Return a place in a fan: behind how many steps, level with how many others, of how many."""
    if before == 0:
        place = pgettext_lazy("place in a row", FIRST)
    elif before < len(ORDINALS):
        place = pgettext_lazy("place in a row", ORDINALS[before])
    else:
        place = pgettext_lazy("place in a row", LATER, number=before + 1)
    if others == 0:
        return gettext_lazy("{place} of {steps}", place=place, steps=steps)
    if others == 1:
        return gettext_lazy("{place} with another of {steps}", place=place, steps=steps)
    return gettext_lazy("{place} with {others} others of {steps}", place=place, others=others, steps=steps)


def _of_pair(kit: Kit, judgement: PairJudgement) -> list[tuple[str, Sentence]]:
    left, right = judgement.sides
    differ = dict(zip((left, right), differing_cloths(judgement), strict=True))
    said = {
        side: _EQUAL[judgement.answer] if judgement.answer.is_equal else BETTER if side == judgement.winner else WORSE
        for side in (left, right)
    }
    return [
        (cloth, gettext_lazy(said[side], other=terms.cloths_worn_together([kit[c].name for c in other])))
        for side, other in ((left, right), (right, left))
        for cloth in differ[side]
    ]
