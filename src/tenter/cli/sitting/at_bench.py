"""A sitting at the terminal: cloths are proposed, one key answers, every entry is on the disk before the next."""

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tenter.cli.shared.inputs import say
from tenter.cli.shared.keys import read_key, read_line
from tenter.errors import TenterError

if TYPE_CHECKING:
    from tenter import Sitting
    from tenter.consultation.record.judgements import Judgement
    from tenter.consultation.sitting.journal import Journal

_HELP = """
  a s d   left better: a little, clearly, strongly      j k l   right better: a little, clearly, strongly
  n       nothing seen                                  g w     both good, both wrong
  t       flags for the next answer (D061:too-warm)     i       signs for the next answer (D061:blotchy)
  h       half-face view, then the answer               f       put a fan in order
  o       a pair of your own choice                     c       one cloth on its own
  p       note a liking (never evidence)                m       a cloth is missing
  u       undo                                          x       void an entry, with a reason
  v       verdict so far                                e       show round, after the verdict (never evidence)
  r       name the result yourself                      q       stop; everything is saved
"""
_STRENGTHS = {
    "a": ("left", 1),
    "s": ("left", 2),
    "d": ("left", 3),
    "j": ("right", 1),
    "k": ("right", 2),
    "l": ("right", 3),
}
_EQUAL = {"n": "nothing-seen", "g": "both-good", "w": "both-wrong"}


