"""What a file may look like and still mean the same, what is written, and how versions go up."""

import json
import os
import stat
from pathlib import Path

import pytest

from shortgame_gui import assets
from shortgame_gui.model.club import Bag
from shortgame_gui.model.ground import Air, Band, Green, Ground, Hole, ProfilePoint
from shortgame_gui.model.leaves import put
from shortgame_gui.model.lie import Lie, Stance
from shortgame_gui.model.situation import Situation
from shortgame_gui.store import documents, files
from shortgame_gui.store.documents import (
    DocumentError,
    packaged_bag,
    read_bag,
    read_situation,
    to_text,
    upgraded,
    write_bag,
    write_situation,
)
from shortgame_gui.units import DEGREE

THIRTY = Situation(
    name="Thirty yards",
    hole=Hole(distance=27.432),
    green=Green(front=22.86, depth=18.288, speed=3.048, slope_along=0.02),
    stance=Stance(slope_along=0.105104235265676),  # tan 6 deg
    air=Air(temperature=20.0, wind_along=-5.36448),
    lie=Lie(ground="rough", sits="half_down"),
)

SAME = [
    """{"name": "Thirty yards", "hole": {"distance": 27.432},
        "green": {"front": 22.86, "depth": 18.288, "speed": 3.048, "slope_along": 0.02},
        "stance": {"slope_along": 0.105104235}, "air": {"wind_along": -5.36448},
        "lie": {"ground": "rough", "sits": "half_down"}}""",
    """{"lie": {"sits": "half_down", "ground": "rough", "wet": false, "rough_depth": "60 mm"},
        "air": {"temperature": "68 F", "wind_along": "-12 mph", "wind_across": -0.0, "gust": -0},
        "stance": {"slope_along": "6 deg", "slope_across": "0 %"},
        "green": {"slope_along": "2%", "speed": "10 ft", "depth": "20 yd", "front": "25 yd",
            "slope_across": 0e5},
        "hole": {"distance": "30 yd"}, "version": 1, "ground": {"bands": [], "profile": []},
        "name": "Thirty yards", "player": {"techniques": {}}}""",
    """{"name": "Thirty\\u0020yards", "hole": {"distance": "90 ft"},
        "green": {"front": 2286e-2, "depth": "7.2e2in", "speed": " 120 in ", "slope_along": 20.0E-3},
        "stance": {"slope_along": 0.10510423526567647}, "air": {"wind_along": "-5.36448 m/s"},
        "lie": {"ground": "rough", "sits": "half_down", "firmness": "85 g"}}""",
]


@pytest.mark.parametrize("text", SAME)
def test_ways_of_writing_make_no_difference(text: str) -> None:
    read = read_situation(text.encode())
    assert read == THIRTY
    assert hash(read) == hash(THIRTY)
    assert to_text(read) == to_text(THIRTY)


def test_a_byte_order_mark_and_line_ends_of_windows_are_accepted() -> None:
    data = b"\xef\xbb\xbf" + to_text(THIRTY).replace("\n", "\r\n").encode()
    assert read_situation(data) == THIRTY


def test_an_empty_object_is_the_default_situation() -> None:
    assert read_situation(b"{}") == Situation()


def test_every_field_is_written_in_the_order_of_the_model_and_in_the_unit_of_files() -> None:
    tree = json.loads(to_text(THIRTY))
    assert list(tree) == list(Situation.__struct_fields__)
    assert list(tree["green"]) == list(Green.__struct_fields__)
    assert tree["green"]["speed"] == "10 ft"
    assert tree["green"]["slope_along"] == "2 %"
    assert tree["stance"] == {"slope_along": "6 deg", "slope_across": "0 deg", "backswing": "free"}
    assert tree["air"]["temperature"] == "20 C"
    assert tree["lie"]["rough_depth"] == "6 cm"
    assert tree["hole"]["distance"] == 27.432
    assert tree["lie"]["firmness"] == 85


def test_a_number_that_its_unit_cannot_give_exactly_is_written_in_si() -> None:
    tree = json.loads(to_text(put(THIRTY, "stance.slope_along", 0.1)))
    assert tree["stance"]["slope_along"] == 0.1
    assert json.loads(to_text(put(THIRTY, "green.speed", 3.0)))["green"]["speed"] == 3


def test_text_beyond_ascii_is_written_as_it_is(tmp_path: Path) -> None:
    spoken = put(THIRTY, "note", 'Grün, "weich"\n\t\u2028\U0001f3cc')
    write_situation(tmp_path / "a.json", spoken)
    assert "Grün" in (tmp_path / "a.json").read_text(encoding="utf-8")
    assert read_situation(tmp_path / "a.json") == spoken


