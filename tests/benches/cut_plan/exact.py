"""Solves the instances beside this file with an exact solver; prints one JSON list, last of all.

Peer of the bench "cut plan": HiGHS (MIT) through its own Python package.
Few lengths: every maximal pattern is a column of one whole-number programme, solved to its optimum.
Many lengths have more patterns than can be listed; of those the bound by material is told alone,
worked out here anew: a plan that takes no more reels is optimal.
"""

import importlib.metadata
import json
import math
import pathlib
import time

import highspy


def orders_of(instance):
    if "orders" in instance:
        return [tuple(order) for order in instance["orders"]]
    counts = {}
    for run in range(instance["runs"]):
        first = instance["first"] + run * instance["step"] % instance["span"]
        for wire in range(instance["wires"]):
            counts[first + wire] = counts.get(first + wire, 0) + 1
    return sorted(counts.items(), reverse=True)


def maximal_patterns(sizes, counts, room, most):
    """Every pattern to which no further piece can be added; None where there are more than `most`."""
    found = []

    def grow(at, left, made):
        if len(found) > most:
            return
        if at == len(sizes):
            if not any(n < c and s <= left for n, c, s in zip(made, counts, sizes)):
                found.append(tuple(made))
            return
        for taken in range(min(counts[at], left // sizes[at]), -1, -1):
            grow(at + 1, left - taken * sizes[at], made + [taken])

    grow(0, room, [])
    return found if len(found) <= most else None


def solve(patterns, counts):
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    # Reels are whole: a gap below one reel is closed.
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("mip_abs_gap", 0.999)
    inf = highspy.kHighsInf
    for count in counts:
        model.addRow(float(count), inf, 0, [], [])
    for pattern in patterns:
        rows = [at for at, n in enumerate(pattern) if n]
        model.addCol(1.0, 0.0, inf, len(rows), rows, [float(pattern[at]) for at in rows])
    for at in range(len(patterns)):
        model.changeColIntegrality(at, highspy.HighsVarType.kInteger)
    model.run()
    return model


def told(instance):
    """Least reels and seconds to prove them; of many lengths the bound by material, without a time."""
    orders = orders_of(instance)
    kerf = instance["kerf"]
    sizes = [length + kerf for length, _ in orders]
    counts = [count for _, count in orders]
    room = instance["reel"] + kerf
    begun = time.perf_counter()
    patterns = maximal_patterns(sizes, counts, room, 20_000) if len(sizes) < 20 else None
    material = math.ceil(sum(s * c for s, c in zip(sizes, counts)) / room)
    answer = {"name": instance["name"], "pieces": sum(counts), "material": material}
    if not patterns:
        return answer
    model = solve(patterns, counts)
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise SystemExit(f"{instance['name']}: not solved to its optimum")
    taken = time.perf_counter() - begun
    return answer | {"reels": round(model.getObjectiveValue()), "seconds": taken, "patterns": len(patterns)}


def main():
    here = pathlib.Path(__file__).parent
    answers = [told(instance) for instance in json.loads((here / "instances.json").read_text())]
    # The solver greets on standard output; the answer is the last line.
    print("\n" + json.dumps({"version": importlib.metadata.version("highspy"), "instances": answers}))


if __name__ == "__main__":
    main()
