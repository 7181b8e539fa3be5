"""The advice and the trace as text, JSON and CSV; no Qt."""

from __future__ import annotations

import csv
import io
from dataclasses import asdict
from math import degrees
from typing import Any

import msgspec
import numpy as np

from shortgame_gui.advice.result import Advice, Shot
from shortgame_gui.advice.trace import Traced
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT, RPM, YARD
from shortgame_gui.words import text, watch
from shortgame_gui.words.language import _
from shortgame_gui.words.numbers import Style

DIGITS = 6
"""Digits of printed numbers, so that one machine always prints the same."""


def tidy(value: Any) -> Any:
    """``value`` with every number rounded to `DIGITS` significant digits, NaN as None."""
    if isinstance(value, dict):
        return {k: tidy(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [tidy(v) for v in value]
    if isinstance(value, (float, np.floating)):
        return None if not np.isfinite(value) else float(f"{float(value):.{DIGITS}g}") + 0.0
    return value


def shot_record(shot: Shot) -> dict[str, Any]:
    """One shot as the JSON object states it: units stand in the names."""
    return {
        "rank": shot.rank,
        "club": shot.club.name,
        "loft_deg": degrees(shot.club.loft),
        "technique": shot.technique,
        "swing": shot.swing,
        "head_speed_m_s": shot.head_speed,
        "aim_left_deg": degrees(shot.aim),
        "start_left_deg": degrees(shot.start),
        "finish_past_hole_m": shot.finish_aim[0],
        "finish_left_of_hole_m": shot.finish_aim[1],
        "ball_speed_m_s": shot.ball_speed,
        "launch_deg": degrees(shot.launch),
        "spin_rpm": shot.spin / RPM,
        "carry_m": shot.carry,
        "landing_past_edge_m": shot.landing_past_edge,
        "landing_angle_deg": degrees(shot.landing_angle),
        "apex_m": shot.apex,
        "run_m": shot.run,
        "air_share": shot.air_share,
        "n": shot.n,
        "expected_strokes": shot.expected_strokes,
        "standard_error": shot.standard_error,
        "behind_best": shot.behind_best,
        "behind_best_standard_error": shot.behind_best_error,
        "too_close_to_call": shot.tie,
        "holed": shot.holed,
        "down_in_two": shot.down_in_two,
        "three_or_more": shot.three_or_more,
        "inside_1m": shot.inside[0],
        "inside_2m": shot.inside[1],
        "inside_3m": shot.inside[2],
        "inside_3ft": shot.within(3.0 * FOOT),
        "inside_6ft": shot.within(6.0 * FOOT),
        "inside_10ft": shot.within(10.0 * FOOT),
        "trouble": shot.trouble,
        "cautions": list(shot.cautions),
        "miss_to_avoid": shot.misses.avoid,
        "miss_to_have": shot.misses.have,
        "misses": [asdict(miss) for miss in shot.misses.found],
        "a_little_off": [
            {
                "what": what.code,
                "finish_past_hole_m": what.finish[0],
                "finish_left_m": what.finish[1],
                "strokes_more": what.strokes,
                "standard_error": what.error,
            }
            for what in shot.what_ifs
        ],
    }


def _reasons(advice: Advice) -> list[dict[str, Any]]:
    """The largest differences between the two leading shots, each with their names and figures (SI)."""
    why = advice.why
    if why is None:
        return []
    shots = {"first_shot": text.shot_name(*why.first), "second_shot": text.shot_name(*why.second)}
    return [shots | asdict(reason) for reason in why.reasons]


def advice_record(advice: Advice) -> dict[str, Any]:
    """The whole advice as plain objects with units in the names."""
    situation = msgspec.to_builtins(advice.situation, enc_hook=lambda heights: None)
    del situation["survey"]["grid"]  # it is named; whoever wants the heights has the file
    return {
        "situation": situation,
        "player": msgspec.to_builtins(advice.situation.player),
        "seed": advice.seed,
        "samples": advice.samples,
        "shots": [shot_record(s) for s in advice.shots],
        "refused": [asdict(r) | {"text": text.refusal_text(r.reason)} for r in advice.refused],
        "why": _reasons(advice),
        "why_text": text.why_text(advice.why),
        "doubt": None if advice.doubt is None else asdict(advice.doubt),
        "doubt_text": text.doubt_text(advice),
        "escapes": [asdict(e) | {"setup": dict(e.setup.cues)} for e in advice.escapes],
        "escapes_text": text.escapes_text(advice),
        "setup": dict(advice.setup.cues),
        "aim_text": text.aim_text(advice.shots[0]) if advice.shots else "",
        "setup_text": text.setup_text(advice.shots[0] if advice.shots else None),
        "cautions": list(advice.cautions),
        "cautions_text": [text.caution_text(c) for c in advice.cautions],
    }


def advice_json(advice: Advice) -> str:
    """One JSON object on one line."""
    return msgspec.json.encode(tidy(advice_record(advice))).decode()


def columns(rows: list[list[str]]) -> list[str]:
    """Rows of cells as lines with aligned columns, the first column to the left."""
    widths = [max(len(r[k]) for r in rows) for k in range(len(rows[0]))]
    return [
        "  ".join(
            c.ljust(w) if k == 0 else c.rjust(w) for k, (c, w) in enumerate(zip(r, widths, strict=True))
        )
        for r in rows
    ]


def marked_name(shot: Shot, style: Style) -> str:
    """The name of a shot, marked where the lip often catches it."""
    name, lip = text.shot_name(shot.club.name, shot.technique), watch.lip_text(shot, style)
    return f"{name} ({lip})" if lip else name


def advice_table(advice: Advice, style: Style, most: int = 12) -> str:
    """The advice as a table to read: headline, ranked shots, why, set-up, cautions."""
    lines = [advice.situation.name, text.headline(advice, style), ""]
    near = style.rings[1]
    inside = _("inside {ring}").format(ring=style.short(near, 0))
    head = [
        _("shot"), _("lands"), _("runs"), inside, _("strokes"), _("behind"), _("down in two"), _("n"),
    ]  # fmt: skip
    leader, counts = advice.shots[0] if advice.shots else None, advice.situation.player.counts
    rows = [head]
    for shot in advice.shots[:most]:
        lands = "-" if shot.landing_past_edge is None else style.long(shot.landing_past_edge, 1)
        behind = text.behind_best_text(shot, counts, style).removeprefix("+") if shot.rank > 1 else ""
        rows.append(
            [
                ("~ " if shot.tie else "  ") + marked_name(shot, style),
                lands,
                style.long(shot.run, 1),
                style.percent(shot.within(near)),
                text.strokes_text(shot, style),
                behind,
                style.percent(shot.down_in_two),
                str(shot.n),
            ]
        )
    if advice.shots:
        lines += columns(rows)
        rest = len(advice.shots) - most
        if rest > 0:
            lines.append("  " + _("and {n} more").format(n=rest))
        if any(s.tie for s in advice.shots):
            lines.append("  ~ " + _("too close to call"))
    for title, body in (
        (text.why_title(advice), text.why_text(advice.why, style)),
        (_("Other ways out"), text.escapes_text(advice, style)),
        (_("Set-up for the best way out"), text.better_setup_text(advice, style)),
        (_("Not sure"), text.doubt_text(advice, style)),
        (_("Aim"), [text.aim_text(leader, style)] if leader else []),
        (text.setup_title(advice), text.setup_text(leader, style)),
        (_("Watch out"), watch.watch_text(advice, leader, style)),
        (_("A little off"), watch.off_text(leader, style) if leader else []),
    ):
        if body:
            lines += ["", title] + [f"  {line}" for line in body]
    if advice.refused:
        lines += ["", _("Not offered")]
        lines += [f"  {line}" for line in text.refused_text(advice)]
    return "\n".join(lines)


def advice_csv(advice: Advice, style: Style) -> str:
    """Every ranked shot as a line of comma-separated values, decimal points, units in the headings."""
    long, m = ("yd", YARD) if style.yards else ("m", 1.0)
    short, radius = ("ft", FOOT) if style.yards else ("m", 1.0)
    rings = [f"{ring / radius:.0f} {short}" for ring in style.rings]
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\n")
    sheet.writerow(
        [
            "rank", "club", "loft (deg)", "technique", "swing", "strokes", "standard error",
            "behind the best" if advice.situation.player.counts == "average" else "behind the best (share)",
            "standard error of it", "too close to call", f"carry ({long})",
            f"landing past the edge ({long})", f"run ({long})", *(f"inside {ring} (%)" for ring in rings),
            "holed (%)", "down in two (%)", "three or more (%)", "lip (%)", "balls played",
        ]
    )  # fmt: skip
    for shot in advice.shots:
        figures = [
            shot.carry / m,
            None if shot.landing_past_edge is None else shot.landing_past_edge / m,
            shot.run / m,
            *(100.0 * shot.within(ring) for ring in style.rings),
            100.0 * shot.holed,
            100.0 * shot.down_in_two,
            100.0 * shot.three_or_more,
            100.0 * shot.trouble.get("lip", 0.0),
        ]
        sheet.writerow(
            [
                shot.rank, shot.club.name, tidy(degrees(shot.club.loft)), text.TECHNIQUES[shot.technique],
                text.SWINGS[shot.swing], tidy(shot.expected_strokes), tidy(shot.standard_error),
                tidy(shot.behind_best), tidy(shot.behind_best_error), "yes" if shot.tie else "no",
                *tidy(figures), shot.n,
            ]
        )  # fmt: skip
    return out.getvalue()


def trace_text(traced: Traced, situation: Situation, table: Coefficients) -> str:
    """One shot link by link, SI with units."""
    ball, result = traced.ball, traced.result
    v, w = ball.velocity[:, 0], ball.spin[:, 0]
    lines = [f"{text.shot_name(traced.club.name, traced.technique)}"]
    if traced.refused:
        lines.append(f"not offered here: {text.refusal_text(traced.refused)}")

    def say(link: str, **figures: float) -> None:
        lines.append(f"{link:12s} " + "  ".join(f"{k}={float(f'{x:.6g}'):g}" for k, x in figures.items()))

    say(
        "delivery",
        head_speed_m_s=traced.head_speed,
        at_the_ball_m_s=float(ball.head_speed[0]),
        swing_share=traced.share,
        delivered_loft_deg=degrees(ball.loft[0]),
        attack_deg=degrees(ball.attack[0]),
        aim_left_deg=degrees(traced.aim),
    )
    say(
        "strike",
        ball_speed_m_s=float(np.sqrt((v**2).sum())),
        launch_deg=degrees(np.arctan2(v[2], np.hypot(v[0], v[1]))),
        left_deg=degrees(np.arctan2(v[1], v[0])),
        backspin_rpm=-w[1] / RPM,
        sidespin_rpm=w[2] / RPM,
    )
    if result.count[0]:
        down = result.landing_velocity[:, 0]
        say(
            "landing",
            at_m=result.landing[0, 0],
            left_m=result.landing[1, 0],
            height_m=result.landing[2, 0],
            time_s=result.landing_time[0],
            apex_m=result.apex[0],
            speed_m_s=float(np.sqrt((down**2).sum())),
            angle_deg=degrees(np.arctan2(-down[2], np.hypot(down[0], down[1]))),
            backspin_rpm=-result.landing_spin[1, 0] / RPM,
        )
    b = result.bounces
    for k in range(int(result.count[0]) if b is not None else 0):
        assert b is not None
        out = b.velocity_out[k][:, 0]
        say(
            f"bounce {k + 1}",
            at_m=b.position[k][0, 0],
            time_s=b.time[k][0],
            forward_m_s=out[0],
            up_m_s=out[2],
            backspin_rpm=-b.spin_out[k][1, 0] / RPM,
        )
    say(
        "rolling",
        from_m=result.roll_position[0, 0],
        left_m=result.roll_position[1, 0],
        speed_m_s=result.roll_speed[0],
    )
    say("rest", at_m=result.rest[0, 0], left_m=result.rest[1, 0], time_s=result.time[0])
    lines.append(f"{'ending':12s} {text.ENDINGS[traced.ending]}")
    return "\n".join(lines)


def trace_csv(traced: Traced) -> str:
    """Points of the path: time, place, speed and the event that happens there."""
    out = io.StringIO()
    sheet = csv.writer(out, lineterminator="\n")
    sheet.writerow(["time_s", "x_m", "y_m", "z_m", "speed_m_s", "event"])
    track = traced.track
    events = {0: "launch"} | dict.fromkeys(track.bounces, "bounce")
    events.setdefault(track.roll, "roll")
    events[len(track.time) - 1] = traced.ending
    for k, time in enumerate(track.time):
        row = [time, *track.position[:, k], track.speed[k]]
        sheet.writerow([f"{float(v):.{DIGITS}g}" for v in row] + [events.get(k, "")])
    return out.getvalue().rstrip("\n")
