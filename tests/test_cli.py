"""The command line: tables and JSON, traces, and bad input answered in one line."""

import csv
import io
import json
import math
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from shortgame_gui import assets, cli
from shortgame_gui.model.player import TECHNIQUES
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.store.documents import read_demo, write_situation

ROOT = Path(__file__).resolve().parents[1]
QUICK = ["--samples", "8"]

SHOT: dict[str, type | tuple[type, ...]] = {
    "rank": int, "club": str, "loft_deg": float, "technique": str, "swing": str, "head_speed_m_s": float,
    "ball_speed_m_s": float, "launch_deg": float, "spin_rpm": float, "carry_m": float,
    "landing_past_edge_m": (float, type(None)), "landing_angle_deg": float, "apex_m": float, "run_m": float,
    "air_share": float, "n": int, "expected_strokes": float, "standard_error": float, "behind_best": float,
    "behind_best_standard_error": float, "too_close_to_call": bool, "holed": float, "down_in_two": float,
    "three_or_more": float, "inside_1m": float, "inside_2m": float, "inside_3m": float, "trouble": dict,
}  # fmt: skip
WHOLE = {
    "situation": dict, "player": dict, "seed": int, "samples": int, "shots": list, "why": list, "setup": dict,
    "cautions": list,
}  # fmt: skip


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    """A situation with the green's edge before the ball and a few clubs' worth of techniques."""
    return write(tmp_path / "plain.json", {"name": "plain", "hole": {"distance": 14}})


@pytest.fixture
def bag(tmp_path: Path) -> Path:
    clubs = [
        {"name": "putter", "kind": "putter", "loft": "3 deg"},
        {"name": "wedge", "kind": "wedge", "loft": "56 deg"},
        {"name": "seven", "kind": "iron", "loft": "33 deg"},
    ]
    return write(tmp_path / "bag.json", {"clubs": clubs})


def write(path: Path, tree: Any) -> Path:
    path.write_text(tree if isinstance(tree, str) else json.dumps(tree), encoding="utf-8")
    return path


