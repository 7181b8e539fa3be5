"""The ranking can be trusted: the best shot of a large run is among those too close to call in a default run.

The small part of `tests/bench/study_ranking.py`, which does it with the whole bag and 200 seeds.
"""

import msgspec
import pytest

from shortgame_gui import assets
from shortgame_gui.advice.advise import advise
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.store.documents import read_situation


@pytest.mark.parametrize("name", ["01-tight-lie-close-in", "06-thirty-yards-over-sand"])
def test_the_best_of_a_large_run_is_in_the_group(name: str, few: Bag, table: Coefficients) -> None:
    situation = read_situation(assets.demo_text(f"situations/{name}.json").encode())
    choose = msgspec.structs.replace(table.choose, try_samples=64.0, try_more=448.0, first=512.0)
    large = advise(situation, few, msgspec.structs.replace(table, choose=choose), samples=2000, seed=7)
    best = large.shots[0].club.name, large.shots[0].technique
    sizes, held = [], 0
    for seed in range(40, 60):
        shots = advise(situation, few, table, seed=seed).shots
        group = [(s.club.name, s.technique) for s in shots if s.tie or s.rank == 1]
        held += best in group
        # Without gaps from the leader on.
        assert group == [(s.club.name, s.technique) for s in shots[: len(group)]]
        sizes.append(len(group))
    assert held >= 19, "95 times in 100"
    assert sum(sizes) / len(sizes) <= 5.0
