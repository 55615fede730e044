"""The peer of the least order: the same exact programme over subsets, in numpy's own batches.

Reads {takes, turned} on standard input: what one newton in each wire takes up at every wire, and the
turn-in of each. Prints the least largest reading of any order and the seconds it took.
"""

import itertools
import json
import sys
import time

import numpy as np


def least(takes, turned):
    """All subsets of one size are solved in one call; larger ones build on smaller ones."""
    wires = len(turned)
    best = np.full(1 << wires, np.inf)
    best[0] = 0.0
    for size in range(1, wires + 1):
        parts = np.array(list(itertools.combinations(range(wires), size)))
        tight = np.linalg.solve(takes[parts[:, :, None], parts[:, None, :]], turned[parts][:, :, None])[:, :, 0]
        whole = (1 << parts).sum(axis=1)
        before = best[whole[:, None] & ~(1 << parts)]
        best[whole] = np.maximum(before, tight).min(axis=1)
    return float(best[-1])


def main():
    asked = json.load(sys.stdin)
    takes, turned = np.array(asked["takes"]), np.array(asked["turned"])
    least(takes[:4, :4], turned[:4])
    begun = time.perf_counter()
    found = least(takes, turned)
    print(json.dumps({"version": np.__version__, "newtons": found, "seconds": time.perf_counter() - begun}))


main()
