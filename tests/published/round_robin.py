"""Results of several benches against their weighted mean, by general libraries, to compare with.

Not run by the tests, which read what it printed in round_robin.rs. To make that anew:

    python3 -m venv /tmp/elsewhere
    /tmp/elsewhere/bin/pip install numpy==2.4.6 scipy==1.17.1 uncertainties==3.2.3
    /tmp/elsewhere/bin/python tests/published/round_robin.py >tests/published/round_robin.rs

`uncertainties` carries the correlation of each result with the mean that it is part of by itself: no formula
for the difference's uncertainty is given to it.
"""

import datetime
from importlib.metadata import version

import numpy as np
from scipy import stats
from uncertainties import ufloat

rng = np.random.default_rng(13528)


def case(count, spread):
    u = rng.uniform(0.1, 1.2, count)
    x = rng.normal(rng.uniform(-20, 20), spread, count) + rng.normal(0, u)
    results = [ufloat(value, own) for value, own in zip(x, u)]
    weights = 1 / u**2
    mean = sum(w * result for w, result in zip(weights, results)) / weights.sum()
    differences = [result - mean for result in results]
    chi = float((weights * (x - mean.nominal_value) ** 2).sum())
    rows = ", ".join(
        f"({value!r}, {own!r}, {d.nominal_value!r}, {d.std_dev!r})"
        for value, own, d in zip(map(float, x), map(float, u), differences)
    )
    return (
        f"    Elsewhere {{\n        each: &[{rows}],\n        mean: {float(mean.nominal_value)!r},\n"
        f"        u: {float(mean.std_dev)!r},\n        chi_squared: {chi!r},\n"
        f"        p_value: {float(stats.chi2.sf(chi, count - 1))!r},\n    }},"
    )


libraries = ", ".join(f"{name} {version(name)}" for name in ("numpy", "scipy", "uncertainties"))
print("//! Results of several benches against their weighted mean, as general libraries work them out.")
print("//!")
print(f"//! Made by round_robin.py, which says how and how to make it anew, on {datetime.date.today()} with {libraries}.")
print("//! The data are invented.")
print()
print("/// A case.")
print("pub(crate) struct Elsewhere {")
print("    /// Value, standard uncertainty, value less mean, standard uncertainty of that.")
print("    pub(crate) each: &'static [(f64, f64, f64, f64)],")
for name, what in (
    ("mean", "The weighted mean."),
    ("u", "Its standard uncertainty."),
    ("chi_squared", "Weighted sum of squares about it."),
    ("p_value", "How likely so much or more is by chance."),
):
    print(f"    /// {what}\n    pub(crate) {name}: f64,")
print("}\n\n/// Few and many benches, that agree and that do not.")
print("pub(crate) const CASES: &[Elsewhere] = &[")
for count, spread in ((2, 0.0), (3, 0.0), (5, 0.0), (8, 0.0), (4, 2.0), (12, 0.5)):
    print(case(count, spread))
print("];")
