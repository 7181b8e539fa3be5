"""The situations to leaf through before a group: those of the document's folder, else those of the demo."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from shortgame_gui import assets
from shortgame_gui.desktop.session import Session
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import DocumentError, read_demo, read_situation

DEMOS = "situations/"


@dataclass(frozen=True)
class Leaf:
    """One situation that can be turned to; ``read`` raises DocumentError where the file holds none."""

    name: str
    read: Callable[[], Situation]


class Deck:
    """Situations in the order of their files, one of them open; files that hold none are passed over."""

    def __init__(self, leaves: list[Leaf], at: int) -> None:
        self._leaves, self._at = leaves, at

    @property
    def place(self) -> tuple[int, int]:
        """Number of the open one from 1, and how many there are."""
        return self._at + 1, len(self._leaves)

    def turn(self, way: int) -> Situation | None:
        """The next situation (1) or the one before (-1); None where there is none that way."""
        at = self._at + way
        while 0 <= at < len(self._leaves):
            try:
                found = self._leaves[at].read()
            except DocumentError:
                at += way
                continue
            self._at = at
            return found
        return None


def deck_of(session: Session) -> Deck:
    """The deck around the document of ``session``, which takes the place of its own file as it is now."""
    situation = session.situation
    open_one = Leaf(situation.name, lambda: situation)
    if session.path is not None:
        files = sorted(session.path.absolute().parent.glob("*.json"))
        leaves = [Leaf(file.name, partial(read_situation, file)) for file in files]
        own = [k for k, file in enumerate(files) if file == session.path.absolute()]
    else:
        names = [name for name in assets.demo_files(".json") if name.startswith(DEMOS)]
        leaves = [Leaf(name, partial(read_demo, name)) for name in names]
        own = [k for k, leaf in enumerate(leaves) if leaf.read().name == situation.name]
    if own:
        leaves[own[0]] = open_one
        return Deck(leaves, own[0])
    return Deck([open_one, *leaves], 0)
