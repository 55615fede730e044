"""What trial wires teach: by statsmodels' least squares with the expectation as two readings more,
and by the whole posterior of Student-t errors, summed on a grid.
"""

import numpy as np
from scipy import stats
from statsmodels.regression.linear_model import GLS

from shared import answer

FREEDOM = 4


def least_squares(case, weights):
    """Mean and covariance of offset and stretch, each reading with a weight."""
    prior = case["prior"]
    rows = [[1.0, 0.0], [0.0, 1.0]] + [[1.0, metres] for metres, _ in case["read"]]
    values = [prior["offset"], prior["perMetre"]] + [z for _, z in case["read"]]
    scatter = [prior["offsetSpread"] ** 2, prior["perMetreSpread"] ** 2]
    scatter += [case["spread"] ** 2 / weight for weight in weights]
    fit = GLS(np.array(values), np.array(rows), sigma=np.array(scatter)).fit(cov_type="fixed scale")
    return fit.params, fit.cov_params()


def learned(case):
    mean, covariance = least_squares(case, case["weights"])
    line = stats.multivariate_normal(mean, covariance)
    # Each weight again, from the mean square of its reading over everything the line may be.
    nodes, shares = np.polynomial.hermite_e.hermegauss(20)
    shares = shares / shares.sum()
    again = []
    for metres, z in case["read"]:
        row = np.array([1.0, metres])
        off = z - row @ line.mean - nodes * np.sqrt(row @ line.cov @ row)
        again.append((FREEDOM + 1) / (FREEDOM + float(shares @ off**2) / case["spread"] ** 2))
    asked = np.array([1.0, case["metres"]])
    return {
        "offset": mean[0],
        "perMetre": mean[1],
        "variance": [covariance[0, 0], covariance[0, 1], covariance[1, 1]],
        "weights": again,
        "expected": float(asked @ mean),
        "spread": float(np.sqrt(asked @ covariance @ asked + case["spread"] ** 2)),
    }


def whole(case):
    """Mean and spread of the line at a length, over the exact posterior with Student-t errors."""
    prior = case["prior"]
    span = np.linspace(-7, 7, 401)
    offset = prior["offset"] + span[:, None] * prior["offsetSpread"]
    slope = prior["perMetre"] + span[None, :] * prior["perMetreSpread"]
    log = stats.norm.logpdf(span)[:, None] + stats.norm.logpdf(span)[None, :]
    for metres, z in case["read"]:
        log = log + stats.t.logpdf(z - offset - slope * metres, FREEDOM, scale=case["spread"])
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    line = offset + slope * case["metres"]
    mean = float((weight * line).sum())
    return {"mean": mean, "spread": float(np.sqrt((weight * (line - mean) ** 2).sum()))}


def worth(case):
    """Wires expected to miss now and after one reading more, at the length of the first of them."""

    def misses(read, weights):
        _, covariance = least_squares(dict(case, read=read), weights)
        total, widest = 0.0, 0.0
        for wire in case["remaining"]:
            row = np.array([1.0, wire["metres"]])
            spread = float(np.sqrt(row @ covariance @ row + case["spread"] ** 2))
            law = stats.norm(wire["aim"], spread)
            total += law.sf(wire["longest"]) + law.cdf(wire["shortest"])
            widest = max(widest, spread)
        return total, widest

    more = case["read"] + [[case["remaining"][0]["metres"], 0.0]]
    now, then = misses(case["read"], case["weights"]), misses(more, case["weightsThen"])
    return {"now": now[0], "then": then[0], "spreadNow": now[1], "spreadThen": then[1]}


answer({"learned": learned, "whole": whole, "worth": worth})
