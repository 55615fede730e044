"""Strings that resist bending: finite elements of a beam under tension, and its eigenvalues.

scikit-fem assembles, scipy.linalg finds the frequencies; partials are fitted by statsmodels' robust
regression; a hung mass sags and swings by the energy of two bars. Metres, newtons, hertz.
"""

import numpy as np
from scipy import linalg, optimize
from statsmodels.robust import norms
from statsmodels.robust.robust_linear_model import RLM

from shared import answer, at, beam

GRAVITY = 9.81


class String:
    """Nodes lie closer where a wire bends within a few millimetres: at its ends, or at its middle too."""

    def __init__(self, case, elements=240, places=2):
        even = np.linspace(0, 1, elements + 1)
        turn = np.pi * places
        nodes = case["length"] * (even - 0.8 * np.sin(turn * even) / turn)
        nodes[elements // 2] = case["length"] / 2
        self.stiffness, self.mass, self.basis = (
            part if n == 2 else part.toarray()
            for n, part in enumerate(beam(nodes, case["bending"], case["tension"], case["mass"]))
        )
        ends = [at(self.basis, 0.0), at(self.basis, case["length"])]
        held = [end[0] for end in ends] + ([end[1] for end in ends] if case["clamped"] else [])
        self.free = np.setdiff1d(np.arange(self.stiffness.shape[0]), held)
        self.middle = at(self.basis, case["length"] / 2)[0]

    def frequencies(self, count):
        inner = np.ix_(self.free, self.free)
        # The other way round the lowest are the largest, and lose no digits to the highest.
        last = len(self.free) - 1
        inverse = linalg.eigh(
            self.mass[inner], self.stiffness[inner], eigvals_only=True, subset_by_index=[last - count + 1, last]
        )
        return 1 / np.sqrt(inverse[::-1]) / (2 * np.pi)


def partials(case):
    return list(String(case).frequencies(case["count"]))


def hung(case):
    """A mass at mid span: the lowest swing of the whole, and that of the sagging shape alone."""
    string = String(dict(case, clamped=True), places=4)
    load = np.zeros(string.stiffness.shape[0])
    load[string.middle] = 1.0
    inner = np.ix_(string.free, string.free)
    sag = linalg.solve(string.stiffness[inner], load[string.free], assume_a="pos")
    spring = 1 / sag[list(string.free).index(string.middle)]
    string.mass[string.middle, string.middle] += case["hung"]
    return {
        "shape": float(np.sqrt(spring / (case["hung"] + case["mass"] * case["length"] / 3)) / (2 * np.pi)),
        "whole": float(string.frequencies(1)[0]),
    }


def fitted(case):
    """(f/n)² = a + b·n² by bisquare regression, rows times n: an error of f enters by 1/n."""
    numbers = np.array([number for number, _ in case["partials"]], dtype=float)
    pitches = np.array([pitch for _, pitch in case["partials"]])
    rows = np.column_stack([numbers, numbers**3])
    with np.errstate(divide="ignore", invalid="ignore"):
        fit = RLM((pitches / numbers) ** 2 * numbers, rows, M=norms.TukeyBiweight(4.685)).fit(
            scale_est="mad", maxiter=case["rounds"], tol=0.0
        )
    return {"a": fit.params[0], "b": fit.params[1], "weights": list(fit.weights)}


def solved(case):
    """Tension, and bending where it is guessed too, of the wire whose elements ring like this."""

    def off(logs):
        like = dict(case, tension=np.exp(logs[0]))
        if len(logs) > 1:
            like["bending"] = np.exp(logs[1])
        found = String(like, 60).frequencies(max(number for number, _ in case["partials"]))
        return [found[number - 1] / pitch - 1 for number, pitch in case["partials"]]

    # The logarithm of the bending plays a smaller part than that of the tension.
    scale = [0.1, 1.0][: len(case["guess"])]
    found = optimize.least_squares(off, np.log(case["guess"]), x_scale=scale, diff_step=1e-4, xtol=1e-9)
    logs = np.append(found.x, np.log(case["bending"])) if len(found.x) < 2 else found.x
    return {"tension": float(np.exp(logs[0])), "bending": float(np.exp(logs[1]))}


def relieved(case):
    """Tension before a mass was hung on a gripped wire, from the stiffness its small swings show.

    Two bars of Hooke's law: the mass sags to the least of the energy, whose bend is the stiffness.
    """
    weight, half = case["hung"] * GRAVITY, case["length"] / 2

    def shows(tension):
        unstretched = half / (1 + tension / case["stiffness"])
        pull = lambda sag: case["stiffness"] * (np.hypot(half, sag) / unstretched - 1)
        force = lambda sag: 2 * pull(sag) * sag / np.hypot(half, sag)
        sag = optimize.brentq(lambda at: force(at) - weight, 0, half, xtol=1e-15)
        step = 1e-5
        stiffness = (force(sag + step) - force(sag - step)) / (2 * step)
        return stiffness * case["length"] / 4

    # From slack on the reading first falls, then rises: the tauter of two tensions is meant.
    lowest = optimize.minimize_scalar(shows, bounds=(1e-3, case["reads"]), method="bounded").x
    return optimize.brentq(lambda tension: shows(tension) - case["reads"], lowest, case["reads"], xtol=1e-9)


answer({"partials": partials, "hung": hung, "fitted": fitted, "solved": solved, "relieved": relieved})
