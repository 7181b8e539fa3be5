"""What the tests of the advice share: the packaged table and bag, and an answer as comparable figures."""

import sys
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest

from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag

# Lets one test import the situations that another one draws.
sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def table() -> Coefficients:
    return coefficients.load()


@pytest.fixture(scope="session")
def brisk(table: Coefficients) -> Coefficients:
    """The table without looks at aims that are filled up, where those would only take time."""
    return msgspec.structs.replace(table, choose=msgspec.structs.replace(table.choose, try_balls=0.0))


@pytest.fixture(scope="session")
def small(table: Coefficients) -> Coefficients:
    """The table with few samples of everything beside the ranking, for what holds on any number of them."""
    choose = msgspec.structs.replace(
        table.choose, try_samples=4.0, try_more=8.0, try_balls=0.0, doubt_conditions=2.0,
        doubt_shots=2.0, doubt_samples=32.0,
    )  # fmt: skip
    escape = msgspec.structs.replace(table.escape, samples=16.0)
    return msgspec.structs.replace(table, choose=choose, escape=escape)


@pytest.fixture(scope="session")
def bag() -> Bag:
    return packaged_bag()


@pytest.fixture(scope="session")
def few(bag: Bag) -> Bag:
    """Four of the clubs, where the whole bag would only take time."""
    return Bag(clubs=tuple(bag.find(name) for name in ("putter", "sand wedge", "gap wedge", "8-iron")))


def figures_of(shot: Shot) -> dict[str, float]:
    """Every number that a shot tells, by name; samples and path by their sums."""
    out: dict[str, float] = {}
    for field in fields(shot):
        value = getattr(shot, field.name)
        if field.name == "trouble":
            out |= {f"trouble.{name}": chance for name, chance in value.items()}
        elif field.name == "finishes":
            out |= {"finishes.x": value[0].sum(), "finishes.y": value[1].sum()}
        elif field.name == "left":
            out["left"] = value.sum()
        elif field.name == "track":
            out |= {"track.time": value.time[-1], "track.x": value.position[0, -1]}
        elif isinstance(value, tuple):
            out |= {f"{field.name}.{k}": v for k, v in enumerate(value) if isinstance(v, (int, float))}
        elif field.name == "misses":
            out |= {f"misses.{miss.code}": miss.strokes for miss in value.found}
        elif isinstance(value, (bool, int, float, np.floating)):
            out[field.name] = value
    return out


@pytest.fixture(scope="session")
def figures() -> Callable[[Shot], dict[str, float]]:
    return figures_of


@pytest.fixture(scope="session")
def names() -> Callable[[Advice], list[tuple[str, str]]]:
    """Club and technique of the shots in the order of their ranks."""

    def of(advice: Advice) -> list[tuple[str, str]]:
        return [(shot.club.name, shot.technique) for shot in advice.shots]

    return of


@pytest.fixture(scope="session")
def owning() -> Callable[..., dict[str, Any]]:
    """Paths and values of a player who owns only the techniques named."""
    from shortgame_gui.model.player import TECHNIQUES

    def of(*owned: str) -> dict[str, Any]:
        return {f"player.techniques.{t}": "yes" if t in owned else "no" for t in TECHNIQUES}

    return of
