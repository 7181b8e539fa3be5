"""Tables that line up, JSON with six digits, and a path that parses and ends at rest."""

import csv
import io
import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shortgame_gui.advice.advise import advise
from shortgame_gui.advice.result import Advice
from shortgame_gui.advice.trace import Traced, trace
from shortgame_gui.model.club import Bag
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.situation import Situation
from shortgame_gui.report.text import (
    DIGITS,
    advice_csv,
    advice_json,
    advice_table,
    columns,
    tidy,
    trace_csv,
    trace_text,
)
from shortgame_gui.store import coefficients
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.words.numbers import Style

TABLE = coefficients.load()
BAG = packaged_bag()
FEW = Bag(clubs=tuple(BAG.find(name) for name in ("putter", "sand wedge", "gap wedge", "8-iron")))


@pytest.fixture(scope="module")
def advice() -> Advice:
    situation = put_all(Situation(), {"surroundings.round": True, "player.techniques.lob": "no"})
    return advise(situation, FEW, TABLE, samples=16)


def traced(technique: str = "chip", **how: float) -> Traced:
    club = BAG.find("putter" if technique == "putt" else "sand wedge")
    return trace(Situation(), TABLE, club, technique, **how)


# JSON ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        (1.23456789, 1.23457), (123456789.0, 123457000.0), (0.000123456789, 0.000123457), (-2.0000004, -2.0),
        (np.float64(1.0) / 3.0, 0.333333), (float("nan"), None), (float("inf"), None), (True, True), (7, 7),
        ("text", "text"), (None, None), ((1.23456789, [2.3456789]), [1.23457, [2.34568]]),
        ({"a": {"b": 1.23456789}}, {"a": {"b": 1.23457}}),
    ],
)  # fmt: skip
def test_numbers_keep_six_digits(value: Any, kept: Any) -> None:
    assert DIGITS == 6
    assert tidy(value) == kept and type(tidy(value)) is type(kept)


def test_no_minus_zero_is_printed() -> None:
    assert str(tidy(-0.0)) == str(tidy(np.float64(-0.0))) == "0.0"


def test_every_number_of_the_json_has_six_digits_at_most(advice: Advice) -> None:
    def walk(value: Any) -> None:
        if isinstance(value, dict):
            for inner in value.values():
                walk(inner)
        elif isinstance(value, list):
            for inner in value:
                walk(inner)
        elif isinstance(value, float):
            assert float(f"{value:.6g}") == value and math.isfinite(value)

    text = advice_json(advice)
    assert "\n" not in text
    walk(json.loads(text))


def test_the_json_tells_the_advice(advice: Advice) -> None:
    found = json.loads(advice_json(advice))
    assert found["seed"] == advice.seed and found["samples"] == advice.samples == 16
    assert len(found["shots"]) == len(advice.shots)
    for told, shot in zip(found["shots"], advice.shots, strict=True):
        assert (told["club"], told["technique"], told["rank"]) == (shot.club.name, shot.technique, shot.rank)
        assert told["loft_deg"] == pytest.approx(math.degrees(shot.club.loft), rel=1e-5)
        assert told["launch_deg"] == pytest.approx(math.degrees(shot.launch), rel=1e-5)
        assert told["spin_rpm"] == pytest.approx(shot.spin * 60.0 / (2.0 * math.pi), rel=1e-5)
        assert told["head_speed_m_s"] == pytest.approx(shot.head_speed, rel=1e-5)
        assert told["inside_2m"] == pytest.approx(shot.inside[1], rel=1e-5)
    assert {r["technique"] for r in found["refused"] if r["reason"] == "not_owned"} == {"lob"}
    assert found["cautions"] == ["rule_4_3"] and len(found["cautions_text"]) == 1
    assert list(found["setup"]) == [code for code, _ in advice.setup.cues]
    assert [r["link"] for r in found["why"]] == [r.link for r in advice.why.reasons]


# Table ----------------------------------------------------------------------------


def test_columns_line_up() -> None:
    lines = columns([["name", "x"], ["a", "1.0"], ["longer name", "-12.5"]])
    assert lines == ["name             x", "a              1.0", "longer name  -12.5"]
    assert len({len(line) for line in lines}) == 1


