"""When does the answer change? The winning shot over two conditions, filled from coarse to fine.

How 400 cells take seconds. A few cells, spread evenly, are ranked whole. Every later level lies between
cells that are ranked already: there only the shots that led in the cells around it are played, each at the
aims that were best there (warm start; pruning by the neighbours, and by the unperturbed shots that finish on
none of the aims). Cells of a level share batches of thousands of balls, all cells and shots meet the same
draws (common random numbers), and two processes share the batches.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import signal
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess

import msgspec

from shortgame_gui.advice.advise import Cancelled
from shortgame_gui.advice.axes import AXES, Value, situation_at
from shortgame_gui.advice.cells import Hints, Settings, ShotName, Standing, Task, rank_all
from shortgame_gui.model.base import FieldError
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import NotSure
from shortgame_gui.model.situation import Situation

STEPS = 20
"""Values of an axis by default."""
SAMPLES = 64
"""Samples of a contender in each cell by default; 20 x 20 cells of these are the map's usual size."""
MOST_STEPS = 100
WHOLE = 3
"""Cells along an axis that are ranked whole, ends included."""
LAST_GAP = 3
"""Steps between cells up to which the next level fills all that lies between them."""
KEPT_LIVELY, KEPT_EARLY, KEPT = 10, 8, 5
"""Shots of the cells around that are played: where the answer changes between them, where it does not on the
levels before the last, and on the last."""
CALM = 0.1
"""Behind the winner of the next cell, in strokes or chance, up to which the answer hardly changes."""
NEAR = 0.1
"""Behind the winner in each of the cells around, in strokes or chance, from which a shot is left out."""
LEAST = 4
"""Shots that are played however far behind, so that the lead is over a shot that is any good here."""
CHUNK_WHOLE, CHUNK = 3, 40
"""Cells that share batches: some thousands of balls, and short enough to show progress."""
ALONE = 24
"""Up to so many cells are not worth starting processes for."""
LISTEN = 0.05
"""Seconds between two questions whether the map is still wanted."""


@dataclass(frozen=True)
class Scale:
    """One side of a map: an axis by its code and its values in order."""

    axis: str
    values: tuple[Value, ...]


@dataclass(frozen=True)
class Cell:
    """The answer for one pair of values."""

    club: Club | None
    """None where nothing can be played or no such situation exists; ``problem`` says which."""
    technique: str
    expected_strokes: float
    standard_error: float
    lead: float
    """Ahead of the second best shot in what counts today, in strokes or chance; 0 where there is none."""
    lead_error: float
    too_close: tuple[ShotName, ...]
    """The other shots, club and technique, that are too close to the winner to call, best first."""
    second: ShotName | None
    n: int
    problem: str = ""
    """``no_situation`` or ``no_shot`` where there is no winner."""

    @property
    def winner(self) -> ShotName | None:
        """Club and technique of the winner."""
        return (self.club.name, self.technique) if self.club is not None else None


@dataclass(frozen=True)
class Map:
    """Winners over two scales; cells that are not worked out yet are None."""

    situation: Situation
    bag: Bag
    x: Scale
    y: Scale
    samples: int
    seed: int
    cells: tuple[tuple[Cell | None, ...], ...]
    """A row for each value of ``y``, in its order."""

    @property
    def done(self) -> float:
        """Share of the cells that are there."""
        there = sum(cell is not None for row in self.cells for cell in row)
        return there / (len(self.x.values) * len(self.y.values))

    @property
    def complete(self) -> bool:
        return all(cell is not None for row in self.cells for cell in row)

    def situation_of(self, column: int, row: int) -> Situation | None:
        """The situation of one cell; None where there is none."""
        return _situation(self.situation, self.x, self.y, column, row)

    @property
    def own(self) -> tuple[int, int] | None:
        """Column and row of the cell nearest to the situation itself; None where it lies off the map."""
        column, row = (_nearest(scale, self.situation) for scale in (self.x, self.y))
        return None if column is None or row is None else (column, row)


