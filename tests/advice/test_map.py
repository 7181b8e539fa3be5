"""The map: pruning loses no winner, processes change nothing, and it can be stopped and shown early."""

import os
import random
import signal
import subprocess
import sys
from itertools import pairwise, product
from pathlib import Path
from typing import Any

import pytest

from shortgame_gui.advice.advise import Cancelled, advise
from shortgame_gui.advice.axes import AXES
from shortgame_gui.advice.cells import Hints, Settings, Task, rank_all
from shortgame_gui.advice.map import ALONE, Map, Scale, _Pool, around, chunks, fill, levels
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation

SMALL = (Scale("green_to_work_with", (3.0, 8.0, 13.0)), Scale("green_speed", (2.5, 3.5)))
STARTS: list[tuple[str, str, dict[str, Any]]] = [
    ("green_to_work_with", "green_speed", {}),
    ("firmness", "distance", {"ground.approach": "rough", "player.level": "20"}),
    ("slope", "green_to_work_with", {"lie.ground": "rough", "lie.sits": "half_down"}),
    (
        "carry",
        "wind",
        {"hole.distance": 40.0, "green.front": 25.0, "green.depth": 30.0, "player.level": "tour"},
    ),
    ("lie", "green_to_work_with", {"ground.approach": "rough"}),
]

WINDOWS = os.name == "nt"
"""There every signal that is sent ends the process at once, and its number is the status."""


@pytest.mark.parametrize("x, y, values", STARTS, ids=[f"{x}-{y}" for x, y, _ in STARTS])
def test_pruning_loses_no_winner_beyond_ties(
    x: str, y: str, values: dict[str, Any], table: Coefficients, bag: Bag
) -> None:
    """Ten random cells of each of five maps against all shots at all aims, on the same draws.

    The cells are among those that were pruned, up to a third of a map away from what they were pruned by: in
    a map of the usual size most are much nearer. A winner is lost when the full ranking does not call it
    level, and as the map plays it, it needs more strokes than the best by more than the same rule allows: the
    aims of both are chosen on few samples, so the full ranking may play the map's winner at a worse one.
    """
    situation = put_all(Situation(), values)
    sides = [
        Scale(code, AXES[code].values(situation, 7)[: 7 : 2 if AXES[code].choices else 1]) for code in (x, y)
    ]
    settings = Settings(bag, table, 32, 1)
    made = fill(situation, bag, table, *sides, samples=settings.samples, processes=1)
    whole = set(product(*(levels(len(s.values), bool(AXES[s.axis].choices))[0] for s in sides)))
    pruned = [
        (i, j)
        for j, row in enumerate(made.cells)
        for i, cell in enumerate(row)
        if cell and cell.club and (i, j) not in whole
    ]
    some = random.Random(5).sample(pruned, 10)
    tasks = []
    for place in some:
        found = made.situation_of(*place)
        assert found is not None
        tasks.append(Task(found))
    lost = []
    for (i, j), full in zip(some, rank_all(tasks, settings), strict=True):
        cell, best = made.cells[j][i], full[0]
        assert cell is not None
        mine = next((standing for standing in full if standing.shot == cell.winner), None)
        allowed = table.score.tie_strokes
        if mine is not None:
            allowed = max(table.score.tie_errors * mine.behind_error, allowed)
        # At an aim of its own the full ranking may have given it up at its first look.
        level = mine is not None and (mine is best or mine.tie)
        if not level and cell.expected_strokes > best.strokes + allowed:
            lost.append((cell.winner, cell.expected_strokes, best))
    assert lost == []


def test_a_cell_ranked_whole_is_as_the_advice(table: Coefficients, bag: Bag) -> None:
    """The first cells of a map: the advice calls their winner level with its own, on the same draws."""
    made = fill(Situation(), bag, table, *SMALL, samples=64, processes=1)
    for column, row in ((0, 0), (2, 1)):
        found, cell = made.situation_of(column, row), made.cells[row][column]
        assert found is not None and cell is not None
        shots = {(s.club.name, s.technique): s for s in advise(found, bag, table, samples=64).shots}
        assert cell.winner is not None
        shot = shots[cell.winner]
        assert shot.tie or shot.rank == 1
        assert cell.expected_strokes == pytest.approx(shot.expected_strokes, abs=0.15)