@pytest.mark.parametrize("style", [Style(), Style(yards=False), Style(yards=False, decimal=",")])
def test_the_table_lines_up(style: Style, advice: Advice) -> None:
    text = advice_table(advice, style)
    lines = text.splitlines()
    head = next(k for k, line in enumerate(lines) if line.startswith("shot"))
    rows = lines[head : head + 1 + min(len(advice.shots), 12)]
    assert len({len(row) for row in rows}) == 1
    # Right-aligned columns end where their titles end.
    for title in ("strokes", "down in two", "n"):
        end = rows[0].rindex(title) + len(title)
        assert all(row[end - 1] != " " and row[end : end + 1] in ("", " ") for row in rows)
    for shot, row in zip(advice.shots, rows[1:], strict=False):
        assert style.strokes(shot.expected_strokes) in row and row.startswith("~ ") == shot.tie
    unit = " yd" if style.yards else " m"
    assert all(unit in row for row in rows[1:])


def test_what_is_behind_is_told_in_what_counts(advice: Advice) -> None:
    """Where it is a chance, the column says so."""
    careful = replace(advice, situation=put_all(advice.situation, {"player.counts": "down_in_two"}))
    second = advice.shots[1]
    for told, behind in (
        (advice, Style().strokes(second.behind_best)),
        (careful, Style().percent(second.behind_best)),
    ):
        lines = advice_table(told, Style()).splitlines()
        head = next(k for k, line in enumerate(lines) if line.startswith("shot"))
        end = lines[head].rindex("behind") + len("behind")
        assert lines[head + 2][:end].endswith(f" {behind}")
        assert lines[head + 1][end - len("behind") : end].isspace()


def test_the_table_holds_every_part(advice: Advice) -> None:
    lines = advice_table(advice, Style()).splitlines()
    assert lines[0] == advice.situation.name
    for title in ("Why this one", "Set-up", "Watch out", "Not offered"):
        assert title in lines
    assert f"  and {len(advice.shots) - 12} more" in lines
    assert all(line == line.rstrip() for line in lines if line != lines[0])


def test_a_table_without_a_shot_still_says_why() -> None:
    none = put_all(Situation(), {f"player.techniques.{t}": "no" for t in ("chip", "bump_and_run")})
    clubs = Bag(clubs=(BAG.find("hybrid"),))
    text = advice_table(advise(none, clubs, TABLE, samples=4, seed=1), Style())
    assert "No shot in this bag can be played here." in text and "Not offered" in text
    assert "not one of the player's shots" in text


# CSV ----------------------------------------------------------------------------


@pytest.mark.parametrize(("style", "yard", "ring"), [
    (Style(), 0.9144, 6 * 0.3048), (Style(yards=False, decimal=","), 1.0, 2.0),
])  # fmt: skip
def test_the_csv_has_units_in_its_headings_and_decimal_points(
    style: Style, yard: float, ring: float, advice: Advice
) -> None:
    unit, near = ("yd", "6 ft") if style.yards else ("m", "2 m")
    rows = list(csv.DictReader(io.StringIO(advice_csv(advice, style))))
    assert len(rows) == len(advice.shots)
    for row, shot in zip(rows, advice.shots, strict=True):
        assert (row["rank"], row["club"]) == (str(shot.rank), shot.club.name)
        assert float(row[f"run ({unit})"]) * yard == pytest.approx(shot.run, rel=1e-5, abs=1e-6)
        assert float(row[f"carry ({unit})"]) * yard == pytest.approx(shot.carry, rel=1e-5)
        assert (row[f"landing past the edge ({unit})"] == "") == (shot.landing_past_edge is None)
        far = np.hypot(shot.finishes[0] - advice.situation.hole.distance, shot.finishes[1])
        chance = float(((far <= ring) | (shot.left == 0.0)).mean())
        assert float(row[f"inside {near} (%)"]) == pytest.approx(100.0 * chance, rel=1e-5)
        assert float(row["strokes"]) == pytest.approx(shot.expected_strokes, rel=1e-5)
        assert row["too close to call"] == ("yes" if shot.tie else "no")
        assert all("," not in cell for cell in row.values())


