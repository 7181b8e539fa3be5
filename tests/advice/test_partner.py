"""Work that is shared: the answer is the same, whoever does which half, and whether anybody does."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pickle import dumps, loads
from typing import Any, TypeVar

import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.partner import WORTH, Partner
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation

T = TypeVar("T")
UNSURE = {"not_sure.green_speed": 0.3, "green.slope_across": 0.01}


@dataclass
class Copying:
    """A partner that is sent copies, as another process is, and comes to nothing every ``fails`` times."""

    fails: int = 0
    sent: list[bytes] = field(default_factory=list)

    def begin(self, work: Callable[[], T]) -> Callable[[], T | None] | None:
        self.sent.append(dumps(work))
        if self.fails and len(self.sent) % self.fails == 0:
            return lambda: None
        return lambda: loads(dumps(loads(self.sent[-1])()))


class Busy:
    def begin(self, work: Callable[[], T]) -> Callable[[], T | None] | None:
        return None


@pytest.fixture(scope="module")
def alone(few: Bag, table: Coefficients) -> Any:
    return advise(put_all(Situation(), UNSURE), few, table, samples=256)


@pytest.mark.parametrize("partner", [Copying(), Copying(fails=2), Busy()], ids=["willing", "failing", "busy"])
def test_the_answer_is_the_same_with_a_partner(
    partner: Partner, few: Bag, table: Coefficients, figures: Callable[[Any], dict[str, Any]], alone: Any
) -> None:
    shared = advise(put_all(Situation(), UNSURE), few, table, samples=256, partner=partner)
    assert len(shared.shots) == len(alone.shots)
    for mine, theirs in zip(shared.shots, alone.shots, strict=True):
        assert figures(mine) == pytest.approx(figures(theirs), rel=1e-9, abs=1e-9)
        assert mine.what_ifs == theirs.what_ifs
    assert shared.doubt == alone.doubt
    assert isinstance(partner, Busy) or len(partner.sent) > 3  # type: ignore[attr-defined]


def test_small_batches_are_not_sent(few: Bag, brisk: Coefficients) -> None:
    partner = Copying()
    advise(Situation(), Bag(clubs=few.clubs[:1]), brisk, samples=16, partner=partner)
    assert len(partner.sent) <= 1, (
        f"batches below {WORTH} balls stay here; what a swing a little off does goes"
    )
