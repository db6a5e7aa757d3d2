#!/usr/bin/env python3
"""Runs HiGHS beside `doorwright place` on one raw instance and prints both, with the ratio of their costs.

Outside the test command: it needs HiGHS from the Python package index.

    python3 -m venv venv && venv/bin/pip install highspy numpy
    cargo build --release -p doorwright
    venv/bin/python scripts/compare_highs.py FILE [--seconds 60] [--tool target/release/doorwright]

The mixed-integer programme is that of the estate instances (rooms, controllers, spare ports, cable lengths) or of
single-source capacitated facility location, whichever the file holds.
"""

import argparse
import gzip
import json
import subprocess
import time

import highspy


def text(path):
    """The file's text, unpacked where it begins as a gzip file does."""
    data = open(path, "rb").read()
    return (gzip.decompress(data) if data[:2] == b"\x1f\x8b" else data).decode()


def length(estate, opening, room):
    """Cable length between an opening and a room, by the length rule of the instances, in decimetres."""
    rules = estate["rules"]
    ends = rules["drop_door_dm"] + rules["drop_room_dm"]
    level = rules["level_dm"]

    def apart(a, b):
        return abs(a[0] - b[0]) + abs(a[1] - b[1])

    here, there = (opening["x"], opening["y"]), (room["x"], room["y"])
    down = estate["buildings"][room["b"]]["riser"]
    if opening["b"] == -1:
        return ends + apart(here, down) + level * room["l"] + apart(down, there)
    up = estate["buildings"][opening["b"]]["riser"]
    if opening["b"] != room["b"]:
        climbs = level * (opening["l"] + room["l"])
        return ends + apart(here, up) + climbs + apart(up, down) + apart(down, there)
    if opening["l"] == room["l"]:
        return ends + apart(here, there)
    return ends + apart(here, down) + level * abs(opening["l"] - room["l"]) + apart(down, there)


def estate_programme(model, estate):
    """Constraints (1) to (5) of the estate instances, in cents."""
    rules, openings, rooms = estate["rules"], estate["openings"], estate["rooms"]
    kinds = estate["controllers"]
    serves = [[] for _ in openings]
    for j, room in enumerate(rooms):
        used = model.addBinary(obj=rules["room_fixed_cents"])
        counts = [model.addIntegral(lb=0, obj=kind["price_cents"]) for kind in kinds]
        ports, pairs = [], []
        for i, opening in enumerate(openings):
            run = length(estate, opening, room)
            if run > rules["max_dm"]:
                continue
            arc = model.addBinary(obj=rules["cable_cents_per_dm"] * run)
            model.addConstr(arc <= used)
            serves[i].append(arc)
            ports.append(opening["ports"] * arc)
            if opening["ports"] == 2:
                pairs.append(arc)
        model.addConstr(sum(counts) <= rules["room_controller_limit"] * used)
        offered = sum(100 * kind["ports"] * count for kind, count in zip(kinds, counts))
        if ports:
            model.addConstr(offered >= (100 + rules["spare_percent"]) * sum(ports))
        if pairs:
            model.addConstr(sum((kind["ports"] // 2) * count for kind, count in zip(kinds, counts)) >= sum(pairs))
    for arcs in serves:
        model.addConstr(sum(arcs) == 1)


def facility_programme(model, words):
    """Single-source capacitated facility location."""
    n_sites, n_customers = int(words[0]), int(words[1])
    values = [float(word) for word in words[2:]]
    demands = values[2 * n_sites : 2 * n_sites + n_customers]
    costs = values[2 * n_sites + n_customers :]
    serves = [[] for _ in range(n_customers)]
    for site in range(n_sites):
        capacity, fixed = values[2 * site], values[2 * site + 1]
        used = model.addBinary(obj=fixed)
        arcs = [model.addBinary(obj=costs[site * n_customers + it]) for it in range(n_customers)]
        model.addConstr(sum(demand * arc for demand, arc in zip(demands, arcs)) <= capacity * used)
        for customer, arc in enumerate(arcs):
            model.addConstr(arc <= used)
            serves[customer].append(arc)
    for arcs in serves:
        model.addConstr(sum(arcs) == 1)


def run_highs(content, seconds):
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("time_limit", seconds)
    if content.lstrip().startswith("{"):
        estate_programme(model, json.loads(content))
    else:
        facility_programme(model, content.split())
    began = time.perf_counter()
    model.minimize()
    info = model.getInfo()
    return info.objective_function_value, info.mip_dual_bound, time.perf_counter() - began


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("file")
    parser.add_argument("--seconds", type=float, default=60.0, help="time limit of HiGHS")
    parser.add_argument("--tool", default="target/release/doorwright", help="the built command")
    options = parser.parse_args()
    told = subprocess.run([options.tool, "place", "--json", options.file], capture_output=True, text=True, check=False)
    ours = json.loads(told.stdout)
    cost, bound, seconds = run_highs(text(options.file), options.seconds)
    print(f"{'':12}{'cost':>16}{'bound':>16}{'gap %':>8}{'seconds':>9}")
    for name, row in (
        ("doorwright", (ours["cost"], ours["bound"], ours["seconds"])),
        ("HiGHS", (cost, bound, seconds)),
    ):
        gap = 100 * (row[0] - row[1]) / abs(row[0]) if row[0] else 0.0
        print(f"{name:12}{row[0]:16.2f}{row[1]:16.2f}{gap:8.3f}{row[2]:9.2f}")
    print(f"cost of ours / cost of HiGHS: {ours['cost'] / cost:.5f}")


if __name__ == "__main__":
    main()
