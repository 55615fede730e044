"""Geometry by vectors, friction by integrating, circles by searching: slopes, corners, stairs, gates, floors, holes.

Millimetres and radians, unless a name says otherwise.
"""

import numpy as np
from scipy import integrate, optimize
from scipy.spatial.transform import Rotation

from shared import answer


def slope(case):
    """What a level and a plumb length become along and square to wires that rise by riser in going."""
    along = np.array([case["going"], case["riser"]])
    along = along / np.linalg.norm(along)
    square = Rotation.from_euler("z", 90, degrees=True).apply([*along, 0.0])[:2]
    # Along the slope until the level part is as long; a plumb pair of parallel lines seen square.
    stretch = case["level"] / along[0]
    # The hole runs along the wire from the middle of the post to both faces.
    half = case["width"] / 2 / along[0]
    return {
        "degrees": float(np.degrees(np.arctan2(along[1], along[0]))),
        "along": float(stretch),
        "square": float(np.dot(square, [0.0, case["plumb"]])),
        "rise": float(2 * half * along[1]),
        "hole": float(2 * half),
        "railTop": float(case["under"] + optimize.brentq(lambda h: np.dot(square, [0, h]) - case["deep"], 0, 1e5)),
    }


def corner(case):
    """Tension of a wire step by step round a bend."""
    pulled = integrate.solve_ivp(
        lambda _, pull: -case["friction"] * pull, (0.0, max(case["bend"], 1e-12)), [case["tension"]], rtol=1e-11, atol=1e-9
    )
    return float(pulled.y[0][-1])


def apart(point, segments):
    """Distance of a point from the nearest of some segments."""
    start, end = segments[:, 0], segments[:, 1]
    way = end - start
    share = np.clip(((point - start) * way).sum(1) / (way**2).sum(1), 0, 1)
    return np.hypot(*(point - start - share[:, None] * way).T).min()


def stair(case):
    """Diameter of the largest circle between steps and the line: searched all over, then sharpened."""
    riser, going, over = case["riser"], case["going"], case["overhang"]
    treads = [[[n * going, -n * riser], [(n + 1) * going + over, -n * riser]] for n in range(-4, 6)]
    risers = [[[(n + 1) * going, -n * riser], [(n + 1) * going, -(n + 1) * riser]] for n in range(-4, 6)]
    steps = np.array(treads + risers)
    along = np.array([going, -riser]) / np.hypot(going, riser)
    square = np.array([riser, going]) / np.hypot(riser, going)
    edge = np.array([going + over, case["line"]])

    def room(at):
        """Radius there: what is free of steps and line, none below a tread or beyond the line."""
        point = np.array(at)
        below = (edge - point) @ square
        # Air under an overhang is free too; what counts is the tread of the step that it is over.
        above = point[1] + np.floor(point[0] / going) * riser
        if below <= 0 or above <= 0:
            return 0.0
        return min(apart(point, steps), below)

    best = max(
        (room((x, y)), x, y)
        for x in np.linspace(0, going, 61)
        for y in np.linspace(-riser, riser + case["line"], 81)
    )
    size = max(going, riser) / 60
    found = np.array(best[1:])
    # Close in on the best spot: a finer net round it, again and again.
    while size > 1e-7:
        net = np.linspace(-size, size, 13)
        near = max((room((found[0] + dx, found[1] + dy)), found[0] + dx, found[1] + dy) for dx in net for dy in net)
        found = np.array(near[1:])
        size /= 3
    return 2 * float(near[0])


def leaf(case):
    """How far the far corner of a leaf reaches past its closed width while it turns on its face."""
    reach = lambda turn: -Rotation.from_euler("z", turn).apply([case["width"], case["thick"], 0.0])[0]
    found = optimize.minimize_scalar(reach, bounds=(-np.pi / 2, np.pi / 2), method="bounded", options={"xatol": 1e-12})
    return float(-found.fun - case["width"])


def floor(case):
    """Clear below a straight wire over a floor of posts and spots."""
    places = np.array([point["along"] for point in case["points"]])
    levels = np.array([point["level"] for point in case["points"]])
    posts = np.array([point["post"] for point in case["points"]])
    base = np.full(len(places), levels[0]) if case["isLevel"] else np.interp(places, places[posts], levels[posts])
    return list(base + case["bottom"] - case["diameter"] / 2 - levels)


def holes(case):
    """Distance of two holes with flat ends: from the nearest point of one to that of the other, and back,
    until neither moves. Of two convex bodies that ends at the two that are nearest (Cheney and Goldstein 1959).
    """

    def nearest(hole, point):
        start, way = np.array(hole["from"]), np.array(hole["to"]) - np.array(hole["from"])
        along = way / np.linalg.norm(way)
        deep = (point - start) @ along
        out = point - start - deep * along
        size = np.linalg.norm(out)
        out *= min(1.0, hole["diameter"] / 2 / size) if size > 0 else 0.0
        return start + np.clip(deep, 0, np.linalg.norm(way)) * along + out

    first, second = case["holes"]
    one, gap = np.array(first["from"]), np.inf
    for _ in range(50_000):
        other = nearest(second, one)
        one = nearest(first, other)
        before, gap = gap, np.linalg.norm(one - other)
        if before - gap < 1e-10:
            break
    return float(gap)


def stagger(case):
    """How far up and down a run's holes have to go until each is clear of all of the other's: every step tried.

    A hole is a solid of two flat ends, moved as a whole; the wood is what lies between the nearest two points.
    """

    def clear(moved):
        for other in case["moves"]:
            up = lambda point: [point[0], point[1], point[2] + moved]
            raised = dict(other, **{"from": up(other["from"]), "to": up(other["to"])})
            if any(holes({"holes": [stays, raised]}) < case["least"] - 1e-6 for stays in case["stays"]):
                return False
        return True

    steps = np.arange(0, case["most"] + case["step"] / 2, case["step"])
    first = lambda sign: next((float(step) for step in steps if clear(sign * step)), None)
    return {"up": first(1), "down": first(-1), "told": [clear(moved) for moved in case["told"]]}


answer(
    {"slope": slope, "corner": corner, "stair": stair, "leaf": leaf, "floor": floor, "holes": holes, "stagger": stagger}
)
