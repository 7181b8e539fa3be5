"""Leaves, and values got and put by their path."""

import msgspec
import pytest

from shortgame_gui.model.base import FieldError
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.ground import Band, Green, Hole, ProfilePoint
from shortgame_gui.model.leaves import get, leaves, put, put_all
from shortgame_gui.model.player import LEVELS
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import QUANTITIES, units_of

FOUND = {leaf.path: leaf for leaf in leaves(Situation)}
BAND = Band(surface="sand", start=3.0, end=5.0)


def test_the_leaves_are_those_of_the_plain_form() -> None:
    # msgspec's own conversion to plain data is the independent list of what a situation holds.
    def paths(tree: dict[str, object], before: str = "") -> list[str]:
        out: list[str] = []
        for key, value in tree.items():
            out += paths(value, f"{before}{key}.") if isinstance(value, dict) else [before + key]
        return out

    plain = paths(msgspec.to_builtins(Situation()))
    lists = {"ground.profile", "ground.bands", "ground.shapes", "ground.obstacles"}
    loaded = {"survey.grid"}
    assert [path for path in plain if path not in lists | loaded] == [
        p for p, leaf in FOUND.items() if not leaf.in_list
    ]
    assert {path for path, leaf in FOUND.items() if leaf.in_list} == {
        "ground.profile[].at", "ground.profile[].height", "ground.bands[].surface", "ground.bands[].start",
        "ground.bands[].end", "ground.bands[].left", "ground.bands[].right", "ground.shapes[].kind",
        "ground.shapes[].at", "ground.shapes[].length", "ground.shapes[].height", "ground.obstacles[].at",
        "ground.obstacles[].low", "ground.obstacles[].high", "ground.obstacles[].left",
        "ground.obstacles[].right",
    }  # fmt: skip


def test_defaults_are_those_of_a_fresh_situation() -> None:
    for path, leaf in FOUND.items():
        if not leaf.in_list:
            assert leaf.default == get(Situation(), path), path
    assert FOUND["ground.bands[].start"].default is msgspec.NODEFAULT
    assert FOUND["ground.bands[].left"].default == 40.0


@pytest.mark.parametrize("leaf", [*FOUND.values(), *leaves(Bag)], ids=lambda leaf: leaf.path)
def test_every_leaf_says_what_a_panel_must_know(leaf) -> None:  # type: ignore[no-untyped-def]
    assert leaf.title and leaf.description.endswith((".", ")"))
    if leaf.kind == "number":
        assert leaf.quantity in QUANTITIES
        assert leaf.low < leaf.high
        assert 0.0 < leaf.step <= (leaf.high - leaf.low) / 8.0
        assert leaf.file_unit == "" or leaf.file_unit in units_of(leaf.quantity)
    else:
        assert leaf.kind in ("flag", "text", "choice", "whole")
        assert (leaf.kind == "choice") == (len(leaf.choices) > 1)


def test_choices_come_in_the_order_of_the_model() -> None:
    assert FOUND["player.level"].choices == LEVELS


def test_get_and_put_one_value() -> None:
    start = Situation()
    moved = put(start, "lie.sits", "down")
    assert get(moved, "lie.sits") == "down"
    assert put(moved, "lie.sits", "clean") == start
    assert start == Situation()
    assert put(start, "name", "a").name == "a"
    assert get(put(start, "player.techniques.lob", "no"), "player.techniques").lob == "no"
    assert put(start, "hole", Hole(distance=20)) == put(start, "hole.distance", 20)


def test_get_and_put_entries_of_lists() -> None:
    two = put(Situation(), "ground.bands", (BAND, BAND))
    moved = put(two, "ground.bands[1].end", 6)
    assert [band.end for band in moved.ground.bands] == [5.0, 6.0]
    assert get(moved, "ground.bands[1].end") == 6.0
    assert get(moved, "ground.bands[0]") == BAND
    assert put(moved, "ground.bands[1]", BAND) == two


def test_several_values_are_judged_together() -> None:
    far = put_all(Situation(), {"hole.distance": 70.0, "green.front": 60.0})
    assert (far.hole.distance, far.green.front) == (70.0, 60.0)
    with pytest.raises(FieldError, match=r"`hole.distance` must lie on the green"):
        put(Situation(), "hole.distance", 70.0)
    two = put(Situation(), "ground.bands", (BAND, BAND))
    moved = put_all(
        two,
        {
            "ground.bands[0].start": 6,
            "ground.bands[0].end": 7,
            "ground.bands[1]": BAND,
            "ground.bands[1].end": 9,
        },
    )
    assert [(band.start, band.end) for band in moved.ground.bands] == [(6.0, 7.0), (3.0, 9.0)]
    assert put_all(two, {}) == two


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("lie.sits", "nowhere", "`lie.sits` must be one of up, clean"),
        ("lie", 3, "`lie` must be a Lie"),
        ("hole.distance", 1000, "`hole.distance` must be at most 110 (m)"),
        ("ground.bands[0].end", 1, "`ground.bands[0].end` must lie beyond `start`"),
        ("ground.bands[0].surface", "snow", "`ground.bands[0].surface` must be one of"),
        ("ground.bands[0]", Green(), "`ground.bands[0]` must be a Band"),
        (
            "ground.profile",
            [ProfilePoint(at=1, height=0)] * 2,
            "`ground.profile[1].at` must be at least 5 cm",
        ),
    ],
)
def test_a_value_that_cannot_stand_is_named_with_its_whole_path(path: str, value: object, says: str) -> None:
    start = put(Situation(), "ground.bands", (BAND,))
    with pytest.raises(FieldError) as caught:
        put(start, path, value)
    assert str(caught.value).startswith(says)


@pytest.mark.parametrize(
    "path",
    ["", "nothing", "lie.nothing", "lie.sits.more", "lie[0]", "ground.bands[1]", "ground.bands[].end",
     "lie..sits", "ground.bands[1].end", "ground.bands.end", "check", "__class__", "lie[0].sits"],
)  # fmt: skip
def test_a_path_that_leads_nowhere_is_refused(path: str) -> None:
    start = put(Situation(), "ground.bands", (BAND,))
    with pytest.raises(KeyError):
        get(start, path)
    with pytest.raises(KeyError):
        put(start, path, "up")


def test_a_bag_is_edited_the_same_way() -> None:
    bag = Bag(clubs=(Club(name="9-iron", kind="iron", loft=0.733),))
    assert put(bag, "clubs[0].groove_shots", 900).clubs[0].groove_shots == 900.0
