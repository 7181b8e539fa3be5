"""The map as CSV: a row a cell, units in the headings."""

from __future__ import annotations

import csv
import io

from shortgame_gui.advice.map import Map
from shortgame_gui.words.axes import heading, shown, unit_of
from shortgame_gui.words.text import shot_name


def map_csv(made: Map, *, yards: bool = True) -> str:
    """Rows of ``made``, cell by cell; values of axes in yards, mph, feet of stimp, percent and degrees.

    Without ``yards`` in metres and m/s; green speed is always in feet. `too_close_to_call` names the other
    shots, joined by "; ". A cell without a winner has only its values and, under `problem`, why. Cells that
    are not worked out yet are left out.
    """
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    axes = (made.x, made.y)
    write.writerow(
        [heading(a.axis, yards) for a in axes]
        + ["club", "technique", "expected_strokes", "standard_error", "lead", "too_close_to_call", "problem"]
    )
    for row, cells in enumerate(made.cells):
        for column, cell in enumerate(cells):
            if cell is None:
                continue
            values = [
                round(shown(a.axis, v, yards), 4) if unit_of(a.axis, yards).key else v
                for a, v in ((made.x, made.x.values[column]), (made.y, made.y.values[row]))
            ]
            if cell.club is None:
                write.writerow([*values, "", "", "", "", "", "", cell.problem])
                continue
            close = "; ".join(shot_name(*shot, begins=False) for shot in cell.too_close)
            numbers = [f"{v:.4f}" for v in (cell.expected_strokes, cell.standard_error, cell.lead)]
            write.writerow([*values, cell.club.name, cell.technique, *numbers, close, ""])
    return out.getvalue()
