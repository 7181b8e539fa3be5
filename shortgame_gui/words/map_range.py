"""What people type for one side of a map, "5yd:30yd:20" or "tour,10,30", as a scale."""

from __future__ import annotations

from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.map import MOST_STEPS, STEPS, Scale
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import parse


def scale_of(situation: Situation, code: str, text: str | None) -> Scale:
    """The scale of the axis ``code`` over the range ``text``, or its sensible one for None.

    Numbers have the units of files and options (SI without one). Raises ValueError with a sentence for an
    unknown axis, a range that is none, or an end that the situation cannot have.
    """
    if code not in AXES:
        raise ValueError(f"{code!r} is not one of {', '.join(AXES)}")
    axis = AXES[code]
    if text is None:
        return Scale(code, axis.values(situation, STEPS))
    if axis.choices:
        names = [name.strip() for name in text.split(",")]
        wrong = next((name for name in names if name not in axis.choices), None)
        if wrong is not None:
            raise ValueError(f"{code}: {wrong!r} is not one of {', '.join(axis.choices)}")
        return Scale(code, tuple(names))
    parts = text.split(":")
    if len(parts) != 3 or not parts[2].isdigit() or not 2 <= int(parts[2]) <= MOST_STEPS:
        raise ValueError(f"{code}: {text!r} is not from:to:steps with 2 to {MOST_STEPS} steps")
    try:
        low, high = (parse(part, axis.quantity) for part in parts[:2])
    except ValueError as error:
        raise ValueError(f"{code}: {error}") from error
    if not low < high:
        raise ValueError(f"{code}: {text!r} does not go upwards")
    for end in (low, high):
        try:
            axis.put(situation, end)
        except FieldError as error:
            raise ValueError(f"{code}: {error}") from error
    return Scale(code, axis.steps(low, high, int(parts[2])))
