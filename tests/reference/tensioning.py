"""A run as a frame: two posts of beam elements, and a bar for each wire that is shortened by its turns.

Every act on site is played on the assembled frame: wires are turned one after the other, and a wire
that would push hangs slack (non-negative least squares of scipy on the energy). Metres, newtons.
"""

import itertools

import numpy as np
from scipy import linalg, optimize

from shared import answer, at, beam


class Run:
    def __init__(self, case, creep=0.0):
        self.lengths = np.array(case["lengths"])
        self.axial = self.lengths / case["stiffness"]
        count = len(self.lengths)
        gives = np.zeros((count, count))
        for end in ("start", "end"):
            gives += self.post(case[end], creep)
        # What one newton in each wire takes up at every wire, both posts and its own stretch.
        self.takes = gives + np.diag(self.axial)

    @staticmethod
    def post(post, creep):
        """Movement along each wire under one newton in each, solved one load at a time."""
        heights, level = post["heights"], np.cos(post["slopes"])
        rail = post.get("rail")
        nodes = [0.0, *heights] + ([rail["height"]] if rail else [])
        stiffness, _, basis = beam(nodes, post["bending"] / (1 + creep))
        stiffness = stiffness.toarray()
        foot = at(basis, 0.0)
        free = np.setdiff1d(np.arange(stiffness.shape[0]), foot if post.get("turning") is None else foot[:1])
        if post.get("turning") is not None:
            stiffness[foot[1], foot[1]] += post["turning"] / (1 + creep)
        if rail:
            held = at(basis, rail["height"])[0]
            stiffness[held, held] += rail["stiffness"] / (1 + creep)
        places = [at(basis, height)[0] for height in heights]
        loads = np.zeros((stiffness.shape[0], len(heights)))
        loads[places, range(len(heights))] = level
        moved = np.zeros_like(loads)
        moved[free] = linalg.solve(stiffness[np.ix_(free, free)], loads[free], assume_a="pos")
        return moved[places] * level[:, None]

    def tensions(self, turned):
        """The tensions of least energy that do not push."""
        lower = linalg.cholesky(self.takes, lower=True)
        found, _ = optimize.nnls(lower.T, linalg.solve_triangular(lower, turned, lower=True))
        return found

    def bring(self, turned, wire, to):
        """Turns one wire until it shows a tension."""

        def off(turn):
            trial = turned.copy()
            trial[wire] = turn
            return self.tensions(trial)[wire] - to

        # Below what leaves it slack and above what it would take alone with posts that give most.
        most = (self.takes[wire].sum() + self.axial[wire]) * (to + 5000) * 4 + abs(turned[wire])
        turned[wire] = optimize.brentq(off, -most, most, xtol=1e-15, rtol=1e-14)


def turn_in(case):
    run = Run(case)
    return list(run.takes @ np.array(case["tensions"]))


def order(case):
    """What each wire shows when it has just been tightened, the others after it not yet."""
    run = Run(case)
    full = run.takes @ np.array(case["tensions"])
    turned = np.zeros(len(full))
    shown = []
    for wire in case["order"]:
        turned[wire] = full[wire]
        part = turned != 0
        tight = np.zeros(len(full))
        tight[part] = np.linalg.solve(run.takes[np.ix_(part, part)], turned[part])
        shown.append(tight[wire])
    return shown


def least(case):
    """The least largest reading over every order there is, tried one by one."""
    run = Run(case)
    wires = range(len(run.lengths))
    full = run.takes @ np.array(case["tensions"])
    shows = {}
    for count in range(1, len(full) + 1):
        for part in itertools.combinations(wires, count):
            tight = np.linalg.solve(run.takes[np.ix_(part, part)], full[list(part)])
            shows.update({(frozenset(part), wire): tension for wire, tension in zip(part, tight)})
    every = itertools.permutations(wires)
    return min(
        max(shows[frozenset(order[: n + 1]), order[n]] for n in range(len(order))) for order in every
    )


def passes(case):
    """Each pass played: what the wires show after it and by how much each was turned."""
    run = Run(case)
    turned = np.zeros(len(run.lengths))
    told = []
    for one in case["passes"]:
        before = turned.copy()
        for wire in one["order"]:
            run.bring(turned, wire, one["tension"])
        told.append({"turned": list(turned - before), "after": list(run.tensions(turned))})
    return told


def brought(case):
    run = Run(case)
    turned = np.zeros(len(run.lengths))
    for wire, tension in case["readings"]:
        run.bring(turned, wire, tension)
    return list(run.tensions(turned))


def alone(case):
    run = Run(case)
    turned = run.takes @ np.array(case["tensions"])
    before = turned[case["wire"]]
    run.bring(turned, case["wire"], case["to"])
    return turned[case["wire"]] - before


def together(case):
    """Turn-ins of some wires that end at their tensions, found by a root of the played frame."""
    run = Run(case)
    have = run.takes @ np.array(case["tensions"])
    named, wanted = [wire for wire, _ in case["wanted"]], np.array([to for _, to in case["wanted"]])

    def off(millimetres):
        turned = have.copy()
        turned[named] += millimetres / 1e3
        return run.tensions(turned)[named] - wanted

    found = optimize.root(off, np.zeros(len(named)), tol=1e-10)
    # Near what doubles tell a solver may stop for want of progress: what is left tells whether it is a root.
    left = np.abs(off(found.x)).max()
    if not left < 1e-6:
        raise ValueError(f"{found.message} {left} N are left.")
    return list(found.x / 1e3)


def played(case):
    """What each wire shows when it has just been turned by so much, and where all end."""
    run = Run(case)
    turned = run.takes @ np.array(case["tensions"])
    shows = []
    for wire, turn in case["steps"]:
        turned[wire] += turn
        shows.append(run.tensions(turned)[wire])
    return {"shows": shows, "ends": list(run.tensions(turned))}


def later(case):
    """Tensions after the wires grew, the posts crept and it became warmer."""
    turned = Run(case).takes @ np.array(case["tensions"])
    crept = Run(case, case["creep"])
    grown = crept.lengths * (case["stretch"] + case["expansion"] * case["warmer"])
    return list(crept.tensions(turned - grown))


def stiff(case):
    """Newtons that a millimetre more adds to each wire by itself."""
    run = Run(case)
    turned = run.takes @ np.full(len(run.lengths), 1000.0)
    more = []
    for wire in range(len(turned)):
        one = turned.copy()
        one[wire] += 1e-4
        more.append((run.tensions(one)[wire] - run.tensions(turned)[wire]) / 0.1)
    return more


answer(
    {
        "turnIn": turn_in,
        "order": order,
        "least": least,
        "passes": passes,
        "brought": brought,
        "alone": alone,
        "together": together,
        "played": played,
        "later": later,
        "stiff": stiff,
    }
)
