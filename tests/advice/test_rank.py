"""Ranking: paired errors, ties, what the player counts, orders that depend on no name and little on luck."""

from collections.abc import Callable
from dataclasses import fields
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui.advice.advise import Cancelled, advise
from shortgame_gui.advice.rank import Samples, looks_of, paired
from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation

Names = Callable[[Advice], list[tuple[str, str]]]
Figures = Callable[[Shot], dict[str, float]]
Owning = Callable[..., dict[str, Any]]


@pytest.fixture(scope="module")
def advice(bag: Bag, table: Coefficients) -> Advice:
    """The plain situation with enough samples for shots to be dropped; for the tour some are level."""
    return advise(put_all(Situation(), {"player.level": "tour"}), bag, table, samples=256)


def sized(table: Coefficients, **sizes: float) -> Coefficients:
    """``table`` with other sizes of the search."""
    return msgspec.structs.replace(table, choose=msgspec.structs.replace(table.choose, **sizes))


def twice(bag: Bag, name: str) -> Bag:
    """``bag`` with club ``name`` carried a second time under another name."""
    club = bag.find(name)
    return Bag(clubs=(*bag.clubs, msgspec.structs.replace(club, name="twin")))


def test_identical_shots_are_level_without_any_error(few: Bag, table: Coefficients, figures: Figures) -> None:
    found = advise(Situation(), twice(few, "sand wedge"), table, samples=32)
    shots = {(s.club.name, s.technique): s for s in found.shots}
    pairs = [(s, shots["twin", t]) for (name, t), s in shots.items() if name == "sand wedge"]
    assert len(pairs) > 3
    for one, two in pairs:
        here, there = figures(one), figures(two)
        # Only the places differ, and the leader alone is marked as such.
        for name in ("rank", "tie"):
            here.pop(name), there.pop(name)
        assert here == there
        assert abs(one.rank - two.rank) == 1


def test_a_twin_of_the_leader_is_too_close_to_call(table: Coefficients, few: Bag, owning: Owning) -> None:
    chips = put_all(Situation(), owning("chip"))
    club = advise(chips, few, table, samples=32).shots[0].club.name
    first, second, *_ = advise(chips, twice(few, club), table, samples=32).shots
    assert {first.club.name, second.club.name} == {club, "twin"}
    assert second.behind_best == second.behind_best_error == 0.0
    # Zero is not below zero errors: ties are told by "at most".
    assert first.tie and second.tie


def test_paired_errors_are_those_of_the_differences() -> None:
    """Independent: numpy's standard deviation of the differences, over the root of their number."""
    values = np.random.default_rng(4).normal(size=(3, 50))
    mean, error = paired(values, values[1])
    np.testing.assert_allclose(mean, (values - values[1]).mean(axis=1))
    np.testing.assert_allclose(error, np.std(values - values[1], axis=1, ddof=1) / np.sqrt(50))
    assert mean[1] == error[1] == 0.0


def test_the_leader_is_behind_nobody(advice: Advice) -> None:
    leader = advice.shots[0]
    assert leader.rank == 1 and leader.behind_best == leader.behind_best_error == 0.0
    assert leader.tie == any(s.tie for s in advice.shots[1:])


def test_ranks_follow_the_strokes(advice: Advice) -> None:
    assert [s.rank for s in advice.shots] == list(range(1, len(advice.shots) + 1))
    strokes = [s.expected_strokes for s in advice.shots]
    assert strokes == sorted(strokes)
    for shot in advice.shots:
        assert shot.expected_strokes - strokes[0] == pytest.approx(shot.behind_best, abs=1e-12)
        assert shot.standard_error > 0.0
        assert shot.expected_strokes > 1.0


def test_ties_are_told_by_paired_errors(advice: Advice, table: Coefficients) -> None:
    """All up to the last one that is close: no better rank stands outside of the group of a worse one."""
    score = table.score
    ties = [s.tie for s in advice.shots]
    assert any(ties) and not all(ties)
    last = max(
        s.rank
        for s in advice.shots
        if s.behind_best <= max(score.tie_errors * s.behind_best_error, score.tie_strokes)
    )
    assert last > 1 and ties == [s.rank <= last for s in advice.shots]


