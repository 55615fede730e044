"""What a gauge can tell, in whole fractions: no rounding until the last step.

Newtons; errors in thousandths.
"""

from fractions import Fraction
from math import ceil, floor

from shared import answer


def step(band):
    """The largest of 1, 2 or 5 times a power of ten within a band; 1 N at least."""
    if band < 1:
        return Fraction(1)
    power = Fraction(1)
    while 10 * power <= band:
        power *= 10
    return max(digit * power for digit in (1, 2, 5) if digit * power <= band)


def half_up(value):
    return floor(value + Fraction(1, 2))


def told(case):
    error = Fraction(case["permille"], 1000)
    required, loss, upper = (Fraction(case[name]) for name in ("required", "loss", "upper"))
    clear = half_up(required / (1 - error))
    to = floor(upper / (1 + error))
    least = (required + loss) / (1 - error)
    # One step for all that is told of a required tension.
    own = step(required * error)
    return {
        "clearFrom": clear,
        "clearTo": to,
        "step": int(own),
        "enough": to - clear >= own,
        "leastSet": int(ceil(least / own) * own),
        "shown": int(half_up(required / own) * own),
        "shownUpper": int(floor(upper / step(upper * error)) * step(upper * error)),
    }


answer({"told": told})
