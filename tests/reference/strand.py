"""Strands from the coordinates of their wires, threads from their triangle, a heated bar by its root.

Nothing here knows a fill factor: wires are laid out, measured across, and added up.
"""

import math

import numpy as np
from scipy import integrate, optimize

from shared import answer


def ring(count, radius):
    turn = np.arange(count) * 2 * np.pi / count
    return radius * np.column_stack([np.cos(turn), np.sin(turn)])


def layers(*rings):
    """Wires of diameter 1: one in the middle, then rings that touch one another."""
    return np.vstack([np.zeros((1, 2))] + [ring(count, n + 1) for n, count in enumerate(rings)])


def roped(strand, across):
    """Six strands about one, each as wide as `across` wires."""
    return np.vstack([strand] + [strand + centre for centre in ring(6, across)])


WIRES = {
    "1x19": layers(6, 12),
    "7x7": roped(layers(6), 3),
    "7x19": roped(layers(6, 12), 5),
}


def strand(case):
    """Area in mm² and EI in N·m² between slipping and solid, E of the wires in GPa as given."""
    centres = WIRES[case["construction"]]
    wire = case["diameter"] / (2 * np.hypot(*centres.T).max() + 1)
    # Area and second moment of one wire by integrating over its width.
    width = lambda y: 2 * math.sqrt(max(wire**2 / 4 - y**2, 0))
    over = lambda part: integrate.quad(part, 0, wire / 2, epsabs=0, epsrel=1e-11)[0] * 2
    area, own = over(width), over(lambda y: y**2 * width(y))
    apart = area * ((centres[:, 1] * wire) ** 2).sum()
    modulus = case["wireGpa"] * 1e9 * 1e-12
    return {
        "area": len(centres) * area,
        "slipping": modulus * len(centres) * own,
        "solid": modulus * (len(centres) * own + apart),
    }


def thread(case):
    """Stress area by the basic triangle of ISO 68-1: flats at 3/8 and, for the core, 17/24 of H."""
    height = math.sqrt(3) / 2 * case["pitch"]
    pitch_line = case["diameter"] - 2 * 3 / 8 * height
    core = case["diameter"] - 2 * 17 / 24 * height
    area, _ = integrate.quad(lambda r: 2 * math.pi * r, 0, (pitch_line + core) / 4)
    return area


def heated(case):
    """Newtons per kelvin: the pull at which a bar that grew fills the same length again."""

    def pull(kelvin):
        grown = 1 + case["wire"] * kelvin
        held = 1 + case["structure"] * kelvin
        return optimize.brentq(
            lambda n: grown * (1 + n / case["stiffness"]) - held, -1e5, 1e5, xtol=1e-12
        )

    return -(pull(0.01) - pull(-0.01)) / 0.02


answer({"strand": strand, "thread": thread, "heated": heated})