@pytest.mark.parametrize(
    ("size", "first", "looks"),
    [(2, 32, [2]), (32, 32, [32]), (33, 32, [32, 33]), (400, 25, [25, 100, 400]), (90, 10, [10, 30, 90])],
)
def test_looks_grow_by_even_factors(size: int, first: int, looks: list[int]) -> None:
    """Independent: geometric series by hand."""
    assert looks_of(size, first, 3.5) == looks


def test_shots_clearly_behind_leave_early(advice: Advice, table: Coefficients) -> None:
    first = int(table.choose.first)
    assert advice.samples == 256 > first
    counts = {s.n for s in advice.shots}
    assert {first, 256} <= counts <= set(looks_of(256, first, table.choose.growth))
    for shot in advice.shots:
        assert shot.finishes.shape == (2, shot.n)
        if shot.n < 256:
            assert shot.behind_best > 0.0
    # The contenders were played out.
    assert all(s.n == 256 for s in advice.shots[:3])


def test_chances_add_up(advice: Advice) -> None:
    for shot in advice.shots:
        assert 0.0 <= shot.holed <= shot.down_in_two <= 1.0
        assert shot.down_in_two + shot.three_or_more == pytest.approx(1.0)
        one, two, three = shot.inside
        assert 0.0 <= shot.holed <= one <= two <= three <= 1.0
        assert all(0.0 < chance <= 1.0 for chance in shot.trouble.values())
        assert shot.half[0] <= shot.half[1]
        assert 0.0 <= shot.air_share <= 1.0


def test_a_shot_is_the_same_alone_and_in_the_bag(
    few: Bag, table: Coefficients, figures: Figures, owning: Owning
) -> None:
    # Aims chosen in one look: what else is in the bag then says nothing of how often a shot's aims are tried.
    table = sized(table, try_more=0.0)
    whole = advise(Situation(), few, table, samples=24)
    shared = {(s.club.name, s.technique): figures(s) for s in whole.shots}
    for name, technique in (("sand wedge", "pitch"), ("8-iron", "chip"), ("putter", "putt")):
        alone = advise(
            put_all(Situation(), owning(technique)), Bag(clubs=(few.find(name),)), table, samples=24
        )
        (shot,) = alone.shots
        mine, theirs = figures(shot), shared[name, technique]
        for key in ("rank", "tie", "behind_best", "behind_best_error"):
            mine.pop(key), theirs.pop(key)
        assert mine == pytest.approx(theirs, rel=1e-9, abs=1e-9)
        assert shot.rank == 1 and not shot.tie


@pytest.mark.parametrize(
    ("one", "two"), [("chip", "bump_and_run"), ("pitch", "low_check"), ("high_soft", "lob")]
)
def test_no_ranking_knows_a_techniques_name(
    one: str, two: str, few: Bag, table: Coefficients, figures: Figures
) -> None:
    """Two techniques that exchange their rows of the table exchange their places, and nothing else moves."""
    rows = table.technique | {one: table.technique[two], two: table.technique[one]}
    other = msgspec.structs.replace(table, technique=rows)
    swap = {one: two, two: one}
    before = advise(Situation(), few, table, samples=24).shots
    after = advise(Situation(), few, other, samples=24).shots
    assert [(s.club.name, s.technique) for s in after] == [
        (s.club.name, swap.get(s.technique, s.technique)) for s in before
    ]
    for was, now in zip(before, after, strict=True):
        assert figures(now) == pytest.approx(figures(was), rel=1e-9, abs=1e-9)


def test_more_samples_keep_the_order_of_clear_cases(few: Bag, table: Coefficients) -> None:
    table = sized(table, first=96.0)
    here = put_all(Situation(), {"lie.ground": "rough", "green.front": 8.0, "hole.distance": 12.0})
    small = advise(here, few, table, samples=96).shots
    large = {(s.club.name, s.technique): s for s in advise(here, few, table, samples=384).shots}
    clear = [s for s in small if s.behind_best > 4.0 * s.behind_best_error + 0.05]
    leader = large[small[0].club.name, small[0].technique]
    assert clear
    for shot in clear:
        later = large[shot.club.name, shot.technique]
        assert later.behind_best > leader.behind_best
        assert later.behind_best == pytest.approx(shot.behind_best, abs=6.0 * shot.behind_best_error)
    # And errors shrink as the root of the number: half at four times as many, for those played out.
    assert leader.standard_error == pytest.approx(0.5 * small[0].standard_error, rel=0.35)