def told(capsys: pytest.CaptureFixture[str], *words: object) -> str:
    """What a command prints that must succeed, with nothing on standard error."""
    assert cli.main([str(w) for w in words]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def advised(capsys: pytest.CaptureFixture[str], *words: object) -> dict[str, Any]:
    text = told(capsys, "advise", *words, "--json")
    assert text.endswith("\n") and text.count("\n") == 1
    return json.loads(text)


def shell(*words: object, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "shortgame_gui", *(str(w) for w in words)]
    return subprocess.run(command, cwd=ROOT, env=os.environ | (env or {}), capture_output=True, check=False)


# Advise ----------------------------------------------------------------------------


def test_the_json_is_one_object_with_every_key(
    capsys: pytest.CaptureFixture[str], plain: Path, bag: Path
) -> None:
    found = advised(capsys, plain, "--bag", bag, "--samples", 160, "--seed", 7)
    for key, kind in WHOLE.items():
        assert isinstance(found[key], kind), key
    assert found["seed"] == 7 and found["situation"]["hole"]["distance"] == 14.0
    assert found["player"] == found["situation"]["player"]
    shots = found["shots"]
    assert found["samples"] == 160 == max(s["n"] for s in shots)
    for shot in shots:
        for key, kind in SHOT.items():
            assert isinstance(shot[key], kind), key
            assert not isinstance(shot[key], float) or math.isfinite(shot[key])
        assert shot["technique"] in TECHNIQUES and shot["club"] in ("putter", "wedge", "seven")
        for chance in ("holed", "down_in_two", "three_or_more", "inside_1m", "inside_2m", "inside_3m"):
            assert 0.0 <= shot[chance] <= 1.0
        assert all(0.0 < chance <= 1.0 for chance in shot["trouble"].values())
        assert shot["down_in_two"] + shot["three_or_more"] == pytest.approx(1.0, abs=1e-5)
        assert shot["holed"] <= shot["inside_1m"] <= shot["inside_2m"] <= shot["inside_3m"]
        assert (shot["landing_past_edge_m"] is None) == (shot["technique"] == "putt")
    assert any(s["technique"] == "putt" for s in shots)


def test_ranks_margins_and_ties_agree(capsys: pytest.CaptureFixture[str], plain: Path, bag: Path) -> None:
    shots = advised(capsys, plain, "--bag", bag, "--samples", 160)["shots"]
    leader, *others = shots
    assert [s["rank"] for s in shots] == list(range(1, len(shots) + 1))
    strokes = [s["expected_strokes"] for s in shots]
    assert strokes == sorted(strokes) and strokes[0] > 1.0
    assert leader["behind_best"] == leader["behind_best_standard_error"] == 0.0
    assert leader["too_close_to_call"] == any(s["too_close_to_call"] for s in others)
    for shot in others:
        assert shot["behind_best"] == pytest.approx(shot["expected_strokes"] - strokes[0], abs=2e-5)
        assert shot["behind_best_standard_error"] >= 0.0


def test_without_an_edge_to_carry_there_is_none(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, bag: Path
) -> None:
    path = write(
        tmp_path / "on.json", {"green": {"front": 0}, "hole": {"distance": 9}, "lie": {"ground": "fringe"}}
    )
    shots = advised(capsys, path, "--bag", bag, *QUICK)["shots"]
    assert shots and all(s["landing_past_edge_m"] is None for s in shots)
    assert "-" in told(capsys, "advise", path, "--bag", bag, *QUICK).splitlines()[4].split()


def test_the_table_is_readable(capsys: pytest.CaptureFixture[str], plain: Path, bag: Path) -> None:
    yards = told(capsys, "advise", plain, "--bag", bag, *QUICK)
    metres = told(capsys, "advise", plain, "--bag", bag, *QUICK, "--metres")
    assert yards.splitlines()[0] == metres.splitlines()[0] == "plain"
    assert " yd" in yards and " yd" not in metres and " m " in metres
    for title in ("shot", "Why this one", "Set-up", "Not offered"):
        assert re.search(rf"^{title}", yards, re.MULTILINE)
    assert "{" not in yards


def test_the_level_can_be_given(capsys: pytest.CaptureFixture[str], plain: Path, bag: Path) -> None:
    by_level = {
        level: advised(capsys, plain, "--bag", bag, "--player", level, "--samples", 32)
        for level in ("tour", "30")
    }
    assert {level: found["player"]["level"] for level, found in by_level.items()} == {
        "tour": "tour",
        "30": "30",
    }
    tour, thirty = (found["shots"][0]["expected_strokes"] for found in by_level.values())
    assert tour < thirty


def test_units_of_the_file_make_no_difference(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, bag: Path
) -> None:
    metres = write(tmp_path / "m.json", {"hole": {"distance": 9.144}, "green": {"front": 2.7432}})
    yards = write(tmp_path / "yd.json", {"green": {"front": "3 yd"}, "hole": {"distance": "10 yd"}})
    assert advised(capsys, metres, "--bag", bag, *QUICK) == advised(capsys, yards, "--bag", bag, *QUICK)


@pytest.mark.parametrize("name", [n for n in assets.demo_files(".json") if n.startswith("situations/")][:2])
def test_the_demo_is_advised(name: str, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    found = advised(capsys, write(tmp_path / "demo.json", assets.demo_text(name)), *QUICK)
    assert len(found["shots"]) > 5 and found["why_text"] and found["setup_text"]


def test_a_survey_is_read_beside_its_situation(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, bag: Path
) -> None:
    path = tmp_path / "surveyed.json"
    write_situation(path, read_demo("situations/14-surveyed-green.json"))
    assert len(advised(capsys, path, "--bag", bag, *QUICK)["shots"]) > 2
    # It lands on the raised green, whose height only the grid tells: some 1.5 m above the ball.
    shot = ["--bag", bag, "--club", "wedge", "--technique", "pitch", "--land", "24"]
    out = told(capsys, "trace", path, *shot)
    landing = next(line for line in out.splitlines() if line.strip().startswith("landing"))
    assert 1.2 < float(landing.split("height_m=")[1].split()[0]) < 1.8
    grid = tmp_path / "larch-hollow-14.asc"
    grid.write_text(grid.read_text().replace("cellsize 1.0", "cellsize one"))
    assert cli.main(["advise", str(path)]) == 2
    line = capsys.readouterr().err
    assert line.endswith("survey.file: larch-hollow-14.asc: line 5: cellsize must be a number, not one\n")
    grid.unlink()
    assert cli.main(["advise", str(path)]) == 2
    assert "survey.file: larch-hollow-14.asc cannot be read" in capsys.readouterr().err


def test_one_seed_gives_the_same_bytes_and_another_does_not(plain: Path, bag: Path) -> None:
    """In processes of their own with hashes seeded differently, so that no order hangs on a set or dict."""

    def run(seed: int, hashes: str) -> bytes:
        done = shell(
            "advise", plain, "--bag", bag, *QUICK, "--json", "--seed", seed, env={"PYTHONHASHSEED": hashes}
        )
        assert done.returncode == 0 and done.stderr == b""
        return done.stdout

    one = run(5, "1")
    assert run(5, "2") == one and run(6, "1") != one


# Trace ----------------------------------------------------------------------------


def links(text: str) -> dict[str, dict[str, float]]:
    found = {}
    for line in text.splitlines():
        figures = line[12:].split()
        if figures and all("=" in f for f in figures):
            found[line[:12].strip()] = {k: float(v) for k, v in (f.split("=") for f in figures)}
    return found


def test_a_trace_agrees_with_the_advised_shot(
    capsys: pytest.CaptureFixture[str], plain: Path, bag: Path
) -> None:
    shots = advised(capsys, plain, "--bag", bag, *QUICK)["shots"]
    chosen = [s for s in shots if s["technique"] in ("chip", "pitch", "putt")][:4]
    assert len(chosen) > 2
    for shot in chosen:
        how = ["--club", shot["club"], "--technique", shot["technique"]]
        found = links(
            told(capsys, "trace", plain, "--bag", bag, *how, "--head-speed", shot["head_speed_m_s"])
        )
        strike = found["strike"]
        assert strike["ball_speed_m_s"] == pytest.approx(shot["ball_speed_m_s"], rel=1e-3)
        assert strike["launch_deg"] == pytest.approx(shot["launch_deg"], abs=0.02)
        assert strike["backspin_rpm"] == pytest.approx(shot["spin_rpm"], rel=5e-3, abs=1.0)
        if shot["technique"] != "putt":
            assert found["landing"]["angle_deg"] == pytest.approx(shot["landing_angle_deg"], abs=0.05)
            assert found["landing"]["at_m"] == pytest.approx(shot["carry_m"], abs=0.02)
            assert found["landing"]["apex_m"] == pytest.approx(shot["apex_m"], abs=0.01)


@pytest.mark.parametrize(
    ("option", "value", "link"),
    [("--land", "5", "landing"), ("--land", "6yd", "landing"), ("--finish", "9.5", "rest")],
)
def test_a_landing_or_a_finish_is_met(
    option: str, value: str, link: str, capsys: pytest.CaptureFixture[str], plain: Path, bag: Path
) -> None:
    words = ["trace", plain, "--bag", bag, "--club", "Wedge", "--technique", "chip", option, value]
    wanted = 5.4864 if value == "6yd" else float(value)
    assert links(told(capsys, *words))[link]["at_m"] == pytest.approx(wanted, abs=0.1)


def test_the_path_is_printed_as_csv(capsys: pytest.CaptureFixture[str], plain: Path, bag: Path) -> None:
    words = ["trace", plain, "--bag", bag, "--club", "wedge", "--technique", "pitch", "--finish", "10"]
    rows = list(csv.DictReader(io.StringIO(told(capsys, *words, "--csv"))))
    assert list(rows[0]) == ["time_s", "x_m", "y_m", "z_m", "speed_m_s", "event"]
    assert rows[0]["event"] == "launch" and rows[-1]["event"] == "at_rest"
    assert float(rows[-1]["x_m"]) == pytest.approx(10.0, abs=0.1)
    assert float(rows[-1]["x_m"]) == pytest.approx(links(told(capsys, *words))["rest"]["at_m"], abs=1e-3)


def test_a_shot_that_is_not_offered_is_traced_with_a_note(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, bag: Path
) -> None:
    rough = write(tmp_path / "rough.json", {"lie": {"ground": "rough", "sits": "down"}})
    words = ["--bag", bag, "--technique", "low check", "--club", "wedge", "--head-speed", "25 mph"]
    text = told(capsys, "trace", rough, *words)
    assert "not offered here: " in text and links(text)["rest"]["at_m"] > 0.5
    assert links(text)["delivery"]["head_speed_m_s"] == pytest.approx(11.176, rel=1e-4)


# Bad input ----------------------------------------------------------------------------


def refused(capsys: pytest.CaptureFixture[str], *words: object) -> str:
    """The one line that a bad command prints on standard error; nothing else, and status 2."""
    try:
        status = cli.main([str(w) for w in words])
    except SystemExit as left:
        status = left.code  # type: ignore[assignment]
    out, err = capsys.readouterr()
    assert status == 2 and out == ""
    assert err.startswith("shortgame") and err.endswith("\n") and err.count("\n") == 1
    assert "Traceback" not in err
    return err


BAD_FILES = {
    "unknown key": ({"lies": {}}, "lies"),
    "unknown choice": ({"lie": {"ground": "moss"}}, "lie.ground"),
    "out of range": ({"green": {"speed": "40 ft"}}, "green.speed"),
    "wrong type": ({"hole": {"distance": [1]}}, "hole.distance"),
    "wrong unit": ({"hole": {"distance": "10 kg"}}, "hole.distance"),
    "truth for a number": ({"air": {"gust": True}}, "air.gust"),
    "hole off the green": ({"hole": {"distance": 60}}, "hole.distance"),
    "band upside down": (
        {"ground": {"bands": [{"surface": "sand", "start": 5, "end": 4}]}},
        "ground.bands[0].end",
    ),
    "obstacle upside down": (
        {"ground": {"obstacles": [{"at": 5, "low": 3, "high": 1}]}},
        "ground.obstacles[0].high",
    ),
    "obstacle without width": (
        {"ground": {"obstacles": [{"at": 5, "left": -3, "right": 1}]}},
        "ground.obstacles[0].right",
    ),
    "shape turned over": (
        {"ground": {"shapes": [{"kind": "tier", "at": 5, "height": -1}]}},
        "ground.shapes[0].height",
    ),
    "profile going back": (
        {"ground": {"profile": [{"at": 5, "height": 0}, {"at": 4, "height": 0}]}},
        "ground.profile[1].at",
    ),
    "lip out of range": ({"lie": {"lip_height": 9}}, "lie.lip_height"),
    "twice": ('{"hole": {"distance": 9, "distance": 10}}', "distance"),
    "not a number": ('{"hole": {"distance": NaN}}', "hole.distance"),
    "no JSON": ("hole: 9", "line 1"),
    "a list": ("[]", "object"),
    "empty": ("", "empty"),
}


@pytest.mark.parametrize("case", BAD_FILES)
def test_a_bad_file_is_told_in_one_line(
    case: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    tree, field = BAD_FILES[case]
    line = refused(capsys, "advise", write(tmp_path / "bad.json", tree))
    assert field in line and "bad.json" in line


def test_bytes_that_are_no_text(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "bad.json"
    path.write_bytes(b'{"name": "\xff"}')
    assert "UTF-8" in refused(capsys, "advise", path)


def test_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    for words in (("advise", tmp_path / "none.json"), ("advise", tmp_path), (tmp_path / "none.json",)):
        assert str(words[-1]) in refused(capsys, *words)


def test_a_bad_bag_is_named(capsys: pytest.CaptureFixture[str], tmp_path: Path, plain: Path) -> None:
    bag = write(tmp_path / "odd.json", {"clubs": [{"name": "x", "kind": "wedge", "loft": "90 deg"}]})
    line = refused(capsys, "advise", plain, "--bag", bag)
    assert "clubs[0].loft" in line and "odd.json" in line


BAD_WORDS = {
    "too few samples": (["--samples", "1"], "--samples"),
    "samples in letters": (["--samples", "many"], "--samples"),
    "negative seed": (["--seed", "-1"], "--seed"),
    "huge seed": (["--seed", str(2**63)], "--seed"),
    "unknown level": (["--player", "pro"], "--player"),
    "unknown option": (["--tees"], "--tees"),
    "too many words": (["more"], "more"),
}


@pytest.mark.parametrize("case", BAD_WORDS)
def test_a_bad_argument_of_advise(case: str, capsys: pytest.CaptureFixture[str], plain: Path) -> None:
    words, named = BAD_WORDS[case]
    assert named in refused(capsys, "advise", plain, *words)


CHIP = ["--club", "wedge", "--technique", "chip"]
BAD_TRACES = {
    "unknown club": (["--club", "driver", "--technique", "chip", "--land", "5"], "--club"),
    "no club": (["--technique", "chip", "--land", "5"], "--club"),
    "unknown technique": (["--club", "wedge", "--technique", "drive", "--land", "5"], "--technique"),
    "nothing to solve": (CHIP, "--land"),
    "two things to solve": ([*CHIP, "--land", "5", "--finish", "6"], "--finish"),
    "no number": ([*CHIP, "--land", "far"], "--land"),
    "wrong unit": ([*CHIP, "--land", "5 mph"], "--land"),
    "out of range": ([*CHIP, "--land", "900"], "--land"),
    "out of reach": ([*CHIP, "--land", "140"], "--land"),
    "too fast for the club": ([*CHIP, "--head-speed", "69"], "--head-speed"),
    "a putt that lands": (["--club", "putter", "--technique", "putt", "--land", "4"], "--land"),
}


@pytest.mark.parametrize("case", BAD_TRACES)
def test_a_bad_argument_of_trace(
    case: str, capsys: pytest.CaptureFixture[str], plain: Path, bag: Path
) -> None:
    words, named = BAD_TRACES[case]
    assert named in refused(capsys, "trace", plain, "--bag", bag, *words)


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["advise"], "file"),
        (["trace"], "file"),
        (["plain.json", "more"], "more"),
        (["--nothing"], "command"),
        (["picture", "x.json"], "--out"),
        (["report", "x.json"], "--out"),
        (["picture", "x.json", "--out", "x.png", "--size", "9x9"], "--size"),
    ],
)
def test_a_bad_command(words: list[str], named: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert named in refused(capsys, *words)


def test_help_is_given_without_an_error(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (
        ["--help"],
        ["advise", "--help"],
        ["trace", "--help"],
        ["report", "--help"],
        ["picture", "--help"],
    ):
        with pytest.raises(SystemExit) as left:
            cli.main(words)
        out, err = capsys.readouterr()
        assert left.value.code == 0 and "usage: shortgame" in out and err == ""


# What is printed ----------------------------------------------------------------------------


def test_the_shot_card_is_one_page_of_pdf(
    capsys: pytest.CaptureFixture[str], plain: Path, bag: Path, tmp_path: Path, qapp: Any
) -> None:
    out = tmp_path / "card.pdf"
    assert told(capsys, "report", plain, "--bag", bag, "--out", out, "--metres", "--player", "30") == ""
    made = out.read_bytes()
    assert made.startswith(b"%PDF-") and made.count(b"/Type /Page\n") == 1 and b"/FontFile" in made
    assert "--out" in refused(capsys, "report", plain, "--bag", bag, "--out", tmp_path / "none" / "card.pdf")
    said = refused(capsys, "report", plain, "--bag", bag, "--out", tmp_path / "card.docx")
    assert "card.docx must end in .pdf" in said and not (tmp_path / "card.docx").exists()


def test_a_picture_of_the_window_shows_the_bag_the_player_and_the_units_asked_for(
    plain: Path, bag: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qapp: Any
) -> None:
    from shortgame_gui.desktop import app

    seen: dict[str, Any] = {}
    monkeypatch.setattr(app, "picture", lambda *given, **more: seen.update(given=given, **more))
    words = ["picture", plain, "--out", tmp_path / "x.png", "--bag", bag, "--player", "30", "--metres"]
    assert cli.main([str(w) for w in words]) == 0
    situation, clubs = seen["given"][:2]
    assert situation.player.level == "30" and len(clubs.clubs) == 3 and seen["yards"] is False


# A process of its own ----------------------------------------------------------------------------


def test_a_bad_file_ends_a_process_with_status_2(tmp_path: Path) -> None:
    done = shell("advise", write(tmp_path / "bad.json", {"hole": {"distance": -1}}))
    assert done.returncode == 2 and done.stdout == b""
    assert done.stderr.count(b"\n") == 1 and b"hole.distance" in done.stderr


def test_a_reader_that_leaves_early_is_no_error(plain: Path, bag: Path) -> None:
    command = [sys.executable, "-m", "shortgame_gui", "advise", str(plain), "--bag", str(bag), *QUICK]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        assert run.stdout is not None and run.stderr is not None
        run.stdout.close()
        err = run.stderr.read()
    assert err == b"" and run.returncode == 0


def test_the_command_line_loads_no_qt() -> None:
    """Advice in the terminal must work where Qt's system libraries are missing."""
    code = (
        "import sys; import shortgame_gui.cli; "
        "print([m for m in sys.modules if m.split('.')[0] in ('PySide6', 'shiboken6', 'pyqtgraph')])"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_troubles_are_named_after_places_and_strikes(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, bag: Path
) -> None:
    from shortgame_gui.advice.delivery import MISHITS

    tricky = {
        "player": {"level": "30"}, "green": {"front": 6, "depth": 6}, "hole": {"distance": 9},
        "ground": {"bands": [{"surface": "water", "start": 2, "end": 5}]},
    }  # fmt: skip
    found = advised(capsys, write(tmp_path / "t.json", tricky), "--bag", bag, "--samples", 64)
    named = {name for shot in found["shots"] for name in shot["trouble"]}
    assert "water" in named
    assert named <= {*SURFACES, *MISHITS, "rolled_away", "lip", "obstacle"} - {"green", "clean"}


SIDES = ["--x", "slope", "--y", "green_speed", "--x-range", "-2%:2%:2", "--y-range", "9ft:11ft:2"]
BAD_MAPS = {
    "unknown axis": (["--x", "height", "--y", "wind", "--out", "m.csv"], "height"),
    "the same axis twice": (["--x", "wind", "--y", "wind", "--out", "m.csv"], "differ"),
    "no range": ([*SIDES, "--x-range", "1:2", "--out", "m.csv"], "from:to:steps"),
    "a range that goes down": ([*SIDES, "--y-range", "11ft:9ft:3", "--out", "m.csv"], "upwards"),
    "beyond what there is": ([*SIDES, "--y-range", "9ft:30ft:3", "--out", "m.csv"], "green"),
    "another kind of file": ([*SIDES, "--out", "m.txt"], "--out"),
    "nowhere to write": ([*SIDES, "--samples", "2", "--out", "none/m.csv"], "--out"),
}


@pytest.mark.parametrize("case", BAD_MAPS)
def test_a_bad_argument_of_map(case: str, capsys: pytest.CaptureFixture[str], plain: Path) -> None:
    words, named = BAD_MAPS[case]
    assert named in refused(capsys, "map", plain, *words)


def test_a_map_is_written_as_table_and_picture(tmp_path: Path, plain: Path) -> None:
    """Ranges that begin with a minus are no options; the same seed gives the same table."""
    out, again, drawn = tmp_path / "m.csv", tmp_path / "n.csv", tmp_path / "m.png"
    for where in (out, again, drawn):
        assert cli.main(["map", str(plain), *SIDES, "--samples", "4", "--out", str(where)]) == 0
    rows = out.read_text().splitlines()
    assert len(rows) == 5 and rows[0].startswith("slope_percent,green_speed_ft,club,technique")
    assert again.read_text() == out.read_text() and drawn.stat().st_size > 1000


def test_the_axes_of_the_command_line_are_those_of_the_map() -> None:
    from shortgame_gui.advice.axes import AXES

    assert tuple(AXES) == cli.AXIS_NAMES