# Trace ----------------------------------------------------------------------------


def rows_of(one: Traced) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(trace_csv(one))))


@pytest.mark.parametrize("technique", ["chip", "pitch", "lob", "putt"])
def test_the_path_parses_and_ends_at_rest(technique: str) -> None:
    one = traced(technique, finish=14.0)
    rows = rows_of(one)
    numbers = [[float(row[k]) for k in ("time_s", "x_m", "y_m", "z_m", "speed_m_s")] for row in rows]
    assert all(math.isfinite(x) for row in numbers for x in row)
    time, x, _, z, speed = np.array(numbers).T
    assert np.all(np.diff(time) >= 0.0) and time[0] == x[0] == z[0] == 0.0
    assert rows[0]["event"] == "launch" and rows[-1]["event"] == "at_rest"
    assert speed[0] == pytest.approx(float(np.linalg.norm(one.ball.velocity[:, 0])), rel=1e-5)
    assert speed[-1] == pytest.approx(0.0, abs=0.02) and speed.max() < 40.0
    assert x[-1] == pytest.approx(14.0, abs=0.1)
    assert x[-1] == pytest.approx(float(one.result.rest[0, 0]), abs=1e-4)
    bounces = [row for row in rows if row["event"] == "bounce"]
    assert len(bounces) == int(one.result.count[0])
    if technique != "putt":
        assert float(bounces[0]["x_m"]) == pytest.approx(float(one.result.landing[0, 0]), abs=1e-4)
        assert z.max() == pytest.approx(float(one.result.apex[0]), abs=0.05)
    assert all(row["event"] in ("", "launch", "bounce", "roll", "at_rest") for row in rows)


def links(text: str) -> dict[str, dict[str, float]]:
    """Each link of a printed trace with its figures."""
    found = {}
    for line in text.splitlines()[1:]:
        name, figures = line[:12].strip(), line[12:].split()
        if all("=" in figure for figure in figures):
            found[name] = {k: float(v) for k, v in (figure.split("=") for figure in figures)}
    return found


def test_the_trace_tells_link_by_link() -> None:
    one = traced("pitch", land=9.0)
    found = links(trace_text(one, Situation(), TABLE))
    names = [f"bounce {k + 1}" for k in range(int(one.result.count[0]))]
    assert list(found) == ["delivery", "strike", "landing", *names, "rolling", "rest"]
    assert found["landing"]["at_m"] == pytest.approx(9.0, abs=0.05)
    assert found["delivery"]["head_speed_m_s"] == pytest.approx(one.head_speed, rel=1e-4)
    assert 0.0 < found["delivery"]["at_the_ball_m_s"] <= found["delivery"]["head_speed_m_s"]
    # Each link takes over where the one before it ends.
    assert found["bounce 1"]["at_m"] == found["landing"]["at_m"]
    times = [found[name]["time_s"] for name in ("landing", *names, "rest")]
    assert times == sorted(times)
    places = [found[name]["at_m"] for name in names]
    assert found["rest"]["at_m"] >= found["rolling"]["from_m"] >= places[0]
    speed = [math.hypot(found[n]["forward_m_s"], found[n]["up_m_s"]) for n in names]
    assert speed == sorted(speed, reverse=True) and speed[0] < found["landing"]["speed_m_s"]
    assert found["landing"]["speed_m_s"] < found["strike"]["ball_speed_m_s"]


def test_a_putt_has_no_landing() -> None:
    found = links(trace_text(traced("putt", finish=8.0), Situation(), TABLE))
    assert list(found) == ["delivery", "strike", "rolling", "rest"]
    assert found["rest"]["at_m"] == pytest.approx(8.0, abs=0.1)


def test_a_shot_that_is_not_offered_says_so() -> None:
    refused = put_all(Situation(), {"lie.ground": "divot"})
    one = trace(refused, TABLE, BAG.find("sand wedge"), "lob", head_speed=12.0)
    first, second, *_ = trace_text(one, refused, TABLE).splitlines()
    assert first == "Sand wedge, lob" and second.startswith("not offered here: ")
    assert "not offered" not in trace_text(traced("chip", land=4.0), Situation(), TABLE)
