"""Cut lengths by closing the chain from face to face, their spread by drawing wires by the thousand.

The chain is only ever walked forwards, from a cut to the thread behind both faces; what is asked is
found by scipy's root finder. Millimetres, newtons.
"""

import numpy as np
from scipy import optimize, stats

from shared import answer

WIRES = 400_000


def engaged(case, cut, inward, tension, stretch, warm, stiffness=None, length=None, tips=0.0):
    """Thread behind both faces together that a cut leaves: the chain, walked forwards."""
    stiffness = case["stiffness"] if stiffness is None else stiffness
    length = case["length"] if length is None else length
    swallowed = sum(end["insertion"] for end in case["ends"])
    studs = sum(end["overall"] - end["insertion"] + end["growth"] + end["seat"] for end in case["ends"])
    free = cut - swallowed
    # Hooke on the grown strand: each makes the same free length longer by its own share.
    free = free + free * stretch
    free = free + free * warm
    free = free + free * tension / stiffness
    return studs + swallowed + free + tips - (length - inward)


def cut_for(case, thread, inward, tension, stretch, warm):
    off = lambda cut: engaged(case, cut, inward, tension, stretch, warm) - thread
    return optimize.brentq(off, 1.0, 2e6, xtol=1e-10, rtol=1e-15)


def final(case):
    return case["inward"], case["tension"], case["stretch"], case["expansion"] * case["warmer"]


def window(case):
    ends = case["ends"]
    most = [
        min(end["thread"] - end["nut"], np.inf if end["depth"] is None else end["depth"]) - end["reserve"]
        for end in ends
    ]
    # Two ends that started unequally: the one ahead meets its limit first, the other lags by that much.
    lag = abs(case["unequal"])
    longest = cut_for(case, sum(most) - lag, *final(case))
    least = cut_for(case, sum(end["least"] for end in ends) + lag, *final(case))
    # By hand, whether the other runs on the posts are tensioned by then or not.
    start = sum(end["start"] for end in ends)
    catches = max(cut_for(case, start, before, case["hand"], 0.0, 0.0) for before in (0.0, case["before"]))
    aim = (longest + max(least, catches)) / 2
    full = sum(min(end["thread"] - end["nut"], np.inf if end["depth"] is None else end["depth"]) for end in ends)

    def deduction(length):
        """D less the cut, with the whole thread turned in and the posts where they were."""
        return length + full - case["inward"] - cut_for(dict(case, length=length), full, *final(case))

    return {
        "stretch": engaged(case, aim, *final(case)) - engaged(case, aim, case["inward"], 0.0, 0.0, 0.0),
        "deduction": deduction(case["length"]),
        "deductionLonger": deduction(case["length"] + 1000),
        "longest": longest,
        "least": least,
        "catches": catches,
        "exact": [cut_for(case, thread, *final(case)) for thread in case["threads"]],
    }


def drawn(case):
    """Many wires of one cut: spread of the thread, and the share that ends inside its limits."""
    dice = np.random.default_rng(case["seed"])
    spread = case["spreads"]
    one = lambda size: dice.normal(0.0, size, WIRES)
    tips = one(spread["seat"]) + one(spread["seat"]) + one(spread["swage"]) + one(spread["swage"])
    inward, tension, _, warm = final(case)
    thread = engaged(
        case,
        case["cut"] + one(spread["cut"]),
        inward,
        tension,
        case["stretch"] + one(case["stretchSpread"]),
        warm,
        case["stiffness"] * (1 + one(case["stiffnessSpread"])),
        case["length"] + one(spread["measure"]),
        tips,
    )
    low, high = (engaged(case, case[limit], *final(case)) for limit in ("shortest", "longest"))
    return {"spread": float(thread.std()), "mean": float(thread.mean()), "inside": float(((thread > low) & (thread < high)).mean())}


def chance(case):
    """Of a normal spread."""
    law = stats.norm(case["cut"], case["spread"])
    # Of two tails the smaller is the sharper.
    return float(law.cdf(case["longest"]) - law.cdf(case["shortest"]))


def between(case):
    """Lengths of all wires, and the spread of what is told of them less what is true.

    Posts that lean are straight lines, a bow is a parabola over them; readings are off by their own.
    """
    heights, read = np.array(case["heights"]), case["readings"]
    places = np.array([heights[reading["wire"] - 1] for reading in read])
    values = np.array([reading["length"] for reading in read])
    spreads = np.array([reading["spread"] for reading in read])

    def told(values):
        if len(read) == 3:
            return np.polyval(np.polyfit(places - places[0], values, 2), heights - places[0])
        return np.interp(heights, places, values)

    dice = np.random.default_rng(case["seed"])
    count = 40_000
    zeta = (heights - places[0]) / (places[-1] - places[0])
    bows = dice.normal(0.0, case["bow"], count)[:, None]
    true = values[0] + (values[-1] - values[0]) * zeta + 4 * bows * zeta * (1 - zeta)
    at = np.array([reading["wire"] - 1 for reading in read])
    noisy = true[:, at] + dice.normal(size=(count, len(read))) * spreads
    if len(read) == 3:
        off = np.array([np.polyval(np.polyfit(places - places[0], noisy.T, 2), h - places[0]) for h in heights]).T
    else:
        off = np.array([np.interp(heights, places, one) for one in noisy])
    result = {"lengths": list(told(values)), "spreads": list((off - true).std(axis=0))}
    if len(read) == 3:
        # The bow: what the curve stands off its chord at the middle.
        middle = (places[0] + places[2]) / 2
        curve = np.polyval(np.polyfit(places - places[0], values, 2), middle - places[0])
        result["bow"] = float(curve - (values[0] + values[2]) / 2)
    return result


answer({"window": window, "drawn": drawn, "chance": chance, "between": between})
