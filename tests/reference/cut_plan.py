"""The fewest reels that any plan can do with, by HiGHS: an exact whole-number programme.

Offcuts may be used freely; reels in stock and reels to order are counted. Whole millimetres.
The bench of cut plans asks here too, and for the time it took (`timed`).
"""

import time
from importlib import metadata

import highspy

from shared import answer


def patterns(sizes, counts, room):
    """Every way to cut one stock to which no further piece can be added."""
    found = []

    def grow(at, left, made):
        if at == len(sizes):
            if not any(n < c and s <= left for n, c, s in zip(made, counts, sizes)):
                found.append(tuple(made))
            return
        for taken in range(min(counts[at], left // sizes[at]), -1, -1):
            grow(at + 1, left - taken * sizes[at], made + [taken])

    grow(0, room, [])
    return found


def programme(case):
    """One column a way to cut one stock. With kerf `(piece + kerf)` goes into `(stock + kerf)`."""
    orders = sorted(((length + case["kerf"], count) for length, count in case["orders"]), reverse=True)
    sizes, counts = [size for size, _ in orders], [count for _, count in orders]
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("mip_rel_gap", 0.0)
    # Reels are whole: a gap below one reel is closed.
    model.setOptionValue("mip_abs_gap", 0.999)
    inf = highspy.kHighsInf
    for count in counts:
        model.addRow(float(count), inf, 0, [], [])
    stock = {}
    for kind, length in case["stock"]:
        stock[kind, length] = stock.get((kind, length), 0) + 1
    if case["newReel"]:
        stock["new", case["newReel"]] = None
    columns = 0
    for (kind, length), there in stock.items():
        cuts = patterns(sizes, counts, length + case["kerf"])
        limit = None
        if there is not None:
            model.addRow(-inf, float(there), 0, [], [])
            limit = model.getNumRow() - 1
        counted = {"offcut": 0.0, "reel": 0.0 if case["newReel"] else 1.0, "new": 1.0}[kind]
        for cut in cuts:
            rows = [at for at, n in enumerate(cut) if n]
            values = [float(cut[at]) for at in rows]
            if limit is not None:
                rows, values = rows + [limit], values + [1.0]
            model.addCol(counted, 0.0, inf, len(rows), rows, values)
            model.changeColIntegrality(columns, highspy.HighsVarType.kInteger)
            columns += 1
    return model


def optimum(model):
    """Solves it; None where the stock is too short."""
    model.run()
    if model.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise ValueError("not solved to its optimum")
    return round(model.getObjectiveValue())


def fewest(case):
    return optimum(programme(case))


def timed(case):
    """The same with seconds: for listing the ways to cut, which Python does, and for the solver alone."""
    begun = time.perf_counter()
    model = programme(case)
    listed = time.perf_counter()
    found = optimum(model)
    solved = time.perf_counter()
    version = metadata.version("highspy")
    return {"fewest": found, "listS": listed - begun, "solveS": solved - listed, "version": version}


answer({"fewest": fewest, "timed": timed})