def test_lists_are_written_and_read() -> None:
    made = put(THIRTY, "ground", Ground(
        profile=(ProfilePoint(at=0, height=0), ProfilePoint(at=9.5, height=-1.25)),
        bands=(Band(surface="sand", start=10, end=14, left=3),),
    ))  # fmt: skip
    assert read_situation(to_text(made).encode()) == made


# ---- versions


def test_an_older_version_goes_up_one_step_at_a_time() -> None:
    steps = {
        1: lambda tree: {**tree, "seen": [tree["version"]] if "version" in tree else ["none"]},
        2: lambda tree: {**tree, "seen": [*tree["seen"], tree["version"]]},
    }
    assert upgraded({"a": 1}, steps, newest=3) == {"a": 1, "seen": ["none", 2], "version": 3}
    assert upgraded({"version": 2, "seen": []}, steps, newest=3) == {"seen": [2], "version": 3}
    assert upgraded({"version": 3}, steps, newest=3) == {"version": 3}
    with pytest.raises(
        DocumentError, match="version: 4 comes from a newer program; this one reads up to version 3"
    ):
        upgraded({"version": 4}, steps, newest=3)


@pytest.mark.parametrize("kind", [Situation, Bag])
def test_there_is_a_step_from_every_older_version(kind: type) -> None:
    assert sorted(documents.UPGRADES[kind]) == list(range(1, documents.VERSION))


# ---- writing


def test_the_version_before_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    write_situation(path, THIRTY)
    assert os.listdir(tmp_path) == ["a.json"]
    write_situation(path, Situation())
    assert read_situation(path) == Situation()
    assert read_situation(tmp_path / "a.json~") == THIRTY
    write_situation(str(path), Situation())  # nothing new: the backup stays what it was
    assert read_situation(tmp_path / "a.json~") == THIRTY
    assert sorted(os.listdir(tmp_path)) == ["a.json", "a.json~"]


@pytest.mark.parametrize("failing", ["fsync", "replace"])
def test_a_failing_disk_leaves_the_file_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    path = tmp_path / "a.json"
    write_situation(path, THIRTY)

    def fail(*args: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(files.os, failing, fail)
        with pytest.raises(DocumentError, match=r"^the file cannot be written: No space left on device$"):
            write_situation(path, Situation())
    assert read_situation(path) == THIRTY
    assert os.listdir(tmp_path) == ["a.json"]


def test_a_program_killed_between_the_two_renamings_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.json"
    write_situation(path, THIRTY)
    rename, done = os.replace, []

    def once(*args: str) -> None:
        if done:
            raise KeyboardInterrupt
        done.append(args)
        rename(*args)

    with monkeypatch.context() as patch:
        patch.setattr(files.os, "replace", once)
        with pytest.raises(KeyboardInterrupt):
            write_situation(path, Situation())
    assert read_situation(path) == THIRTY
    assert read_situation(tmp_path / "a.json~") == THIRTY
    assert sorted(os.listdir(tmp_path)) == ["a.json", "a.json~"]


def test_writing_where_nothing_can_be_written_is_one_line(tmp_path: Path) -> None:
    for path in (tmp_path / "none" / "a.json", tmp_path, "a\x00b"):
        with pytest.raises(DocumentError, match=r"^the file cannot be written: ") as caught:
            write_bag(path, packaged_bag())
        assert str(caught.value).isprintable()


def test_rights_and_links_stay(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    path, link = tmp_path / "real" / "a.json", tmp_path / "link.json"
    write_situation(path, THIRTY)
    path.chmod(0o640)
    link.symlink_to(path)
    write_situation(link, Situation())
    assert link.is_symlink()
    assert read_situation(path) == Situation()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert stat.S_IMODE((tmp_path / "real" / "a.json~").stat().st_mode) == 0o640


# ---- the bag


def test_the_packaged_bag_is_in_the_form_of_the_writer() -> None:
    assert to_text(packaged_bag()) == assets.text("bag.json")


def test_the_packaged_bag_is_a_sensible_set_of_twelve(tmp_path: Path) -> None:
    bag = packaged_bag()
    assert len(bag.clubs) == 12
    lofts = [round(club.loft / DEGREE, 6) for club in bag.clubs]
    assert lofts == [3, 60, 56, 50, 46, 42, 38, 34, 30, 27, 24, 22]
    lengths = [club.length for club in bag.clubs[1:]]
    assert lengths == sorted(lengths)  # less loft, longer club
    assert [club.kind for club in bag.clubs] == ["putter", *["wedge"] * 4, *["iron"] * 6, "hybrid"]
    write_bag(tmp_path / "bag.json", bag)
    assert read_bag(tmp_path / "bag.json") == bag
