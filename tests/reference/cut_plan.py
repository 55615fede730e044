"""The fewest reels that any plan can do with, by HiGHS: an exact whole-number programme.

Offcuts may be used freely; reels in stock and reels to order are counted. Whole millimetres.
"""

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


def fewest(case):
    """Pieces and stock with kerf: `(piece + kerf)` into `(stock + kerf)`; None where stock is too short."""
    orders = sorted(((length + case["kerf"], count) for length, count in case["orders"]), reverse=True)
    sizes, counts = [size for size, _ in orders], [count for _, count in orders]
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("mip_abs_gap", 0.0)
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
    model.run()
    if model.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    if model.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise ValueError("not solved to its optimum")
    return round(model.getObjectiveValue())


answer({"fewest": fewest})
