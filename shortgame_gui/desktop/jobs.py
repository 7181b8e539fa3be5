"""What the window asks of the model, as plain functions without Qt, for processes that have none.

Each is bound to its question by `functools.partial` and is then a `Job` that can be sent to another process.
The engine is imported by whoever runs a job, so that the window shows before.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from shortgame_gui.advice.compare import Comparison, Held, Pick
    from shortgame_gui.advice.partner import Partner
    from shortgame_gui.advice.result import Advice, Drawn
    from shortgame_gui.model.club import Bag, Club
    from shortgame_gui.model.situation import Situation

Progress = Callable[[float], None]
Cancelled = Callable[[], bool]
Job = Callable[[Progress, Cancelled], Any]
Run = Callable[[Job, Progress, Cancelled], Any]
"""Has a job done, here or elsewhere, and waits for it."""

partner: Partner | None = None
"""The other process of the engine, where a job runs in one of them."""

LEAST = 2
"""Shots that there must be for something to be compared."""
WITHIN = 0.8
"""Where a shot lands that lands nowhere further, over how far it could."""


def run_here(job: Job, progress: Progress, cancelled: Cancelled) -> Any:
    """Do ``job`` on the thread that asks."""
    return job(progress, cancelled)


def warm_up() -> None:
    """Load the engine and the table, before the first question comes."""
    from shortgame_gui.advice import advise, compare, picture  # noqa: F401
    from shortgame_gui.store.coefficients import load

    load()


def advice(situation: Situation, bag: Bag, progress: Progress, cancelled: Cancelled) -> Advice:
    """The ranked shots."""
    from shortgame_gui.advice.advise import advise
    from shortgame_gui.store.coefficients import load

    return advise(situation, bag, load(), progress=progress, cancelled=cancelled, partner=partner)


def quick_picture(
    situation: Situation,
    shots: tuple[
        tuple[Club, str, float, float, tuple[float, float], float | None, float, Situation | None], ...
    ],
    landing: tuple[float, float] | None,
    progress: Progress,
    cancelled: Cancelled,
) -> tuple[Drawn | None, ...]:
    """Each of ``shots`` as it goes in ``situation``; with ``landing``, as it goes when it lands there.

    A shot is club, technique, head speed and aim of the picture before, finish aim, how far along in m it
    went before, to its finish or landing, if that is known, how far it landed, and in which situation.
    """
    from shortgame_gui.advice.picture import Wish, picture
    from shortgame_gui.store.coefficients import load

    wishes = tuple(
        Wish(club, technique, speed, aim, finish if landing is None else None, landing, way, landed, before)
        for club, technique, speed, aim, finish, way, landed, before in shots
    )
    return picture(situation, load(), wishes)


def comparison(
    situation: Situation,
    changed: Situation,
    tries: list[list[Pick]],
    held: tuple[Held, ...],
    value: float | None,
    before: Comparison | None,
    progress: Progress,
    cancelled: Cancelled,
) -> Comparison:
    """The first of ``tries`` that shows all its shots in ``changed``, else the first that shows most.

    Where none shows two with the first of ``held`` equal, the next is held. Without a ``value`` that is held,
    it is the one usual in ``situation`` or, where more than one may be held and no two of the first land so
    far, one that two reach.
    """
    from shortgame_gui.advice.compare import compare, usual_value
    from shortgame_gui.store.coefficients import load

    table = load()

    def played(picks: list[Pick], equal: Held) -> Comparison:
        usual = usual_value(situation, picks, table, equal) if value is None else value
        return compare(changed, picks, table, equal, usual, before=before)

    found = played(tries[0] if tries else [], held[0])
    for picks, equal in [(picks, equal) for equal in held for picks in tries][1:]:
        enough = len(found.shots) >= LEAST
        if not found.not_done or (enough and equal != found.held) or cancelled():
            break
        other = played(picks, equal)
        if len(other.shots) > len(found.shots) or (len(other.shots) >= LEAST and not other.not_done):
            found = other
    reach = sorted(n.high for n in found.not_done if n.reason == "no_speed_lands_there")
    free = value is None and len(held) > 1
    if free and len(found.shots) < LEAST <= len(reach) and not cancelled():
        done, missed = found.shots, found.not_done
        picks = [(s.club, s.technique) for s in done] + [(s.club, s.technique) for s in missed]
        return compare(changed, picks, table, "landing", WITHIN * reach[-LEAST])
    return found