def test_two_processes_give_what_one_gives_and_end(table: Coefficients, few: Bag) -> None:
    """Of a map that is just large enough for two."""
    import multiprocessing

    few = Bag(clubs=few.clubs[:2])
    situation = Situation()
    sides = [Scale(code, AXES[code].values(situation, 5)) for code in ("green_speed", "slope")]
    one = fill(situation, few, table, *sides, samples=8, processes=1)
    two = fill(situation, few, table, *sides, samples=8, processes=2)
    assert one == two and one.complete and ALONE < sum(map(len, one.cells)) <= ALONE + 1
    assert multiprocessing.active_children() == []


@pytest.mark.parametrize("name", ["SIGTERM"] if WINDOWS else ["SIGTERM", "SIGKILL", "SIGINT"])
def test_whoever_is_killed_leaves_no_process_and_no_word_of_leaks(name: str, tmp_path: Path) -> None:
    """Processes of the map hold the same output: it ends only when all of them have ended."""
    how = signal.Signals[name]
    script = tmp_path / "half_a_map.py"
    script.write_text(
        "import os, signal\n"
        "from shortgame_gui.advice.map import Scale, fill\n"
        "from shortgame_gui.model.club import Bag\n"
        "from shortgame_gui.model.situation import Situation\n"
        "from shortgame_gui.store.coefficients import load\n"
        "from shortgame_gui.store.documents import packaged_bag\n"
        "if __name__ == '__main__':\n"
        "    signal.signal(signal.SIGINT, signal.default_int_handler)  # may be ignored where tests run\n"
        "    sides = [Scale(c, tuple(0.01 * k for k in range(6))) for c in ('slope', 'lie_slope')]\n"
        f"    stop = lambda made: os.kill(os.getpid(), {int(how)})\n"
        "    few = Bag(clubs=packaged_bag().clubs[:2])\n"
        "    fill(Situation(), few, load(), *sides, samples=8, partial=stop)\n"
    )
    ended = subprocess.run([sys.executable, script], capture_output=True, text=True, check=False)
    assert ended.returncode == (how if WINDOWS else -how) and ended.stdout == ""
    if how == signal.SIGINT:
        assert ended.stderr.strip().endswith("KeyboardInterrupt")
    else:
        assert ended.stderr == ""


def test_an_error_in_a_process_is_raised_here(table: Coefficients, few: Bag) -> None:
    import multiprocessing

    broken = Settings(few, table, "many", 1)  # type: ignore[arg-type]
    with _Pool(broken, 2) as pool, pytest.raises(TypeError):
        list(pool.work([[Task(Situation())]], lambda: False))
    assert multiprocessing.active_children() == []


def test_hints_of_a_shot_that_cannot_be_played_here_mislead_nobody(table: Coefficients, few: Bag) -> None:
    deep = put_all(Situation(), {"lie.ground": "rough", "lie.sits": "down"})
    putt = ("putter", "putt")
    settings = Settings(few, table, 8, 1)
    misled, plain = rank_all([Task(deep, Hints({putt: (0.0,)}, frozenset([putt]))), Task(deep)], settings)
    assert misled == plain and misled


def test_out_of_reach_a_cell_tells_what_goes_towards_the_hole(table: Coefficients, few: Bag) -> None:
    deep = {"lie.ground": "rough", "lie.sits": "down", "lie.rough_depth": 0.1, "player.level": "20"}
    far = put_all(Situation(), deep | {"green.front": 72.0, "hole.distance": 85.0, "green.depth": 28.0})
    near = put_all(Situation(), deep | {"green.front": 6.0, "hole.distance": 15.0})
    short, there = rank_all([Task(far), Task(near)], Settings(few, table, 32, 1))
    assert short and all(standing.aim < -10.0 for standing in short)
    assert there[0].aim > -3.0


def test_pieces_are_even_and_cover_all() -> None:
    for count, most in ((0, 3), (1, 3), (9, 3), (16, 40), (56, 40), (319, 40)):
        pieces = [range(count)[cut] for cut in chunks(count, most)]
        assert [k for piece in pieces for k in piece] == list(range(count))
        sizes = [len(piece) for piece in pieces]
        assert not sizes or (max(sizes) <= most and max(sizes) - min(sizes) <= 1)
        assert count < 2 or len(pieces) % 2 == 0


