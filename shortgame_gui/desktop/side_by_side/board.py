"""What is set on the page, and the shots for it: shared by the page's views and, on a copy, by presenting.

Nothing here touches the document. What is set may change at any time; the shots follow from a thread, the
newest question first, and stay as they were until then.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, Signal

from shortgame_gui.advice.compare import Compared, Comparison, Held, NotDone, Pick
from shortgame_gui.advice.difference import Difference, difference
from shortgame_gui.advice.rules import KINDS, candidates, refusal
from shortgame_gui.desktop import jobs
from shortgame_gui.desktop.edits import edited
from shortgame_gui.desktop.jobs import LEAST, Job, Run, run_here
from shortgame_gui.desktop.worker import Runner
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.club import Bag
from shortgame_gui.model.leaves import get
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.compare import Reader
from shortgame_gui.words.language import _

Key = tuple[str, str]
"""Club name and technique."""
WHAT_IF = ("green.speed", "green.firmness", "green.slope_along", "lie.ground", "lie.sits")
"""Leaves of the situation that the page may change for itself, in the order of their editors."""

MOST_WAYS = 3
"""Ways of playing one club that the page opens with where no two clubs can be compared."""


@dataclass(frozen=True)
class Setting:
    """Everything that the shots depend on."""

    situation: Situation
    bag: Bag
    picks: tuple[Key, ...] | None = None
    """Which shots; None for some that show something here."""
    held: Held = "landing"
    value: float | None = None
    """What is held, in m or m/s; None for what is usual in the situation as it is in the document."""
    changes: dict[str, Any] = field(default_factory=dict)
    """What if: leaf path -> value."""

    @property
    def changed(self) -> Situation:
        """The situation with what the page changes; what cannot stand there is left as it is."""
        situation = self.situation
        for path in WHAT_IF:
            if path in self.changes:
                try:
                    situation = edited(situation, path, self.changes[path])
                except FieldError:
                    continue
        return situation

    def found(self) -> list[Pick]:
        """The picks whose club is in the bag and is played so."""
        clubs = {club.name: club for club in self.bag.clubs}
        return [(clubs[c], t) for c, t in self.picks or () if c in clubs and clubs[c].kind in KINDS[t]]


Question = Callable[[Setting, Comparison | None], Job]


def ask_engine(setting: Setting, before: Comparison | None) -> Job:
    """The job that plays the shots of ``setting``; ``before`` may save it time."""
    changed = setting.changed
    free = setting.picks is None
    tries = usual_picks(changed, setting.bag) if free else [setting.found()]
    # Under a branch, say, the usual landing spot may be out of reach, where the hole is not.
    instead: tuple[Held, ...] = ("finish",) if free and setting.held == "landing" else ()
    held = (setting.held, *instead) if setting.value is None else (setting.held,)
    return partial(jobs.comparison, setting.situation, changed, tries, held, setting.value, before)


def usual_picks(situation: Situation, bag: Bag) -> list[list[Pick]]:
    """For each way of playing that two clubs allow here, the plain ones first: three lofts far apart.

    Where there is none, some ways of playing each club.
    """
    offered, _ = candidates(situation, bag)
    ways: dict[str, list[Pick]] = {}
    for candidate in offered:
        ways.setdefault(candidate.technique, []).append((candidate.club, candidate.technique))
    made = []
    for picks in ways.values():  # each from the highest loft down
        count = len(picks)
        places = sorted({0 if count < 3 else 1, min(count // 3 + 1, count - 1), 2 * count // 3})
        if count >= LEAST:
            made.append([picks[k] for k in places])
    if made:
        return made
    # One wedge, say: the same club played in several ways.
    clubs: dict[str, list[Pick]] = {}
    for candidate in offered:
        clubs.setdefault(candidate.club.name, []).append((candidate.club, candidate.technique))
    return [
        picks[k : k + MOST_WAYS]
        for picks in clubs.values()
        for k in range(max(len(picks) - MOST_WAYS, 0) + 1)
        if len(picks) >= LEAST
    ]


class Board(QObject):
    """The settings of one page and their shots."""

    set_changed = Signal()
    """Something on the page was set; the shots are still those before."""
    shots_changed = Signal()
    """There are other shots, or others are marked or told otherwise."""
    failed = Signal(str)

    def __init__(
        self,
        setting: Setting,
        question: Question = ask_engine,
        parent: QObject | None = None,
        run: Run = run_here,
    ) -> None:
        super().__init__(parent)
        self._setting, self._question, self._run = setting, question, run
        self.comparison: Comparison | None = None
        self._marked: tuple[Key, ...] = ()
        self._reader: Reader | None = None
        self._runner: Runner | None = None
        self._answered: Setting | None = None
        self._asked: Setting | None = None
        self._chosen_here = setting.picks is None
        """Whether nobody ticked the shots, so that others may stand in where these show nothing."""
        self._usual: tuple[Key, ...] | None = None
        """The shots that the page chose by itself last."""
        self._held_here = False
        """Whether nobody chose what is held equal, and it is not the landing spot."""

    @property
    def picks(self) -> tuple[Key, ...]:
        """The shots that are ticked."""
        return self._setting.picks or ()

    @property
    def setting(self) -> Setting:
        return self._setting

    # --- what is set -----------------------------------------------------------------------------

    def set(self, **changes: Any) -> None:
        """Change fields of the setting; the shots follow when the board is awake."""
        new = replace(self._setting, **changes)
        if new == self._setting:
            return
        self._setting = new
        self.set_changed.emit()
        self.ask()

    def take(self, situation: Situation, bag: Bag) -> None:
        """Another document; where the bag holds none of the picks any more, usual ones stand in."""
        other: dict[str, Any] = {}
        if self.picks and not replace(self._setting, bag=bag).found():
            other["picks"] = None
        if self._held_here and situation != self._setting.situation:
            other |= {"held": "landing", "picks": None if self._chosen_here else self._setting.picks}
            self._held_here = False
        self.set(situation=situation, bag=bag, **other)

    def turn(self, situation: Situation, picks: tuple[Key, ...]) -> None:
        """Another situation with the same shots, or with others where these show nothing."""
        self._chosen_here = True
        held = {"held": "landing"} if self._held_here else {}
        self._held_here = False
        self.set(situation=situation, picks=picks or None, value=None, changes={}, **held)

    def pick(self, key: Key, on: bool) -> None:
        """Show one shot, or take it away; shots stand in the order of loft."""
        self._show([p for p in self.picks if p != key] + ([key] if on else []))

    def show(self, keys: Sequence[Key]) -> None:
        """Show these shots; with a putt among them, which lands nowhere, the finish is held."""
        lands = self._setting.held != "landing" or all(technique != "putt" for _club, technique in keys)
        self._show(keys, **({} if lands else {"held": "finish", "value": None}))

    def _show(self, keys: Sequence[Key], **others: Any) -> None:
        """Show shots that somebody chose, in the order of loft."""
        self._chosen_here, self._usual = False, None
        loft = {club.name: club.loft for club in self._setting.bag.clubs}
        self.set(picks=tuple(sorted(keys, key=lambda key: -loft.get(key[0], 0.0))), **others)

    def hold(self, held: Held) -> None:
        """Hold another thing equal, at its usual value."""
        self._held_here = False
        if held != self._setting.held:
            self.set(held=held, value=None)

    def what_if(self, path: str, value: Any) -> None:
        """Change one leaf of the situation on this page; the document's own value takes the change away."""
        changes = {k: v for k, v in self._setting.changes.items() if k != path}
        before = get(self._setting.situation, path)
        self.set(changes=changes if value == before else changes | {path: value})

    def reset(self) -> None:
        """The situation as it is in the document."""
        self.set(changes={})

    # --- the shots -------------------------------------------------------------------------------

    @property
    def current(self) -> bool:
        """Whether the shots are those of what is set now."""
        return self._answered == self._setting

    @property
    def past(self) -> bool:
        """Whether the shots are those of an earlier situation."""
        return self._answered is not None and self._answered.changed != self._setting.changed

    @property
    def shots(self) -> tuple[Compared, ...]:
        """The shots of the last answer that are still wanted."""
        if self.comparison is None:
            return ()
        return tuple(shot for shot in self.comparison.shots if shot.key in self.picks)

    def place(self, shot: Compared | NotDone) -> int:
        """Number of ``shot`` among all that are picked, from 0: it keeps its colour when others come late."""
        return self.picks.index(shot.key) if shot.key in self.picks else 0

    def refusal(self, key: Key) -> str | None:
        """Reason code why the rules would not offer a shot here, or None."""
        club = next(c for c in self._setting.bag.clubs if c.name == key[0])
        return refusal(self._setting.changed, club, key[1])

    def ask(self) -> None:
        """Play the shots anew, if the board is awake and they are not current."""
        if self._runner is None or self.current or self._asked == self._setting:
            return
        self._asked = self._setting
        self._runner.ask(self._question(self._setting, self.comparison))

    def wake(self) -> None:
        """Follow what is set from now on."""
        if self._runner is None:
            self._runner = Runner("side by side", self, self._run)
            self._runner.finished.connect(self._on_answer)
            self._runner.failed.connect(self._on_error)
        self.ask()

    def sleep(self) -> None:
        """Stop, and end the thread; `wake` begins anew."""
        if self._runner is not None:
            self._runner.close()
            self._runner.deleteLater()
            self._runner = None
            self._asked = None

    def wait(self, milliseconds: int = 20_000) -> bool:
        """Handle events until the shots are current; False when the time ran out first."""
        return self._runner is None or self._runner.wait_until_idle(milliseconds)

    def _on_answer(self, _request: int, found: Comparison) -> None:
        asked = self._asked
        assert asked is not None
        if asked.picks is None:
            keys = [shot.key for shot in found.shots] + [shot.key for shot in found.not_done]
            loft = {club.name: club.loft for club in asked.bag.clubs}
            self._held_here = self._held_here or found.held != asked.held
            picks = tuple(sorted(keys, key=lambda key: -loft[key[0]]))
            asked = replace(asked, picks=picks, held=found.held)
            self._usual = picks
            self._setting = asked  # nothing else was set since, or the answer would have been dropped
        elif self._gives_way(asked, found):
            self.set(picks=None)
            return
        self.comparison, self._answered, self._asked = found, asked, asked
        self.set_changed.emit()
        self.shots_changed.emit()

    def _gives_way(self, asked: Setting, found: Comparison) -> bool:
        """Whether other shots should stand in for those of ``asked``, which nobody ticked."""
        if self._chosen_here and sum(not shot.refused for shot in found.shots) < LEAST:
            return True
        touched = bool(asked.changes) or asked.value is not None  # then nothing goes from under the hand
        return asked.picks == self._usual and bool(found.not_done) and not touched

    def _on_error(self, _request: int, error: BaseException) -> None:
        self.failed.emit(
            _("The shots could not be worked out ({error}).").format(error=f"{type(error).__name__}: {error}")
        )

    # --- the two that are explained --------------------------------------------------------------

    @property
    def marked(self) -> tuple[Compared, Compared] | None:
        """The two shots that are explained: those marked, else the highest and the lowest of loft."""
        shots = self.shots
        if len(shots) < 2:
            return None
        chosen = [shot for shot in shots if shot.key in self._marked]
        rest = [shot for shot in (shots[0], shots[-1], *shots[1:-1]) if shot not in chosen]
        one, other = (chosen + rest)[:2]
        return (one, other) if self.place(one) < self.place(other) else (other, one)

    def mark(self, key: Key) -> None:
        """Explain this shot beside the one marked last."""
        if not self._marked or self._marked[-1] != key:
            now = [shot.key for shot in self.marked or ()]
            kept = self._marked[-1:] or tuple(k for k in now[-1:] if k != key)
            self._marked = (*(k for k in kept if k != key), key)
            self.shots_changed.emit()

    @property
    def difference(self) -> Difference | None:
        """Why one of the two runs more."""
        pair, found = self.marked, self.comparison
        return difference(*pair, found.held, found.value) if pair and found else None

    @property
    def reader(self) -> Reader:
        """Whom the paragraph is for: a junior where the player is one, until somebody chooses."""
        if self._reader is not None:
            return self._reader
        return "junior" if self._setting.situation.player.level == "junior" else "adult"

    def read_by(self, reader: Reader) -> None:
        """Tell it to a junior or to an adult."""
        if reader != self.reader:
            self._reader = reader
            self.shots_changed.emit()

    def copy(self, parent: QObject | None = None) -> Board:
        """A board with the same setting, asleep."""
        made = Board(self._setting, self._question, parent, self._run)
        made.comparison, made._answered = self.comparison, self._answered
        made._chosen_here, made._held_here = self._chosen_here, self._held_here
        made._marked, made._reader = self._marked, self._reader
        return made