def _nearest(scale: Scale, situation: Situation) -> int | None:
    """Index of the value of ``scale`` that ``situation`` has, or is within half a step of."""
    now, values = AXES[scale.axis].get(situation), scale.values
    if isinstance(now, str) or now is None:
        return values.index(now) if now in values else None
    numbers = [float(v) for v in values]
    best = min(range(len(numbers)), key=lambda k: abs(numbers[k] - now))
    step = abs(numbers[-1] - numbers[0]) / max(len(numbers) - 1, 1)
    return best if abs(numbers[best] - now) <= 0.5 * step + 1e-9 else None


def _situation(situation: Situation, x: Scale, y: Scale, column: int, row: int) -> Situation | None:
    try:
        return situation_at(situation, [(x.axis, x.values[column]), (y.axis, y.values[row])])
    except FieldError:
        return None


def levels(count: int, choices: bool) -> list[list[int]]:
    """Indices of an axis of ``count`` values that are there after each level, the first ones ranked whole.

    Choices differ too much to learn from each other: all are there at once.
    """
    if choices or count <= WHOLE:
        return [list(range(count))]
    out = [sorted({round(k * (count - 1) / (WHOLE - 1)) for k in range(WHOLE)})]
    while len(out[-1]) < count:
        now = out[-1]
        if max(b - a for a, b in pairwise(now)) <= LAST_GAP:
            out.append(list(range(count)))
        else:
            between = {(a + b) // 2 for a, b in pairwise(now) if b - a > 1}
            out.append(sorted({*now, *between}))
    return out


def chunks(count: int, most: int) -> list[slice]:
    """``count`` tasks cut evenly into pieces of ``most`` at most, an even number for two processes."""
    pieces = min(2 * -(-count // (2 * most)), count)
    ends = [round(k * count / pieces) for k in range(pieces + 1)] if pieces else [0]
    return [slice(a, b) for a, b in pairwise(ends)]


def around(place: int, there: Sequence[int], choices: bool) -> list[int]:
    """Indices among ``there`` next to ``place`` on both sides, or the place itself."""
    if choices or place in there:
        return [place]
    below, above = [k for k in there if k < place], [k for k in there if k > place]
    return [*below[-1:], *above[:1]]


def _calm(found: Sequence[tuple[Standing, ...]]) -> bool:
    """Whether the winner of each cell of ``found`` all but wins in the others: the answer hardly changes."""
    for one, other in product(found, found):
        there = next((s for s in other if s.shot == one[0].shot), None)
        if there is None or not (there.tie or there.behind <= CALM):
            return False
    return True


def _hints(found: Sequence[tuple[Standing, ...]], early: bool, whole: bool) -> Hints:
    """The shots that led in the cells ``found`` and their aims there; every winner is among them.

    Where the answer changes between the cells, or not all cells around are there (``whole``), more shots are
    kept, and aims beside those that were best.
    """
    behind: dict[ShotName, float] = {}
    aims: dict[ShotName, tuple[float, ...]] = {}
    for standings in found:
        for s in standings:
            behind[s.shot] = min(s.behind, behind.get(s.shot, s.behind))
            aims[s.shot] = (*aims.get(s.shot, ()), s.aim)
    calm = whole and _calm(found)
    most = (KEPT_EARLY if early else KEPT) if calm else KEPT_LIVELY
    best = sorted(behind, key=lambda shot: behind[shot])[:most]
    kept = [shot for k, shot in enumerate(best) if k < LEAST or behind[shot] < NEAR]
    return Hints({shot: aims[shot] for shot in kept}, frozenset(some[0].shot for some in found), not calm)


def _cell(standings: tuple[Standing, ...], bag: Bag) -> Cell:
    if not standings:
        return Cell(None, "", 0.0, 0.0, 0.0, 0.0, (), None, 0, "no_shot")
    first, *others = standings
    second = others[0] if others else None
    return Cell(
        bag.find(first.shot[0]), first.shot[1], first.strokes, first.error,
        second.behind if second else 0.0, second.behind_error if second else 0.0,
        tuple(s.shot for s in others if s.tie), second.shot if second else None, first.n,
    )  # fmt: skip


NO_SITUATION = Cell(None, "", 0.0, 0.0, 0.0, 0.0, (), None, 0, "no_situation")

Place = tuple[int, int]
Progress = Callable[[float], None]
Asked = Callable[[], bool]


def checked(x: Scale, y: Scale) -> None:
    """Raises ValueError with a sentence when the two scales make no map."""
    for scale in (x, y):
        if scale.axis not in AXES:
            raise ValueError(f"{scale.axis!r} is not one of {', '.join(AXES)}")
        if not 1 <= len(scale.values) <= MOST_STEPS:
            raise ValueError(f"{scale.axis} must have 1 to {MOST_STEPS} values")
        if len(set(scale.values)) < len(scale.values):
            raise ValueError(f"{scale.axis} has the same value twice")
    if x.axis == y.axis:
        raise ValueError(f"the two axes must differ, both are {x.axis}")


def fill(
    situation: Situation,
    bag: Bag,
    table: Coefficients,
    x: Scale,
    y: Scale,
    *,
    samples: int = SAMPLES,
    seed: int = 1,
    processes: int = 2,
    progress: Progress | None = None,
    cancelled: Asked | None = None,
    partial: Callable[[Map], None] | None = None,
) -> Map:
    """The map of ``situation`` over two scales; what it is not sure of is taken as stated.

    ``samples`` are those of a contender in each cell, ``seed`` as in `advise`; neither the number of
    ``processes`` nor the order in which they finish changes the answer. ``progress`` is told a share from 0
    to 1, ``partial`` the map as it is so far; ``cancelled`` is asked many times a second. Raises Cancelled
    when it says so, ValueError when scales, ``samples`` or ``seed`` are out of range.
    """
    checked(x, y)
    if not 2 <= samples <= 100_000:
        raise ValueError("`samples` must be 2 to 100000")
    if not 0 <= seed < 2**63:
        raise ValueError("`seed` must be 0 or more and below 2^63")
    made = Map(situation, bag, x, y, samples, seed, ())
    return _Filling(made, Settings(bag, table, samples, seed), processes, progress, cancelled, partial).run()


class _Filling:
    """One map being filled; ``standings`` are the answers so far."""

    def __init__(
        self,
        made: Map,
        settings: Settings,
        processes: int,
        progress: Progress | None,
        cancelled: Asked | None,
        partial: Callable[[Map], None] | None,
    ) -> None:
        self.map, self.settings = made, settings
        self.processes = min(processes, multiprocessing.cpu_count())
        self.progress, self.cancelled, self.partial = progress, cancelled, partial
        self.standings: dict[Place, tuple[Standing, ...] | None] = {}
        self.width, self.height = len(made.x.values), len(made.y.values)

    def run(self) -> Map:
        if self.processes < 2 or self.width * self.height <= ALONE:
            self.levels(self.here)
        else:
            with _Pool(self.settings, self.processes) as pool:
                self.levels(lambda pieces: pool.work(pieces, self.asked))
        return self.snapshot()

    def asked(self) -> bool:
        return self.cancelled is not None and self.cancelled()

    def here(self, pieces: list[list[Task]]) -> Iterator[tuple[int, list[tuple[Standing, ...]]]]:
        """The pieces one after the other in this process."""
        for k, piece in enumerate(pieces):
            yield k, rank_all(piece, self.settings, self.asked)

    def levels(
        self, work: Callable[[list[list[Task]]], Iterator[tuple[int, list[tuple[Standing, ...]]]]]
    ) -> None:
        """Go through the levels; ``work`` ranks the pieces of one, in any order."""
        choices = [bool(AXES[scale.axis].choices) for scale in (self.map.x, self.map.y)]
        across = levels(self.width, choices[0])
        along = levels(self.height, choices[1])
        last = max(len(across), len(along)) - 1
        for level in range(last + 1):
            columns, rows = (some[min(level, len(some) - 1)] for some in (across, along))
            before = (across[min(level - 1, len(across) - 1)], along[min(level - 1, len(along) - 1)])
            places, tasks = [], []
            for place in product(columns, rows):
                if place in self.standings:
                    continue
                found = self.map.situation_of(*place)
                if found is None:
                    self.standings[place] = None
                    continue
                hints = None
                if level:
                    near = [around(at, there, c) for at, there, c in zip(place, before, choices, strict=True)]
                    corners = list(product(*near))
                    known = [s for i, j in corners if (s := self.standings[i, j])]
                    if known:
                        hints = _hints(known, level < last, whole=len(known) == len(corners))
                places.append(place)
                tasks.append(Task(msgspec.structs.replace(found, not_sure=NotSure()), hints))
            cut = chunks(len(tasks), CHUNK if level else CHUNK_WHOLE)
            for k, found_there in work([tasks[c] for c in cut]):
                self.standings.update(zip(places[cut[k]], found_there, strict=True))
                if self.progress is not None:
                    self.progress(len(self.standings) / (self.width * self.height))
                if self.partial is not None:
                    self.partial(self.snapshot())

    def snapshot(self) -> Map:
        """The map as it is so far."""

        def cell(column: int, row: int) -> Cell | None:
            if (column, row) not in self.standings:
                return None
            found = self.standings[column, row]
            return NO_SITUATION if found is None else _cell(found, self.settings.bag)

        rows = tuple(tuple(cell(i, j) for i in range(self.width)) for j in range(self.height))
        return replace(self.map, cells=rows)


# --- two processes ------------------------------------------------------------------------------------


def _serve(line: Connection, settings: Settings) -> None:
    """Rank one piece of a level after the other until nobody is at the other end of the line."""
    # The one who started us is interrupted as well, and ends us.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(EOFError, OSError):
        while True:
            tasks: list[Task] = line.recv()
            try:
                line.send(rank_all(tasks, settings))
            except Exception as error:
                line.send(error)


class _Pool:
    """Processes that rank pieces of a level; all have ended when the context is left.

    Only pipes lead to them: nothing is left behind by whoever is killed, and they end by themselves.
    """

    def __init__(self, settings: Settings, processes: int) -> None:
        self._settings, self._count = settings, processes
        self._processes: list[SpawnProcess] = []
        self._lines: list[Connection] = []

    def __enter__(self) -> _Pool:
        # Started afresh rather than forked: the window's threads must not be copied.
        context = multiprocessing.get_context("spawn")
        try:
            for _ in range(self._count):
                ours, theirs = context.Pipe()
                self._lines.append(ours)
                with theirs:  # kept open here, the end of the process would not be heard
                    process = context.Process(target=_serve, args=(theirs, self._settings), daemon=True)
                    process.start()
                self._processes.append(process)
        except BaseException:
            self._end()
            raise
        return self

    def __exit__(self, *error: object) -> None:
        self._end()

    def _end(self) -> None:
        for process in self._processes:
            process.kill()
        for process in self._processes:
            process.join()
            process.close()
        for line in self._lines:
            line.close()

    def work(
        self, pieces: list[list[Task]], cancelled: Asked
    ) -> Iterator[tuple[int, list[tuple[Standing, ...]]]]:
        """Answers of the pieces as they come; raises Cancelled soon after ``cancelled`` says so."""
        free = list(self._lines)
        busy: dict[Connection, int] = {}
        left = list(enumerate(pieces))[::-1]
        while left or busy:
            while left and free:
                number, tasks = left.pop()
                line = free.pop()
                line.send(tasks)
                busy[line] = number
            ready = wait(list(busy), LISTEN)
            for line in [line for line in busy if line in ready]:
                answer = line.recv()
                if isinstance(answer, Exception):
                    raise answer
                free.append(line)
                yield busy.pop(line), answer
            if cancelled():
                raise Cancelled