def test_it_fills_from_coarse_to_fine_and_can_be_shown_early(table: Coefficients, few: Bag) -> None:
    seen: list[Map] = []
    shares: list[float] = []
    few = Bag(clubs=few.clubs[:2])
    sides = [Scale(code, AXES[code].values(Situation(), 7)) for code in ("green_speed", "slope")]
    made = fill(
        Situation(), few, table, *sides, samples=8, processes=1, progress=shares.append, partial=seen.append
    )  # fmt: skip
    assert shares == sorted(shares) and shares[-1] == 1.0 and made.complete
    done = [early.done for early in seen]
    assert done == sorted(done) and done[0] < 0.1
    for early, later in zip(seen, [*seen[1:], made], strict=True):
        for row, after in zip(early.cells, later.cells, strict=True):
            assert all(cell is None or cell == then for cell, then in zip(row, after, strict=True))
    nine = next(early for early in seen if early.done >= 9 / 49 - 1e-9)
    assert {(i, j) for j, row in enumerate(nine.cells) for i, cell in enumerate(row) if cell} == {
        (i, j) for i in (0, 3, 6) for j in (0, 3, 6)
    }


@pytest.mark.parametrize("processes", [1, 2])
def test_it_stops_when_nobody_wants_it(processes: int, table: Coefficients, few: Bag) -> None:
    asked = iter([False] * 2)
    sides = [Scale(code, AXES[code].values(Situation(), 6)) for code in ("green_speed", "slope")]
    with pytest.raises(Cancelled):
        fill(
            Situation(), few, table, *sides, samples=8, processes=processes,
            cancelled=lambda: next(asked, True),
        )  # fmt: skip


def test_a_tie_is_told_with_its_names_and_the_lead_is_that_over_the_second(
    table: Coefficients, few: Bag
) -> None:
    made = fill(Situation(), few, table, *SMALL, samples=16, processes=1)
    cells = [cell for row in made.cells for cell in row if cell]
    assert len(cells) == 6
    for cell in cells:
        assert cell.lead >= 0.0 and cell.second is not None and cell.winner not in cell.too_close
        if cell.too_close:
            assert cell.too_close[0] == cell.second
    assert any(cell.too_close for cell in cells)


def test_pairs_that_are_no_situation_and_bags_that_play_nothing(table: Coefficients, few: Bag) -> None:
    sides = (Scale("distance", (8.0, 20.0)), Scale("carry", (5.0, 12.0)))
    made = fill(Situation(), few, table, *sides, samples=4, processes=1)
    cell = made.cells[1][0]
    assert cell is not None and cell.winner is None and cell.problem == "no_situation"
    assert made.situation_of(0, 1) is None and made.cells[1][1] is not None
    putter = Bag(clubs=(few.find("putter"),))
    deep = put_all(Situation(), {"lie.ground": "rough", "lie.sits": "down"})
    made = fill(deep, putter, table, *SMALL, samples=4, processes=1)
    assert {cell.problem for row in made.cells for cell in row if cell} == {"no_shot"}


def test_the_situation_itself_is_found_on_the_map(few: Bag) -> None:
    def made(*sides: Scale) -> Map:
        return Map(Situation(), few, *sides, 8, 1, ((None,) * 3,) * 2)

    hole, speed = Situation().hole.distance, Situation().green.speed
    near = (Scale("distance", (hole - 4.0, hole + 0.4, hole + 4.0)), Scale("green_speed", (2.0, speed)))
    assert made(*near).own == (1, 1)
    far = (Scale("distance", (hole + 4.0, hole + 5.0)), Scale("level", ("tour", "10")))
    assert made(*far).own is None
    assert made(Scale("level", ("tour", "10")), Scale("lie", ("tight", "fairway"))).own == (1, 1)


def test_levels_halve_the_gaps_and_choices_are_there_at_once() -> None:
    for count in range(1, 45):
        steps = levels(count, choices=False)
        assert steps[-1] == list(range(count))
        for before, after in pairwise(steps):
            assert set(before) < set(after)
            for place in set(after) - set(before):
                assert len(around(place, before, choices=False)) == 2
    assert levels(8, choices=True) == [list(range(8))]


@pytest.mark.parametrize(
    "sides, said",
    [
        ((Scale("height", (1.0,)), Scale("wind", (0.0,))), "height"),
        ((Scale("wind", (1.0,)), Scale("wind", (0.0,))), "differ"),
        ((Scale("wind", ()), Scale("slope", (0.0,))), "1 to"),
        ((Scale("wind", (1.0, 1.0)), Scale("slope", (0.0,))), "twice"),
    ],
)
def test_two_scales_that_make_no_map_are_refused(
    sides: tuple[Scale, Scale], said: str, table: Coefficients, few: Bag
) -> None:
    with pytest.raises(ValueError, match=said):
        fill(Situation(), few, table, *sides)
