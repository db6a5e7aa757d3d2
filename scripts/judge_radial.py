#!/usr/bin/env python3
"""Records what an open network library says about random radial direct-current networks, for the tests of the power pass.

For development only: outside the test command, outside the gate. Needs Python 3.10 or newer with pandapower, from PyPI,
in an environment of its own:

    python3 -m venv venv && venv/bin/pip install pandapower
    venv/bin/python scripts/judge_radial.py

pandapower solves alternating-current networks by Newton's method on the full nodal matrix. Lines without reactance and
loads without reactive power leave v (v_from - v) / r = p at every node, which is the direct-current network; its loads
of constant power, current and impedance are ours. Networks that do not converge there are left out.

Writes `validation/judges/radial.csv`: network, node (from 1), the node it is fed from (0 is the source), ohm out and back, kind
and amount of the load (A, S, W), source and volts. The tests of `dw-engine/src/power/radial.rs` compare with it.
"""

import csv
import random
from pathlib import Path

import pandapower as pp

FILE = Path(__file__).resolve().parent.parent / "validation" / "judges" / "radial.csv"
NETWORKS, SEED = 60, 4


def network(draw):
    source = draw.choice([10.5, 12.0, 13.8, 21.0, 27.6])
    nodes = []
    # Chains collapse soonest and stars never meet: both, and what lies between.
    reach = draw.choice([1, 3, 1000])
    for number in range(1, draw.choice([1, 2, 5, 20, 60]) + 1):
        parent = 0 if number == 1 else draw.randint(max(0, number - reach), number - 1)
        amps = draw.choice([0.0, draw.uniform(0.01, 0.5)])
        kind = draw.choice(["current", "siemens", "power"])
        amount = {"current": amps, "siemens": amps / 12.0, "power": amps * 12.0}[kind]
        nodes.append((number, parent, round(draw.uniform(0.001, 0.6), 4), kind, round(amount, 5)))
    return source, nodes


def solve(source, nodes):
    net = pp.create_empty_network(sn_mva=1e-4)
    kilovolts = source / 1000.0
    buses = [pp.create_bus(net, vn_kv=kilovolts) for _ in range(len(nodes) + 1)]
    pp.create_ext_grid(net, buses[0])
    for number, parent, ohm, kind, amount in nodes:
        pp.create_line_from_parameters(net, buses[parent], buses[number], 1.0, ohm, 0.0, 0.0, 1.0)
        watts = {"current": amount * source, "siemens": amount * source**2, "power": amount}[kind]
        percent = {"current": {"const_i_p_percent": 100}, "siemens": {"const_z_p_percent": 100}, "power": {}}[kind]
        pp.create_load(net, buses[number], p_mw=watts * 1e-6, q_mvar=0.0, **percent)
    try:
        pp.runpp(net, tolerance_mva=1e-14, max_iteration=60, init="flat", numba=False, voltage_depend_loads=True)
    except pp.LoadflowNotConverged:
        return None
    return [net.res_bus.vm_pu[bus] * source for bus in buses[1:]]


def main():
    draw = random.Random(SEED)
    with FILE.open("w", newline="", encoding="utf-8") as file:
        file.write(f"# pandapower {pp.__version__} on random radial networks, seed {SEED}; scripts/judge_radial.py\n")
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["network", "node", "from", "ohm", "kind", "amount", "source", "volts"])
        kept = 0
        for _ in range(NETWORKS):
            source, nodes = network(draw)
            volts = solve(source, nodes)
            if volts is None or min(volts) < source / 2:
                continue
            kept += 1
            for node, volt in zip(nodes, volts):
                out.writerow([kept, *node, source, f"{volt:.9f}"])
    print(f"{kept} of {NETWORKS} networks")


if __name__ == "__main__":
    main()
