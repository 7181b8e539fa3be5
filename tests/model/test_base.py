"""However a struct is made, its fields are checked and its numbers have one form."""

import math

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shortgame_gui.model.base import Checked, FieldError, canonical
from shortgame_gui.model.club import Bag, Club
from shortgame_gui.model.fields import Field, fields_of
from shortgame_gui.model.ground import Air, Band, Green, Ground, Hole, ProfilePoint
from shortgame_gui.model.lie import Lie, Stance
from shortgame_gui.model.player import Player, Repertoire
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import DEGREE, FOOT

STRUCTS: list[type[Checked]] = [
    Situation, Lie, Stance, Ground, ProfilePoint, Band, Green, Hole, Air, Player, Repertoire, Bag, Club,
]  # fmt: skip
CLUB = {"name": "a", "kind": "iron", "loft": 0.6}
EXAMPLES: dict[type, dict[str, object]] = {
    ProfilePoint: {"at": 1.0, "height": 0.0},
    Band: {"surface": "sand", "start": 1.0, "end": 2.0},
    Club: CLUB,
    Bag: {"clubs": (Club(**CLUB),)},  # type: ignore[arg-type]
}
EVERY_FIELD = [
    pytest.param(cls, field, id=f"{cls.__name__}.{field.name}") for cls in STRUCTS for field in fields_of(cls)
]


def example(cls: type[Checked]) -> Checked:
    return cls(**EXAMPLES.get(cls, {}))


@pytest.mark.parametrize(("cls", "field"), EVERY_FIELD)
def test_every_field_refuses_what_it_cannot_be(cls: type[Checked], field: Field) -> None:
    bad: dict[str, list[object]] = {
        "number": [True, "1", None, math.nan, math.inf, -math.inf, 10**400, 1j],
        "whole": [True, 1.0, "1", 0, 2],
        "flag": [1, 0, "yes", None],
        "text": [1, None, b"a", "\ud800", "\x00", "a\x1b[31m"],
        "choice": ["", "none of them", None, 10, True],
        "struct": [None, {}, 3, Hole() if field.struct is not Hole else Lie()],
        "list": [None, 3, "ab", {}, (3,), [None], (Hole(),)],
    }
    sound = example(cls)
    values = bad[field.kind]
    if field.meta.ge is not None and field.meta.le is not None:
        width = field.meta.le - field.meta.ge + 1.0
        values = [*values, field.meta.ge - 1e-6 * width, field.meta.le + 1e-6 * width]
    if field.meta.max_length is not None:
        entry = sound.clubs[0] if isinstance(sound, Bag) else ProfilePoint(at=0.0, height=0.0)
        values = [*values, "a" * (field.meta.max_length + 1) if field.kind == "text" else (entry,) * 25]
    for value in values:
        with pytest.raises(FieldError) as made:
            cls(**{**EXAMPLES.get(cls, {}), field.name: value})
        assert made.value.field.startswith(field.name)
        assert "\n" not in str(made.value)
        with pytest.raises(FieldError):
            msgspec.structs.replace(sound, **{field.name: value})


@pytest.mark.parametrize(("cls", "field"), EVERY_FIELD)
def test_the_ends_of_a_range_are_in_it_however_they_come(cls: type[Checked], field: Field) -> None:
    if field.kind != "number":
        assert field.meta.extra is None
        return
    rest = {name: value for name, value in EXAMPLES.get(cls, {}).items() if name != field.name}
    if cls is Band:
        rest |= {"start": -20.0} if field.name == "end" else {"end": 150.0}
    for end in (field.meta.ge, field.meta.le):
        if (cls, field.name, end) in (
            (Band, "start", 150.0), (Band, "end", -20.0), (Band, "left", -60.0), (Band, "right", -60.0)
        ):  # fmt: skip
            continue  # leaves the band no size
        tree = {**rest, field.name: end}
        made = cls(**tree)
        assert getattr(made, field.name) == end
        assert msgspec.convert(tree, cls) == made
        assert msgspec.json.decode(msgspec.json.encode(tree), type=cls) == made


@pytest.mark.parametrize("degrees", [1, 45.5, 70])
def test_a_whole_number_of_degrees_is_in_range_before_and_after_rounding(degrees: float) -> None:
    # 70 deg is 1.22173047639603 rad: the bound is rounded outward, so both it and its rounding are in range.
    club = msgspec.convert({**CLUB, "loft": degrees * DEGREE}, Club)
    assert club == Club(name="a", kind="iron", loft=degrees * DEGREE)
    assert msgspec.structs.replace(club, lie_angle=75.0 * DEGREE).lie_angle == canonical(75.0 * DEGREE)


