"""One session: the document that all views share, its undo stack, its file, and the advice for it.

Session to view goes by signals; view to session by the methods below, of which every edit lands on the undo
stack. The session starts no work: `advisor.Advisor` watches it and hands the advice back.
"""

from __future__ import annotations

from dataclasses import dataclass
from dataclasses import replace as other
from pathlib import Path
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from shortgame_gui.advice.result import Advice, Drawn, Shot
from shortgame_gui.desktop.edits import Edit, edited
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.club import Bag
from shortgame_gui.model.player import Player
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag, read_bag, read_demo, read_situation, write_situation
from shortgame_gui.words.language import _

ShotKey = tuple[str, str]
"""What a shot is called across recomputations: club name and technique."""


def key_of(shot: Shot | Drawn) -> ShotKey:
    """The name under which ``shot`` is found again in the next advice."""
    return (shot.club.name, shot.technique)


@dataclass(frozen=True)
class Document:
    """Everything that an edit can change."""

    situation: Situation
    bag: Bag


@dataclass(frozen=True)
class Spot:
    """A landing that the player tries by hand with one shot: in m from the ball, along and left."""

    key: ShotKey
    landing: tuple[float, float]
    drawn: Drawn | None
    """How the shot goes; None where no swing of it lands there."""


def as_drawn(shot: Shot, drawn: Drawn, front: float) -> Shot:
    """``shot`` with its unperturbed way as in the quick picture; what is of the samples stays as it was.

    ``front`` is the distance to the green's near edge in m.
    """
    edge = None if shot.technique == "putt" or front <= 0.0 else drawn.landing[0] - front
    return other(
        shot, head_speed=drawn.head_speed, share=drawn.share, swing=drawn.swing, aim=drawn.aim,
        carry=drawn.carry, landing=drawn.landing, landing_past_edge=edge, apex=drawn.apex, track=drawn.track,
    )  # fmt: skip


def _asks_the_same(one: Document, other: Document) -> bool:
    """Whether the two differ at most in what the advice does not read."""
    if one.bag != other.bag:
        return False
    return replace(one.situation, name="", note="") == replace(other.situation, name="", note="")


