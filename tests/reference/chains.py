"""Ends of every kind, closed from face to face; and windows moved by what fitted wires taught.

Each end is laid down piece by piece from its post's face, and the wire between is whatever the places of
both ends leave: scipy's root finder looks for the cut and the thread that close the chain. What a thread can
take is scipy's linear programme over each thread by itself. Millimetres, newtons.
"""

import numpy as np
from scipy import optimize

from shared import answer


def mouth(end, turned):
    """Where the wire's own end lies, from the post's face towards the wire, with its threads turned in."""
    of = end["figures"]
    if end["kind"] == "fixed":
        # Bracket and terminal to the mouth of the shank; the wire goes back into it from there.
        return of["seatLength"] + of["mouth"] + of["growth"] - of["insertion"]
    stud = of if end["kind"] == "insert" else of["stud"]
    overall = stud["studOverall"] if end["kind"] == "insert" else stud["overall"]
    if end["kind"] == "insert":
        tip = of["seatLength"] - turned[0]
    elif end["kind"] == "bolt":
        # The nut bears on the washer at the far face: what it holds lies behind that.
        tip = -(of["post"] + of["washer"] + of["seatLength"]) - turned[0]
    else:
        held = of["seatLength"] + of["standoff"] + of["farStud"]
        body = held - turned[0]
        tip = body + of["body"] - turned[1]
    return tip + overall + stud["growth"] - stud["insertion"]


def limits(end):
    """Most, least and catching thread of an end, each of its threads by itself; none without one."""
    of = end["figures"]
    if end["kind"] == "fixed":
        return [], [], []
    if end["kind"] == "insert":
        rooms = [of["usableThread"] - of["lockNut"], np.inf if of.get("insertClearDepth") is None else of["insertClearDepth"]]
        return [min(rooms) - of["reserve"]], [of["leastEngagement"]], [of["startEngagement"]]
    stud = of["stud"]
    if end["kind"] == "bolt":
        # It can be pulled through until its shank meets the post.
        out = stud["overall"] - of["shank"] - of["post"] - of["washer"] - of["seatLength"]
        most = min(stud["usableThread"], out) - stud["reserve"]
        return [most], [max(stud["leastEngagement"], of["nut"]) + stud["lockNut"]], [stud["startEngagement"]]
    # Both threads of a body turn in alike: as far as each has thread and both tips have room.
    alike = optimize.linprog(
        [-1.0, -1.0],
        A_ub=[[1.0, 1.0]],
        b_ub=[of["body"]],
        A_eq=[[1.0, -1.0]],
        b_eq=[0.0],
        bounds=[(0, stud["usableThread"] - stud["lockNut"]), (0, of["farThread"] - stud["lockNut"])],
    )
    if not alike.success:
        raise ValueError(alike.message)
    most = [float(x) - stud["reserve"] for x in alike.x]
    return most, [stud["leastEngagement"]] * 2, [stud["startEngagement"]] * 2


def gap(case, cut, turned, inward, tension, stretch, warm):
    """What is left open between the posts' faces with this cut: none where the chain is closed."""
    ends = case["ends"]
    swallowed = sum(
        (end["figures"] if end["kind"] in ("insert", "fixed") else end["figures"]["stud"])["insertion"] for end in ends
    )
    free = cut - swallowed
    for share in (stretch, warm, tension / case["stiffness"]):
        free = free + free * share
    places = sum(mouth(end, threads) for end, threads in zip(ends, turned))
    return (case["length"] - inward) - places - swallowed - free


def cut_for(case, turned, inward, tension, stretch, warm):
    return optimize.brentq(
        lambda cut: gap(case, cut, turned, inward, tension, stretch, warm), 1.0, 2e6, xtol=1e-10, rtol=1e-15
    )


def pairs(ends):
    """Threads that may start unequally: two lone ones, and the two of each body."""
    lone = sum(end["kind"] in ("insert", "bolt") for end in ends)
    return (lone == 2) + sum(end["kind"] == "turnbuckle" for end in ends)


def bounds(case):
    """Longest, least by engagement and least by catching."""
    final = (case["inward"], case["tension"], case["stretch"], case["expansion"] * case["warmer"])
    most, least, start = zip(*[limits(end) for end in case["ends"]])
    lag = abs(case["unequal"]) * pairs(case["ends"])
    # The lag is taken up wherever there is thread: only the sum counts.
    first = next(n for n, threads in enumerate(most) if threads)

    def with_lag(threads, by):
        moved = [list(one) for one in threads]
        moved[first][0] += by
        return moved

    caught = max(cut_for(case, start, before, case["hand"], 0.0, 0.0) for before in (0.0, case["before"]))
    return cut_for(case, with_lag(most, -lag), *final), cut_for(case, with_lag(least, lag), *final), caught


def chain(case):
    longest, least, catches = bounds(case)
    return {"longest": longest, "least": least, "catches": catches}


def learned(case):
    """The same limits moved by what fitted wires taught, and the spread then."""
    longest, least, catches = bounds(case)
    prior = case["prior"]
    # By least squares of rows made alike in weight: the expectation as two readings more.
    rows = [[1 / prior["offsetSpread"], 0.0], [0.0, 1 / prior["perMetreSpread"]]]
    values = [prior["offset"] / prior["offsetSpread"], prior["perMetre"] / prior["perMetreSpread"]]
    for (metres, z), weight in zip(case["read"], case["weights"]):
        share = np.sqrt(weight) / prior["fittedSpread"]
        rows.append([share, share * metres])
        values.append(share * z)
    rows, values = np.array(rows), np.array(values)
    fit, *_ = np.linalg.lstsq(rows, values, rcond=None)
    here = np.array([1.0, case["length"] / 1e3])
    # What takes up more leaves less for the cut.
    moved = float(here @ [prior["offset"], prior["perMetre"]] - here @ fit)
    spread = np.sqrt(here @ np.linalg.inv(rows.T @ rows) @ here + prior["fittedSpread"] ** 2)
    return {
        "longest": longest + moved,
        # A slack wire is caught no better for it.
        "shortest": max(least + moved, catches + max(moved, 0.0)),
        "moved": moved,
        "spread": float(spread),
    }


answer({"chain": chain, "learned": learned})
