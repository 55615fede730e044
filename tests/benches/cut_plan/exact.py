"""Solves the instances beside this file with an exact solver and prints reels, bound and time.

Peer of the bench "cut plan": HiGHS (MIT) through its own Python package, see requirements.txt.
Few lengths: every maximal pattern is a column of one whole-number programme, solved to its optimum.
Many lengths: columns are generated (Gilmore and Gomory 1961), each pricing a bounded knapsack solved
exactly; the relaxation's value rounded up is a bound, and the columns solved in whole numbers are a
plan: where the two meet the plan is optimal.
"""

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


def solve(patterns, counts, whole, time_limit=None):
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    if time_limit:
        model.setOptionValue("time_limit", time_limit)
    if whole:
        # A plan is only called exact when the gap is closed.
        model.setOptionValue("mip_rel_gap", 0.0)
        model.setOptionValue("mip_abs_gap", 0.999)
    inf = highspy.kHighsInf
    for count in counts:
        model.addRow(float(count), inf, 0, [], [])
    for pattern in patterns:
        rows = [at for at, n in enumerate(pattern) if n]
        model.addCol(1.0, 0.0, inf, len(rows), rows, [float(pattern[at]) for at in rows])
    if whole:
        for at in range(len(patterns)):
            model.changeColIntegrality(at, highspy.HighsVarType.kInteger)
    model.run()
    return model


def best_pattern(sizes, counts, prices, room):
    """The pattern worth most at these prices: a bounded knapsack by branch and bound on density."""
    order = sorted(range(len(sizes)), key=lambda i: -prices[i] / sizes[i])
    best = [0.0, None]

    def go(k, left, worth, made):
        if worth > best[0] + 1e-12:
            best[0], best[1] = worth, dict(made)
        if k == len(order) or left <= 0:
            return
        i = order[k]
        if prices[i] <= 1e-12 or worth + left * prices[i] / sizes[i] <= best[0] + 1e-9:
            return
        for taken in range(min(counts[i], left // sizes[i]), -1, -1):
            if taken:
                made[i] = taken
            else:
                made.pop(i, None)
            go(k + 1, left - taken * sizes[i], worth + taken * prices[i], made)
        made.pop(i, None)

    go(0, room, 0.0, {})
    pattern = [0] * len(sizes)
    for i, n in (best[1] or {}).items():
        pattern[i] = n
    return best[0], tuple(pattern)


def generate(sizes, counts, room):
    patterns = [
        tuple(min(c, room // s) if i == j else 0 for j in range(len(sizes)))
        for i, (s, c) in enumerate(zip(sizes, counts))
    ]
    while True:
        model = solve(patterns, counts, whole=False)
        prices = list(model.getSolution().row_dual)
        worth, pattern = best_pattern(sizes, counts, prices, room)
        if worth <= 1 + 1e-9:
            return patterns, model.getObjectiveValue()
        patterns.append(pattern)


def main():
    here = pathlib.Path(__file__).parent
    for instance in json.loads((here / "instances.json").read_text()):
        orders = orders_of(instance)
        kerf = instance["kerf"]
        sizes = [length + kerf for length, _ in orders]
        counts = [count for _, count in orders]
        room = instance["reel"] + kerf
        begun = time.perf_counter()
        patterns = maximal_patterns(sizes, counts, room, 20_000) if len(sizes) < 20 else None
        if patterns:
            model = solve(patterns, counts, whole=True)
            reels = round(model.getObjectiveValue())
            bound = reels if model.getModelStatus() == highspy.HighsModelStatus.kOptimal else None
        else:
            patterns, relaxed = generate(sizes, counts, room)
            bound = math.ceil(relaxed - 1e-6)
            reels = round(solve(patterns, counts, whole=True, time_limit=60.0).getObjectiveValue())
        taken = time.perf_counter() - begun
        print(
            f"{instance['name']}: {sum(counts)} pieces, {len(patterns)} patterns, "
            f"{reels} reels, at least {bound}, {taken * 1000:.1f} ms"
        )


if __name__ == "__main__":
    main()