@dataclass
class AtBench:
    """The state of the conversation: what is held now, and what has been said for the next answer.

    started: in seconds of a clock that only goes on.
    """

    sitting: "Sitting"
    journal: "Journal"
    client: str
    started: float
    cloths: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()
    signs: tuple[str, ...] = ()
    view: str = "alternate"

    def run(self) -> None:
        """Go on until the analyst stops, by q or Ctrl-C, or standard input ends; what was entered is on the disk."""
        say(_HELP)
        try:
            self._next()
            while (key := read_key()) not in ("q", ""):
                try:
                    self._obey(key)
                except (TenterError, ValueError) as error:
                    say(f"  {error}")
        finally:
            say(f"Saved: {self.journal.path}" if self.journal.path.exists() else "Nothing was entered.")

    def _obey(self, key: str) -> None:
        if key in _STRENGTHS or key in _EQUAL:
            self._answer_pair(key)
        elif key in self._commands:
            self._commands[key]()
        else:
            say(_HELP)

    @property
    def _commands(self) -> dict[str, Callable[[], None]]:
        return {
            "t": self._take_flags,
            "i": self._take_signs,
            "h": self._half_face,
            "f": self._fan,
            "o": self._own_pair,
            "c": self._single,
            "p": self._preference,
            "m": self._missing,
            "u": self._undo,
            "x": self._void,
            "v": self._verdict,
            "e": self._show_round,
            "r": self._name_result,
        }

    # -- entries ---------------------------------------------------------------------------------------------------

    def _answer_pair(self, key: str) -> None:
        from tenter import Answer, PairJudgement

        if len(self.cloths) != 2:
            say("  no pair is held; o chooses one")
            return
        answer, strength = _STRENGTHS.get(key, (_EQUAL.get(key, ""), 1))
        left, right = self.cloths
        self._keep(PairJudgement(left, right, Answer(answer), strength))

    def _fan(self) -> None:
        from tenter import FanJudgement
        from tenter.consultation.record.ledger import parse_ranking

        fan = self.sitting.propose_fan()
        if fan:
            say(f"  fan: {self._named(fan)}")
        order = read_line("  best first, = for a tie, + for a group (D074 > D073 = D075): ")
        if order:
            self._keep(FanJudgement(parse_ranking(order)))

    def _single(self) -> None:
        from tenter import DrapeJudgement, Suits

        words = read_line("  cloth and works, tolerable or fails: ").split()
        if len(words) != 2:
            say("  a cloth and one of the words are needed, as in: D092 fails")
            return
        self._keep(DrapeJudgement(words[0], Suits(words[1])))

    def _preference(self) -> None:
        from tenter import Preference

        liked = read_line("  the cloth that is liked: ")
        if liked:
            self._keep(Preference(liked))

    def _name_result(self) -> None:
        from tenter import ConsultantVerdict

        category = read_line(f"  the result ({', '.join(self.sitting.method.categories)}): ")
        if not category:
            return
        self.sitting.method.region(category)
        self._write(ConsultantVerdict(category, note=read_line("  your reason: ")))

    def _keep(self, judgement: "Judgement") -> None:
        from tenter import View
        from tenter.consultation.words.flags import parse_flag, parse_sign

        flags, signs = tuple(map(parse_flag, self.flags)), tuple(map(parse_sign, self.signs))
        minute = round((time.monotonic() - self.started) / 60, 2)
        said = replace(judgement, flags=flags, signs=signs, view=View(self.view), minute=minute)
        self._write(said)
        self.flags, self.signs, self.view = (), (), "alternate"
        self._next()

    def _write(self, judgement: "Judgement") -> None:
        number = self.sitting.record(judgement)
        self.journal.append(self.sitting.events[-1])
        say(f"  entry {number} kept")

    # -- everything else -------------------------------------------------------------------------------------------

    def _take_flags(self) -> None:
        self.flags = tuple(read_line("  flags: ").split())

    def _take_signs(self) -> None:
        self.signs = tuple(read_line("  signs: ").split())

    def _half_face(self) -> None:
        self.view = "split"
        say("  half-face view: counts half until the sides are exchanged")

    def _own_pair(self) -> None:
        words = read_line("  two cloths, left and right: ").split()
        if len(words) != 2:
            say("  two cloths are needed, as in: D063 D064")
            return
        for word in words:
            self.sitting.kit.row(word)
        self._hold(tuple(words))

    def _missing(self) -> None:
        cloth = read_line("  the cloth that is missing: ")
        if cloth:
            self.sitting.set_aside(cloth)
            self.journal.append(self.sitting.events[-1])
            self._next()

    def _undo(self) -> None:
        self._take_back()
        self._next()

    def _take_back(self) -> None:
        self.sitting.undo()
        self.journal.append(self.sitting.events[-1])
        say("  taken back; it stays in the record")

    def _void(self) -> None:
        number, _, reason = read_line("  entry and reason: ").partition(" ")
        if not number.isdigit():
            say("  an entry's number and a reason are needed")
            return
        self.sitting.void(int(number), reason)
        self.journal.append(self.sitting.events[-1])
        self._next()

    def _verdict(self) -> None:
        from tenter.cli.sitting.verdict import print_verdict

        print_verdict(self.client, self.sitting, self.sitting.verdict())

    def _show_round(self) -> None:
        from tenter.cli.sitting.show_round import ShowRound

        ShowRound(self.sitting, self._write, self._take_back).run()
        self._next()

    def _next(self) -> None:
        from tenter.consultation.sitting.outlook import outlook, whether_to_go_on

        coming = outlook(self.sitting)
        advice = whether_to_go_on(self.sitting, coming)
        if not coming.cloths:
            self.cloths = ()
            say(f"  {advice}")
            return
        say(f"\n{self._phase_title()} · {len(self.sitting.evidence)} kept · {advice}")
        for left, right in self.sitting.exchanges_owed:
            say(f"  a half-face view waits for its sides to be exchanged: {left} left, {right} right")
        if coming.is_fan:
            say(f"  worth a fan: f puts {self._named(coming.cloths)} in order; or a pair:")
            self._hold(self.sitting.propose())
        else:
            self._hold(coming.cloths)

    def _hold(self, cloths: tuple[str, ...]) -> None:
        self.cloths = cloths
        from tenter.consultation.laid_out.pair_quality import mixed_words

        say(f"  left {self._named(cloths[:1])}     right {self._named(cloths[1:])}")
        if note := mixed_words(self.sitting.bench, cloths):
            say(f"  {note}")

    def _phase_title(self) -> str:
        found = [p.title for p in self.sitting.method.phases if p.id == self.sitting.phase]
        return found[0] if found else "Done"

    def _named(self, cloths: tuple[str, ...]) -> str:
        kit = self.sitting.kit
        return ", ".join(f"{c} {kit[c].name}{f' ({kit[c].place})' if kit[c].place else ''}" for c in cloths)


def sit_at_bench(sitting: "Sitting", path: Path, client: str) -> None:
    """Go on with the sitting whose journal is at a path, or begin one."""
    from tenter.consultation.sitting.journal import Journal

    journal = Journal(path)
    if found := journal.replay(sitting):
        say(f"Going on: {found} events of {client} read from {path}")
    AtBench(sitting, journal, client, time.monotonic()).run()
