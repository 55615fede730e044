"""A tensioned wire as bars that store energy: pushed at mid span, or by a sphere on its way through.

Only Hooke's law and geometry go in; where things come to rest is found by minimising, forces are the
energy's own slopes. Millimetres, newtons.
"""

import numpy as np
from scipy import optimize

from shared import answer


class Wire:
    def __init__(self, case, tension):
        self.half = case["clear"] / 2
        self.tension = tension
        self.anchor = case.get("anchor")
        run, stiffness = case["stretching"], case["stiffness"]
        self.unstretched = run / (1 + tension / stiffness)
        self.before = run - case["clear"]
        self.spring = stiffness / self.unstretched

    def energy(self, push):
        """Least energy with mid span pushed aside, over how far the anchor gives."""
        sides = 2 * np.hypot(self.half, push)

        def stored(gives):
            stretch = self.before + sides - gives - self.unstretched
            return self.spring * stretch**2 / 2 + self.anchor * (gives + self.tension / self.anchor) ** 2 / 2

        if self.anchor is None:
            return self.spring * (self.before + sides - self.unstretched) ** 2 / 2
        # The stored energy is a parabola of `gives`: one Newton step from the library is exact.
        found = optimize.minimize_scalar(stored, bracket=(0.0, 1.0), tol=1e-14)
        return found.fun

    def load(self, push):
        return slope(self.energy, push, max(push * 1e-4, 1e-5))


def slope(of, at, step):
    """Central difference, fourth order."""
    return (8 * (of(at + step) - of(at - step)) - (of(at + 2 * step) - of(at - 2 * step))) / (12 * step)


def rest(wire, load):
    """Where a load leaves mid span: the least of energy less load times push."""
    found = optimize.minimize_scalar(
        lambda push: wire.energy(push) - load * push, bounds=(0, 4 * wire.half), method="bounded",
        options={"xatol": 1e-10},
    )
    # A minimum is flat, its place only good to half the digits: the root of the slope is sharper.
    near = found.x
    return optimize.brentq(lambda push: wire.load(push) - load, near * 0.98, near * 1.02 + 1e-3, xtol=1e-12)


def pushed(case):
    return rest(Wire(case, case["tension"]), case["load"])


def load(case):
    return Wire(case, case["tension"]).load(case["push"])


def read(case):
    """The tension of a wire that a load leaves at a push."""
    miss = lambda tension: Wire(case, tension).load(case["push"]) - case["load"]
    return optimize.brentq(miss, 0.0, 1e6, xtol=1e-9)


class Sphere:
    """A sphere that passes one wire; `doubled` where a second wire mirrors the first."""

    def __init__(self, case, tension):
        self.wire = Wire(case, tension)
        self.reach = (case["sphere"] + case["diameter"]) / 2
        self.radius = case["sphere"] / 2
        self.edge = case["between"] == "edge"
        self.side = case["apart"] if self.edge else case["apart"] / 2

    def centre(self, depth):
        """Across and before the plane; beside a flat face, floor or rail, a sphere slides along it."""
        return (self.radius, depth) if self.edge else (0.0, depth)

    def touch(self):
        """The depth of first touch."""
        off = lambda depth: np.hypot(self.side - self.centre(depth)[0], depth) - self.reach
        return optimize.brentq(off, 0.0, self.reach, xtol=1e-13)

    def place(self, depth):
        """Where the wire lies on the sphere: the angle of least energy, from the centre."""
        y, z = self.centre(depth)
        spot = lambda angle: (y + self.reach * np.cos(angle), z - self.reach * np.sin(angle))
        stored = lambda angle: self.wire.energy(np.hypot(spot(angle)[0] - self.side, spot(angle)[1]))
        towards = np.arctan2(z, self.side - y)
        found = optimize.minimize_scalar(
            stored, bounds=(towards - 0.3, towards + 0.3), method="bounded", options={"xatol": 1e-11}
        )
        return spot(found.x), found.fun

    def force(self, depth):
        """What the sphere needs: the slope of the energy towards the plane."""
        stored = lambda at: self.place(at)[1]
        step = min(2e-3, depth / 3) if depth > 0 else 2e-3
        return -slope(stored, depth, step) * (1 if self.edge else 2)

    def most(self):
        touch = self.touch()
        grid = np.linspace(touch * 0.999, touch * 0.02, 40)
        best = grid[np.argmax([self.force(depth) for depth in grid])]
        found = optimize.minimize_scalar(
            lambda depth: -self.force(depth),
            bounds=(max(best - touch * 0.03, touch * 0.01), min(best + touch * 0.03, touch * 0.999)),
            method="bounded", options={"xatol": 1e-6},
        )
        return -found.fun, found.x


def passing(case):
    return Sphere(case, case["tension"]).most()[0]


def opened(case):
    sphere = Sphere(case, case["tension"])
    force, depth = sphere.most()
    if case["push"] >= force:
        return {"passes": True}
    depth = optimize.brentq(lambda at: sphere.force(at) - case["push"], depth, sphere.touch() * 0.99999, xtol=1e-8)
    (y, _), _ = sphere.place(depth)
    opening = (y if sphere.edge else 2 * y) - case["diameter"] / (2 if sphere.edge else 1)
    return {"passes": False, "opening": float(opening), "depth": float(depth)}


def holds(case):
    """The tension that just keeps the sphere."""
    miss = lambda tension: Sphere(case, tension).most()[0] - case["push"]
    return optimize.brentq(miss, 1.0, 1e5, xtol=1e-4)


answer({"pushed": pushed, "load": load, "read": read, "passing": passing, "opened": opened, "holds": holds})
