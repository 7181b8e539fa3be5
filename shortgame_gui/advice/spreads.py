"""The random draws: how the player's execution and the turf scatter, the same for every candidate.

Common random numbers: draws depend on the seed, the quantity and the block of samples only, so that
options meet the same luck, and more samples or a new quantity reshuffle nothing.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, fields
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.truth import Truth
from shortgame_gui.physics.shot import MOST_BOUNCES

Array = npt.NDArray[np.float64]

#: What is drawn for each sample, in the order of its random streams.
QUANTITIES = (
    "speed", "loft", "attack", "face", "path", "low_point", "grass_speed", "grass_face",
    "read_speed", "read_slope", "wind_along", "wind_across", "side",
)  # fmt: skip
TURF_STREAM = 100
"""First stream of the turf's scatter, three a bounce."""
DOUBT_STREAM = 200
"""First stream of the conditions that the golfer is not sure of, in the order of `Truth`."""
CHOOSING = 1 << 20
"""First block of the samples that choose aims; reporting uses other samples."""
KNOWING = 1 << 21
"""First block of the samples that tell what doubt costs."""
ESCAPING = (1 << 21) + (1 << 20)
"""First block of the samples on which a ball is played out sideways or backwards."""


@dataclass(frozen=True)
class Draws:
    """Standard normal draws of n samples."""

    execution: dict[str, Array]
    """Quantity to (n,)."""
    turf: Array
    """(3, MOST_BOUNCES, n): liveliness, unevenness along and across."""
    doubt: dict[str, Array] = field(default_factory=dict)
    """What is not sure, by the names of `Truth`, to (n,)."""

    def take(self, start: int, end: int) -> Draws:
        """The samples from ``start`` to ``end``."""
        return Draws(
            {k: v[start:end] for k, v in self.execution.items()},
            self.turf[..., start:end],
            {k: v[start:end] for k, v in self.doubt.items()},
        )

    def and_still(self, count: int) -> Draws:
        """These samples and after them ``count`` that are not scattered."""
        none = np.zeros((*self.turf.shape[:2], count))
        return Draws(
            {k: np.concatenate([v, none[0, 0]]) for k, v in self.execution.items()},
            np.concatenate([self.turf, none], axis=-1),
            {k: np.concatenate([v, none[0, 0]]) for k, v in self.doubt.items()},
        )

    def tile(self, times: int) -> Draws:
        """The samples ``times`` over."""
        return Draws(
            {k: np.tile(v, times) for k, v in self.execution.items()},
            np.tile(self.turf, (1, 1, times)),
            {k: np.tile(v, times) for k, v in self.doubt.items()},
        )


@lru_cache(maxsize=512)
def _block(seed: int, stream: int, block: int, size: int) -> Array:
    generator = np.random.Generator(np.random.Philox(key=[seed, (stream << 32) + block]))
    return generator.standard_normal(size)


def draws(seed: int, n: int, block_size: int, first_block: int = 0, unsure: Collection[str] = ()) -> Draws:
    """Draws of n samples from ``first_block`` on; ``seed`` is any whole number from 0 to 2^63 - 1.

    ``unsure`` names the fields of `Truth` that are drawn as well.
    """
    blocks = range(first_block, first_block + -(-n // block_size))

    def stream(number: int) -> Array:
        return np.concatenate([_block(seed, number, b, block_size) for b in blocks])[:n]

    return Draws(
        {name: stream(k) for k, name in enumerate(QUANTITIES)},
        np.stack([[stream(TURF_STREAM + 3 * k + j) for k in range(MOST_BOUNCES)] for j in range(3)]),
        {f.name: stream(DOUBT_STREAM + k) for k, f in enumerate(fields(Truth)) if f.name in unsure},
    )


def still(n: int) -> Draws:
    """No scatter at all: n unperturbed samples."""
    return Draws({name: np.zeros(n) for name in QUANTITIES}, np.zeros((3, MOST_BOUNCES, n)))