@given(value=st.floats(-1e6, 1e6))
def test_the_one_form_of_a_number(value: float) -> None:
    kept = canonical(value)
    assert abs(kept - value) <= 0.5e-9 + 1e-10  # half the last decimal, and what floats lose near a million
    assert canonical(kept) == kept
    assert math.copysign(1.0, canonical(-0.0)) == 1.0


def same(one: Checked, other: Checked) -> bool:
    return one == other and hash(one) == hash(other)


def test_ways_of_writing_a_number_make_no_difference() -> None:
    plain = Situation(green=Green(speed=10 * FOOT, slope_along=0.02), hole=Hole(distance=18.0))
    assert same(plain, Situation(green=Green(speed=3.048, slope_along=2e-2), hole=Hole(distance=18)))
    assert same(plain, Situation(green=Green(speed=np.float64(3.048), slope_along=0.02 + 1e-13)))
    assert same(Stance(slope_along=-0.0), Stance())
    assert same(Hole(distance=np.int64(18)), Hole(distance=np.float32(18.0)))
    assert type(Hole(distance=18).distance) is float
    assert type(Hole(distance=np.float64(18.0)).distance) is float
    assert plain != Situation(green=Green(speed=10 * FOOT, slope_along=0.02 + 1e-8))


def test_a_list_is_taken_for_a_tuple() -> None:
    band = Band(surface="sand", start=3.0, end=5.0)
    ground = Ground(bands=[band])  # type: ignore[arg-type]
    assert same(ground, Ground(bands=(band,)))


def test_structs_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        Hole().distance = 3.0  # type: ignore[misc]


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: Situation(hole=Hole(distance=5.0)), "hole.distance"),
        (lambda: Situation(hole=Hole(distance=31.0)), "hole.distance"),
        (lambda: Band(surface="sand", start=3.0, end=3.0), "end"),
        (lambda: Band(surface="sand", start=3.0, end=5.0, left=2.0, right=-2.0), "right"),
        (lambda: Ground(profile=tuple(ProfilePoint(at=a, height=0.0) for a in (0, 2, 1))), "profile[2].at"),
        (lambda: Player(wedge_carry=10.0), "wedge_carry"),
        (lambda: Club(name=" ", kind="iron", loft=0.6), "name"),
        (lambda: Bag(clubs=()), "clubs"),
        (lambda: Bag(clubs=tuple(Club(name=n, kind="iron", loft=0.6) for n in "abA")), "clubs[2].name"),
    ],
)  # fmt: skip
def test_rules_between_fields_name_a_field(make, field: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(FieldError) as caught:
        make()
    assert caught.value.field == field


def test_what_just_holds_is_allowed() -> None:
    # 0.1 + 4.2 and 0.15 - 0.1 are off by one in the last place of a float.
    assert Situation(green=Green(front=0.1, depth=4.2), hole=Hole(distance=4.3)).hole.distance == 4.3
    assert len(Ground(profile=tuple(ProfilePoint(at=a, height=0.0) for a in (0.1, 0.15))).profile) == 2


def test_a_decoder_reports_the_same_sentence_with_the_path() -> None:
    with pytest.raises(msgspec.ValidationError, match=r"`wedge_carry` must be 0 or at least 20.*\$\.player"):
        msgspec.json.decode(b'{"player": {"wedge_carry": 5}}', type=Situation)


def test_a_range_is_told_in_si_and_in_the_unit_of_files() -> None:
    with pytest.raises(FieldError, match=r"`distance` must be at most 110 \(m\)$"):
        Hole(distance=111)
    with pytest.raises(FieldError, match=r"`speed` must be at most 4.8768 \(m\), that is 16 ft$"):
        Green(speed=5)
    with pytest.raises(FieldError, match=r"`slope_along` must be at least -0.45, that is -24.23 deg$"):
        Stance(slope_along=-1)


def test_a_club_is_found_by_name() -> None:
    bag = Bag(clubs=(Club(name=" Sand wedge", kind="wedge", loft=0.9), Club(name="9", kind="iron", loft=0.7)))
    assert bag.find("sand WEDGE ").loft == 0.9
    with pytest.raises(KeyError, match="Sand wedge, 9"):
        bag.find("driver")