@pytest.mark.parametrize("counts", ["down_in_two", "no_disaster"])
def test_what_counts_decides_the_order(counts: str, few: Bag, table: Coefficients) -> None:
    careful = put_all(Situation(), {"player.counts": counts, "player.level": "30"})
    shots = advise(careful, few, sized(table, first=64.0), samples=64).shots
    behind = [s.behind_best for s in shots]
    assert behind[0] == 0.0 and 0.0 < behind[-1] <= 1.0
    # A stroke weighs as much as a chance of 5 %.
    value = [s.behind_best + 0.05 * (s.expected_strokes - shots[0].expected_strokes) for s in shots]
    assert value == pytest.approx(sorted(value), abs=1e-9)
    if counts == "down_in_two":
        for shot in shots:
            assert shots[0].down_in_two - shot.down_in_two == pytest.approx(shot.behind_best)
    # The strokes told are strokes all the same.
    assert all(s.expected_strokes > 1.0 for s in shots)


@pytest.mark.parametrize("counts", ["down_in_two", "no_disaster"])
def test_of_shots_level_in_what_counts_the_one_with_fewer_strokes_leads(counts: str) -> None:
    """A tour player hardly ever needs four from a fairway: that alone leaves the order to luck."""
    rows = {f.name: np.full((3, 4), 0.1) for f in fields(Samples)}
    rows["strokes"] = np.array([[2.5] * 4, [2.3] * 4, [2.0] * 4])
    # The third is down in two 3 % less often, and needs four as much more often: half a stroke is less.
    rows["two"][2] -= 0.03
    rows["four"][2] += 0.03
    played = Samples(**rows)
    value, told = (of(counts).mean(axis=1) for of in (played.value, played.told))
    assert np.argsort(value).tolist() == [1, 0, 2]
    # What is told of the chance is the chance alone.
    assert told - told[0] == pytest.approx([0.0, 0.0, 0.03])


def test_the_same_seed_gives_the_same_answer(few: Bag, table: Coefficients, figures: Figures) -> None:
    def answer(seed: int) -> list[dict[str, float]]:
        return [figures(s) for s in advise(Situation(), few, table, samples=8, seed=seed).shots]

    assert answer(5) == answer(5)
    assert answer(5) != answer(6)


def test_progress_grows_to_one(few: Bag, table: Coefficients) -> None:
    told: list[float] = []
    advise(Situation(), few, table, samples=8, progress=told.append)
    assert told == sorted(told) and len(set(told)) == len(told) > 3
    assert told[0] == 0.0 and told[-1] == 1.0


def test_the_caller_can_stop_at_any_time(few: Bag, table: Coefficients) -> None:
    asked = 0

    def count() -> bool:
        nonlocal asked
        asked += 1
        return False

    advise(Situation(), few, table, samples=8, cancelled=count)
    assert asked > 3
    for last in (1, 2, asked):
        left = iter(range(last - 1))
        with pytest.raises(Cancelled):
            advise(Situation(), few, table, samples=8, cancelled=lambda left=left: next(left, None) is None)


@pytest.mark.parametrize("bad", [{"samples": 1}, {"samples": 100_001}, {"seed": -1}, {"seed": 2**63}])
def test_a_number_out_of_range_is_refused(bad: dict[str, int], few: Bag, table: Coefficients) -> None:
    with pytest.raises(ValueError, match=f"`{next(iter(bad))}`"):
        advise(Situation(), few, table, **bad)


def test_without_a_number_the_table_says_how_many(table: Coefficients, few: Bag, owning: Owning) -> None:
    chips = put_all(Situation(), owning("chip"))
    found = advise(chips, few, sized(table, samples=12.0))
    assert found.samples == 12 and {s.n for s in found.shots} == {12}


@pytest.mark.parametrize("place", [{}, {"green.front": 32.0, "hole.distance": 40.0, "lie.ground": "rough"}])
def test_a_better_player_needs_fewer_strokes(place: dict[str, Any], few: Bag, table: Coefficients) -> None:
    best = [
        advise(put_all(Situation(), place | {"player.level": level}), few, table, samples=128).shots[0]
        for level in ("tour", "10", "30")
    ]
    strokes = [s.expected_strokes for s in best]
    assert strokes == sorted(strokes) and strokes[2] - strokes[0] > 0.2
