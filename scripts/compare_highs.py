#!/usr/bin/env python3
"""Solves a placement file with the mixed-integer solver HiGHS and with `doorwright place`, and prints both.

For development only: outside the test command, outside the gate. Needs Python 3.9 or newer with highspy and numpy,
from PyPI, in an environment of their own:

    python3 -m venv venv && venv/bin/pip install highspy numpy
    cargo build --release -p doorwright
    venv/bin/python scripts/compare_highs.py --seconds 60 FILE...

FILE is an estate (JSON, estate-1) or a facility file (text), plain or packed with gzip. The models are written from the
definitions of the problems, without code of ours:

- estate: binaries x (opening served from room, within the longest cable) and y (room used), whole numbers z
  (controllers of a model in a room); every opening once; x <= y; controllers within the limits of the room; ports with
  spare ones; two ports on one controller. Exact for openings of one or two ports and controllers of 1, 2 and 4.
- facility: binaries x (customer served from site) and y (site open); every customer once; demand within capacity; x <= y.

HiGHS runs on one thread under the time limit, ours at its own effort without one. The ratio is our cost by theirs:
below 1, ours is cheaper.
"""

import argparse
import gzip
import json
import subprocess
import time
from pathlib import Path

import highspy
import numpy as np


def text(path):
    data = Path(path).read_bytes()
    return (gzip.decompress(data) if data[:2] == b"\x1f\x8b" else data).decode("utf-8-sig")


class Model:
    """Columns and rows of a mixed-integer programme, gathered and handed over at once."""

    def __init__(self):
        self.costs, self.uppers, self.rows = [], [], []

    def column(self, cost, upper=1):
        self.costs.append(float(cost))
        self.uppers.append(float(upper))
        return len(self.costs) - 1

    def row(self, low, high, terms):
        self.rows.append((low, high, terms))

    def solve(self, seconds):
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.rows)
        lp.col_cost_ = np.array(self.costs)
        lp.col_lower_ = np.zeros(len(self.costs))
        lp.col_upper_ = np.array(self.uppers)
        lp.row_lower_ = np.array([row[0] for row in self.rows], dtype=float)
        lp.row_upper_ = np.array([row[1] for row in self.rows], dtype=float)
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self.costs)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.cumsum([0] + [len(row[2]) for row in self.rows])
        lp.a_matrix_.index_ = np.array([column for row in self.rows for column, _ in row[2]])
        lp.a_matrix_.value_ = np.array([value for row in self.rows for _, value in row[2]], dtype=float)
        highs = highspy.Highs()
        highs.silent()
        highs.setOptionValue("threads", 1)
        highs.setOptionValue("time_limit", float(seconds))
        highs.setOptionValue("mip_rel_gap", 0.0)
        began = time.monotonic()
        highs.passModel(lp)
        highs.run()
        info = highs.getInfo()
        return info.objective_function_value, info.mip_dual_bound, time.monotonic() - began


def apart(a, b):
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def length(estate, opening, room):
    rules = estate["rules"]
    level = rules["level_dm"]
    ends = rules["drop_door_dm"] + rules["drop_room_dm"]
    here, there = (opening["x"], opening["y"]), (room["x"], room["y"])
    down = estate["buildings"][room["b"]]["riser"]
    if opening["b"] == -1:
        return ends + apart(here, down) + level * room["l"] + apart(down, there)
    if opening["b"] != room["b"]:
        up = estate["buildings"][opening["b"]]["riser"]
        return ends + apart(here, up) + level * (opening["l"] + room["l"]) + apart(up, down) + apart(down, there)
    if opening["l"] == room["l"]:
        return ends + apart(here, there)
    return ends + apart(here, down) + level * abs(opening["l"] - room["l"]) + apart(down, there)


def estate_model(estate):
    rules, model = estate["rules"], Model()
    limit, infinity = rules["room_controller_limit"], highspy.kHighsInf
    served = [[] for _ in estate["openings"]]
    for room in estate["rooms"]:
        y = model.column(rules["room_fixed_cents"])
        z = [(model.column(kind["price_cents"], limit), kind["ports"]) for kind in estate["controllers"]]
        ports, pairs = [], []
        for at, opening in enumerate(estate["openings"]):
            far = length(estate, opening, room)
            if far <= rules["max_dm"]:
                x = model.column(far * rules["cable_cents_per_dm"])
                served[at].append((x, 1))
                ports.append((x, -(100 + rules["spare_percent"]) * opening["ports"]))
                if opening["ports"] == 2:
                    pairs.append((x, -1))
                model.row(-infinity, 0, [(x, 1), (y, -1)])
        model.row(-infinity, 0, [(column, 1) for column, _ in z] + [(y, -limit)])
        model.row(0, infinity, [(column, 100 * n) for column, n in z] + ports)
        model.row(0, infinity, [(column, n // 2) for column, n in z if n > 1] + pairs)
    for terms in served:
        model.row(1, 1, terms)
    return model


def facility_model(words):
    n, m = int(words[0]), int(words[1])
    values = list(map(float, words[2:]))
    demands, costs, model = values[2 * n : 2 * n + m], values[2 * n + m :], Model()
    served = [[] for _ in range(m)]
    for site in range(n):
        capacity, fixed = values[2 * site : 2 * site + 2]
        y, load = model.column(fixed), []
        for customer in range(m):
            if demands[customer] <= capacity:
                x = model.column(costs[site * m + customer])
                served[customer].append((x, 1))
                load.append((x, demands[customer]))
                model.row(-highspy.kHighsInf, 0, [(x, 1), (y, -1)])
        model.row(-highspy.kHighsInf, 0, load + [(y, -capacity)])
    for terms in served:
        model.row(1, 1, terms)
    return model


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("files", nargs="+", metavar="FILE")
    parser.add_argument("--seconds", type=float, default=60, help="time limit of HiGHS (60)")
    parser.add_argument("--effort", default="thorough", help="effort of ours (thorough)")
    parser.add_argument("--doorwright", default="target/release/doorwright", help="the built program")
    arguments = parser.parse_args()
    print("| file | HiGHS cost | bound | gap % | seconds | our cost | bound | gap % | seconds | our cost / theirs |")
    print("|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|", flush=True)
    for path in arguments.files:
        content = text(path)
        model = estate_model(json.loads(content)) if content.lstrip().startswith("{") else facility_model(content.split())
        cost, bound, seconds = model.solve(arguments.seconds)
        command = [arguments.doorwright, "place", path, "--json", "--effort", arguments.effort]
        ours = json.loads(subprocess.run(command, stdout=subprocess.PIPE, check=True).stdout)
        found = cost < highspy.kHighsInf
        gap = f"{100 * (cost - bound) / cost:.3f}" if found else "-"
        ratio = f"{ours['cost'] / cost:.5f}" if found else "-"
        print(
            f"| {Path(path).name} | {cost:.2f} | {bound:.2f} | {gap} | {seconds:.1f} | {ours['cost']} | {ours['bound']} "
            f"| {100 * ours['gap']:.3f} | {ours['seconds']:.1f} | {ratio} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
