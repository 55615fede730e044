"""What every script here does alike: cases in on standard input, answers out in the same order."""

import json
import os
import sys
import warnings


def answer(functions):
    """Reads a list of cases {ask, …} and prints a list with what the named function says of each."""
    warnings.simplefilter("error")
    # A library's word about a later release is no doubt about a number.
    for kind in (DeprecationWarning, FutureWarning, PendingDeprecationWarning):
        warnings.simplefilter("ignore", kind)
    # Libraries greet on standard output, below Python's own: that goes to standard error instead.
    with os.fdopen(os.dup(1), "w") as out:
        os.dup2(2, 1)
        cases = json.load(sys.stdin)
        json.dump([functions[case["ask"]](case) for case in cases], out, allow_nan=False)


def beam(nodes, stiffness, pull=0.0, mass=0.0):
    """Stiffness and mass of a straight Euler–Bernoulli beam by scikit-fem's Hermite elements.

    `nodes` along the beam in m, EI in N·m², a pull along it in N, kg/m; one degree of freedom for
    the movement across and one for the slope at every node. Returns (K, M, basis).
    """
    import numpy as np
    from skfem import Basis, BilinearForm, ElementLineHermite, MeshLine
    from skfem.helpers import d, dd, ddot, dot

    basis = Basis(MeshLine(np.unique(np.asarray(nodes, dtype=float))), ElementLineHermite(), intorder=6)

    @BilinearForm
    def bent(u, v, _):
        return stiffness * ddot(dd(u), dd(v)) + pull * dot(d(u), d(v))

    @BilinearForm
    def moved(u, v, _):
        return mass * u * v

    return bent.assemble(basis), moved.assemble(basis), basis


def at(basis, place):
    """The degrees of freedom (movement, slope) of the node at a place along the beam."""
    import numpy as np

    node = int(np.argmin(np.abs(basis.mesh.p[0] - place)))
    if abs(basis.mesh.p[0][node] - place) > 1e-9:
        raise ValueError(f"no node at {place}")
    return basis.nodal_dofs[0][node], basis.nodal_dofs[1][node]