class Session(QObject):
    """The one document; see the module's first sentence."""

    changed = Signal()
    """The document is another one: edited, undone or opened."""
    file_changed = Signal()
    """The path, or whether there is something unsaved, changed."""
    refused = Signal(str, object)
    """An edit was not allowed: its label and the FieldError that says why; the document is as it was."""
    advice_changed = Signal()
    """There is another advice, or the one there is became out of date."""
    picked = Signal()
    """Another shot is in front, or other shots are marked for comparison."""
    pictured = Signal()
    """There is another quick picture, or another landing spot tried by hand, or none any more."""
    spot_wanted = Signal(tuple)
    """The shot in front is to be tried with this landing, in m from the ball: along, left."""

    def __init__(self, document: Document | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document or Document(Situation(), packaged_bag())
        self._path: Path | None = None
        self._saved: Situation | None = self._document.situation
        self._bags: dict[Bag, Path] = {}
        """The file of each bag that was opened."""
        self.undo_stack = QUndoStack(self)
        self._advice: Advice | None = None
        self._current = False
        self._front: ShotKey | None = None
        self._marked: frozenset[ShotKey] = frozenset()
        self._picture: dict[ShotKey, Shot] = {}
        self._pictured: Document | None = None
        self._spot: Spot | None = None
        self._trying: tuple[float, float] | None = None

    # --- the document ----------------------------------------------------------------------------

    @property
    def document(self) -> Document:
        return self._document

    @property
    def situation(self) -> Situation:
        return self._document.situation

    @property
    def bag(self) -> Bag:
        return self._document.bag

    def edit(self, path: str, value: Any, label: str, gesture: int | None = None) -> None:
        """Set the leaf ``path`` of the situation; ``gesture`` makes one command of one drag."""
        try:
            situation = edited(self.situation, path, value)
        except FieldError as error:
            self.refused.emit(label, error)
            return
        self.put(
            other(self._document, situation=situation), label, None if gesture is None else (path, gesture)
        )

    def put(self, document: Document, label: str, gesture: tuple[str, int] | None = None) -> None:
        """Make ``document`` the one of the session, as one step that can be undone."""
        if document != self._document:
            self.undo_stack.push(Edit(self._set, self._document, document, label, gesture))

    def _set(self, document: Document) -> None:
        was_current = self._current
        self._current = was_current and _asks_the_same(document, self._document)
        if not _asks_the_same(document, self._document):
            self.drop_spot()
        self._document = document
        self.changed.emit()
        if was_current and not self._current:
            self.advice_changed.emit()

    # --- files -----------------------------------------------------------------------------------

    @property
    def path(self) -> Path | None:
        """The file that `save` writes, or None."""
        return self._path

    @property
    def unsaved(self) -> bool:
        """Whether the situation is another than in its file; the bag belongs to no situation."""
        return self.situation != self._saved

    def begin_anew(self, player: Player | None = None) -> None:
        """Start with the everyday situation of ``player``, without a file; the bag stays."""
        self._begin(other(self._document, situation=Situation(player=player or Player())), None)

    def begin_with(self, document: Document) -> None:
        """Start with ``document``, without a file."""
        self._begin(document, None)

    def open(self, path: Path) -> None:
        """Open a situation file; raises DocumentError and leaves everything as it was."""
        self._begin(other(self._document, situation=read_situation(path)), path)

    def restore(self, document: Document, path: Path | None) -> None:
        """Go on with ``document`` as it was before a crash: it belongs to ``path`` and is not saved there."""
        self._begin(document, path, saved=False)

    def open_demo(self, name: str) -> None:
        """Open a situation of the invented course; it has no file yet. Raises DocumentError."""
        self._begin(other(self._document, situation=read_demo(name)), None)

    def open_bag(self, path: Path) -> None:
        """Use the bag of a file, as a step that can be undone; raises DocumentError."""
        self.put(other(self._document, bag=self._read_bag(path)), _("Open bag"))

    def use_usual_bag(self) -> None:
        """Use the usual clubs, as a step that can be undone."""
        self.put(other(self._document, bag=packaged_bag()), _("Usual bag"))

    def begin_with_bag(self, path: Path) -> None:
        """Have the bag of a file for what is opened next; raises DocumentError."""
        self._document = other(self._document, bag=self._read_bag(path))

    @property
    def bag_path(self) -> Path | None:
        """The file of the bag in use; None for the usual bag, or one that came from no file."""
        return self._bags.get(self.bag)

    def _read_bag(self, path: Path) -> Bag:
        bag = read_bag(path)
        self._bags[bag] = path
        return bag

    def save(self, path: Path) -> None:
        """Write the situation to ``path``; raises DocumentError and leaves the unsaved mark where it is."""
        write_situation(path, self.situation)
        self._path, self._saved = path, self.situation
        self.file_changed.emit()

    def _begin(self, document: Document, path: Path | None, *, saved: bool = True) -> None:
        self.undo_stack.clear()
        self._path, self._saved = path, document.situation if saved else None
        self._front, self._marked = None, frozenset()
        self._set(document)
        self.file_changed.emit()

    # --- the advice ------------------------------------------------------------------------------

    @property
    def advice(self) -> Advice | None:
        """The last advice, perhaps for an earlier state of the document; see `current`."""
        return self._advice

    @property
    def current(self) -> bool:
        """Whether the advice is that of the document as it is now."""
        return self._current

    def answer(self, advice: Advice, document: Document) -> None:
        """Take the advice for ``document``; one for a document of the past is dropped."""
        if not _asks_the_same(document, self._document):
            return
        self._advice, self._current = advice, True
        self._picture, self._pictured = {}, None
        self.advice_changed.emit()

    @property
    def front(self) -> Shot | None:
        """The shot in front: the one picked if it is still offered, else the leader."""
        shots = self._advice.shots if self._advice else ()
        if self._front is None:
            return shots[0] if shots else None
        found = next((shot for shot in shots if key_of(shot) == self._front), None)
        return found or (shots[0] if shots else None)

    @property
    def shown(self) -> tuple[Shot, ...]:
        """The shots that views draw: the one in front first, then those marked, else the next best."""
        front = self.front
        if front is None or self._advice is None:
            return ()
        others = [shot for shot in self._advice.shots if shot is not front]
        marked = [shot for shot in others if key_of(shot) in self._marked] if self._marked else []
        return (front, *(marked or others[:2]))[:5]

    def bring_forward(self, key: ShotKey) -> None:
        """Put one shot in front in all views."""
        if key != self._front:
            self._front = key
            self.drop_spot()
            self.picked.emit()

    @property
    def compared(self) -> tuple[ShotKey, ...]:
        """The shot in front and those marked to stand beside it; none where none is marked."""
        keys = [key_of(shot) for shot in self.shown]
        marked = [key for key in keys[1:] if key in self._marked]
        return (keys[0], *marked) if marked else ()

    def is_marked(self, key: ShotKey) -> bool:
        return key in self._marked

    def mark(self, key: ShotKey, on: bool) -> None:
        """Add a shot to the views for comparison, or take it away."""
        marked = self._marked | {key} if on else self._marked - {key}
        if marked != self._marked:
            self._marked = marked
            self.picked.emit()

    # --- the quick picture -----------------------------------------------------------------------

    @property
    def exact(self) -> bool:
        """Whether `ways` are those in the document as it is now, by the advice or by the quick picture."""
        return self._current or (
            self._pictured is not None and _asks_the_same(self._pictured, self._document)
        )

    @property
    def ways(self) -> tuple[Shot, ...]:
        """The shots to draw, each with the way of the quick picture where that is newer than the advice.

        Shots that cannot be played any more are left out.
        """
        if self._pictured is None:
            return self.shown
        found = (self._picture.get(key_of(shot)) for shot in self.shown)
        return tuple(shot for shot in found if shot is not None)

    def draw(self, picture: dict[ShotKey, Drawn | None], document: Document) -> None:
        """Take the quick picture of ``document``; once the advice is there, it is not wanted any more."""
        if self._current or self._advice is None:
            return
        front = document.situation.green.front
        found = ((shot, picture.get(key_of(shot))) for shot in self._advice.shots)
        self._picture = {key_of(s): as_drawn(s, drawn, front) for s, drawn in found if drawn is not None}
        self._pictured = document
        self.pictured.emit()

    @property
    def spot(self) -> Spot | None:
        """The landing that the player tries by hand with the shot in front."""
        return self._spot

    @property
    def landing(self) -> tuple[float, float] | None:
        """Where the shot in front lands, or is being tried, in m: along, left; None where it only rolls."""
        ways = self.ways
        if not ways or ways[0].technique == "putt":
            return None
        return self._trying or ways[0].landing

    def try_landing(self, along: float, left: float) -> None:
        """Ask how the shot in front goes when it lands there, in m from the ball."""
        if self.landing is None:
            return
        self._trying = (along, left)
        self.spot_wanted.emit((along, left))

    def land_there(self, spot: Spot, document: Document) -> None:
        """Take the answer to `try_landing`, unless it is about another shot or an earlier document."""
        if self.front is None or spot.key != key_of(self.front):
            return
        if _asks_the_same(document, self._document):
            self._spot = spot
            self.pictured.emit()

    def drop_spot(self) -> None:
        """Forget the landing tried by hand."""
        if self._spot is not None or self._trying is not None:
            self._spot = self._trying = None
            self.pictured.emit()
