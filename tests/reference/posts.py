"""A post as a beam of finite elements in both directions, pulled by vectors and held by rails.

scikit-fem assembles the bending, scipy solves; rails that do not give are constraints of the
equations, not large numbers. Metres, newtons.
"""

import itertools

import numpy as np
from scipy import integrate, linalg, optimize

from shared import answer, at, beam


def section(kind, along, across, wall):
    """Second moment and the farthest fibre in the direction "along", by integrating over the depth."""

    def solid(depth, width):
        chord = (lambda y: width) if kind != "round" else (lambda y: 2 * np.sqrt(max(depth**2 / 4 - y**2, 0)))
        return integrate.quad(lambda y: y**2 * chord(y), -depth / 2, depth / 2, epsabs=0, epsrel=1e-11)[0]

    inertia = solid(along, across)
    if wall:
        inertia -= solid(along - 2 * wall, across - 2 * wall)
    return inertia, along / 2


class Post:
    """Degrees of freedom: those of the beam along x, then those of the beam along y."""

    def __init__(self, case, heights):
        wall = case.get("wall") or 0.0
        sizes = (case["along"], case["across"])
        self.kind = case["kind"]
        self.sections = [section(self.kind, *sizes, wall), section(self.kind, *sizes[::-1], wall)]
        nodes = [0.0, case["height"], *heights]
        planes = [beam(nodes, case["modulus"] * inertia) for inertia, _ in self.sections]
        self.basis = planes[0][2]
        self.one = planes[0][0].shape[0]
        self.stiffness = linalg.block_diag(*[plane[0].toarray() for plane in planes])
        foot = at(self.basis, 0.0)
        turning = case.get("turning")
        fixed = []
        for plane in range(2):
            fixed.append(foot[0] + plane * self.one)
            if turning is None:
                fixed.append(foot[1] + plane * self.one)
            else:
                self.stiffness[foot[1] + plane * self.one, foot[1] + plane * self.one] += turning
        self.free = np.setdiff1d(np.arange(2 * self.one), fixed)
        self.height = case["height"]

    def reading(self, height, heading):
        """The row that reads the movement at a height along a direction; also where a force goes."""
        row = np.zeros(2 * self.one)
        across, _ = at(self.basis, height)
        row[across], row[across + self.one] = np.cos(heading), np.sin(heading)
        return row

    def solve(self, loads, rails):
        """Movements under loads, and the force in each rail, above zero where it is pressed."""
        rows = np.array([self.reading(rail["height"], rail["heading"]) for rail in rails]).reshape(len(rails), 2 * self.one)
        free = self.free
        # With the rails' forces as unknowns of their own, one that does not give has give zero. They
        # are scaled to the size of the beam's own figures, so that the solver loses no digits.
        scale = np.sqrt(np.abs(np.diag(self.stiffness)[free]).mean())
        give = np.diag([0.0 if rail["stiffness"] is None else 1 / rail["stiffness"] for rail in rails]).reshape(
            len(rails), len(rails)
        )
        held = rows[:, free] * scale
        whole = np.block([[self.stiffness[np.ix_(free, free)], held.T], [held, -give * scale**2]])
        found = linalg.solve(whole, np.concatenate([loads[free], np.zeros(len(rails))]), assume_a="sym")
        moved = np.zeros(2 * self.one)
        moved[free] = found[: len(free)]
        return moved, found[len(free) :] * scale


def direction(pull):
    """The unit vector of a wire that leaves the post, upwards where it rises."""
    level = np.cos(pull["slope"])
    return np.array([level * np.cos(pull["heading"]), level * np.sin(pull["heading"]), np.sin(pull["slope"])])


def plan(case):
    heights = [pull["height"] for pull in case["pulls"]] + [rail["height"] for rail in case["rails"]]
    post = Post(case, heights)
    loads = np.zeros(2 * post.one)
    total = np.zeros(3)
    for pull in case["pulls"]:
        force = pull["tension"] * direction(pull)
        total += force
        loads += force[0] * post.reading(pull["height"], 0.0) + force[1] * post.reading(pull["height"], np.pi / 2)
    moved, rails = post.solve(loads, case["rails"])
    spot = lambda height: np.array([post.reading(height, 0.0) @ moved, post.reading(height, np.pi / 2) @ moved, 0.0])
    # The moment at the foot is what the bent beam's own equations leave over there.
    foot = at(post.basis, 0.0)[1]
    if case.get("turning") is None:
        left = post.stiffness @ moved
        moment = np.array([left[foot], left[foot + post.one]])
    else:
        moment = -case["turning"] * np.array([moved[foot], moved[foot + post.one]])
    edges = [farthest / inertia for inertia, farthest in post.sections]
    return {
        "along": [float(direction(pull) @ spot(pull["height"])) for pull in case["pulls"]],
        "tip": float(np.hypot(*spot(post.height)[:2])),
        "moment": float(np.hypot(*moment)),
        "stress": float(
            np.hypot(*moment) * edges[0] if post.kind == "round" else abs(moment[0]) * edges[0] + abs(moment[1]) * edges[1]
        ),
        # Both sides of the base share what lifts it; what presses it down helps neither.
        "fixing": float(np.abs(moment).sum() / case["bolts"] + max(total[2], 0.0) / 2),
        "rails": [float(force) for force in rails],
        "level": float(np.hypot(*total[:2])),
    }


def known(case):
    """How far a post moves where one pull is on it."""
    post = Post(case, [case["at"]] + [rail["height"] for rail in case["rails"]])
    row = post.reading(case["at"], 0.0)
    return float(row @ post.solve(case["pull"] * row, case["rails"])[0])


def any_way(case):
    """The greatest of each figure, by size, over the directions of the legs that have none told.

    A net over whole circles, and from the best place of each figure Powell's search, which knows no slope.
    """
    legs, count = case["legs"], sum(leg["heading"] is None for leg in case["legs"])

    def figures(turned):
        told, pulls, rails = iter(turned), [], []
        for leg in legs:
            heading = next(told) if leg["heading"] is None else leg["heading"]
            pulls += [dict(pull, heading=heading) for pull in leg["pulls"]]
            rails += [dict(rail, heading=heading) for rail in leg["rails"]]
        found = plan(dict(case, pulls=pulls, rails=rails))
        names = ("level", "moment", "stress", "tip", "fixing")
        return np.abs([found[name] for name in names] + found["rails"])

    net = np.linspace(0, 2 * np.pi, case["net"], endpoint=False)
    places = [np.array(place) for place in itertools.product(net, repeat=count)]
    table = np.array([figures(place) for place in places])
    most = []
    for one in range(table.shape[1]):
        start = places[int(table[:, one].argmax())]
        found = optimize.minimize(
            lambda turned: -figures(turned)[one], start, method="Powell", options={"xtol": 1e-7, "ftol": 1e-12}
        )
        most.append(float(max(table[:, one].max(), -found.fun)))
    return most


answer({"plan": plan, "known": known, "anyWay": any_way})
