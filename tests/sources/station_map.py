"""Station maps fitted by general libraries, to compare with.

Not run by the tests, which read what it keeps in tests/data/station_map. To make that anew (a second):

    python3 -m venv /tmp/elsewhere
    /tmp/elsewhere/bin/pip install numpy==2.4.6 scipy==1.17.1 scikit-image==0.26.0
    /tmp/elsewhere/bin/python tests/sources/station_map.py tests/data/station_map

Each case is a station with a map of its own, read with noise. Two estimators, neither of which shares anything
with the project's: a similarity without reflection (skimage.transform.SimilarityTransform) of the flipped
readings, all weighing alike; and weighted least squares of rotation, scales and boresight by
scipy.optimize.least_squares, with the covariance from its Jacobian (GUM, JCGM 100:2008, 5.1).
"""

import datetime
import sys
from pathlib import Path

import numpy as np
import scipy
import skimage
from scipy.optimize import least_squares
from scipy.stats import chi2
from skimage.transform import SimilarityTransform


def read_of(params, flips, known):
    """Divisions: flips after the turn back after the scale."""
    turn, x_scale, y_scale, x_zero, y_zero = params
    scaled = known / np.array([x_scale, y_scale])
    cos, sin = np.cos(turn), np.sin(turn)
    turned = np.column_stack([cos * scaled[:, 0] + sin * scaled[:, 1], -sin * scaled[:, 0] + cos * scaled[:, 1]])
    return turned * np.where(flips, -1.0, 1.0) + np.array([x_zero, y_zero])


def fitted(flips, known, read, u_arcmin, sigma, each):
    """Weights held at the scale, again until it stays."""
    full = lambda free: free if each else np.insert(free, 2, free[1])
    start = SimilarityTransform.from_estimate(known, read * np.where(flips, -1.0, 1.0))
    free = np.array([-start.rotation, 1 / start.scale, 1 / start.scale, *read.mean(axis=0)])
    free = free if each else np.delete(free, 2)
    for _ in range(100):
        _, x_scale, y_scale, _, _ = full(free)
        size = 0.5 * (x_scale**-2 + y_scale**-2)
        spread = np.sqrt(sigma**2 + size * u_arcmin**2)[:, None]
        off = lambda free: ((read - read_of(full(free), flips, known)) / spread).ravel()
        done = least_squares(off, free, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
        if np.allclose(done.x, free, rtol=1e-14, atol=1e-14):
            break
        free = done.x
    misfit = 2 * done.cost
    covariance = np.linalg.inv(done.jac.T @ done.jac)
    return full(free), covariance, misfit, chi2.sf(misfit, 2 * len(known) - len(free))


def row(values):
    return "[" + ", ".join(repr(float(value)) for value in values) + "]"


def main(folder):
    rng = np.random.default_rng(19)
    lines = [
        "# Made by tests/sources/station_map.py, which says how and how to make it anew.",
        f'made = "{datetime.date.today()}"',
        f'by = "numpy {np.__version__}, scipy {scipy.__version__}, scikit-image {skimage.__version__}"',
    ]
    cross = np.array([[0, 0], [60, 0], [-60, 0], [0, 60], [0, -60]], float)
    for number, (flips, turn_deg, scales, zero, each) in enumerate(
        [
            ((False, False), 1.3, (2.0, 2.0), (0.4, -0.2), False),
            ((True, False), -3.7, (1.5, 1.5), (-2.0, 1.0), False),
            ((False, True), 12.0, (0.8, 0.8), (10.0, 12.0), False),
            ((True, True), 0.2, (2.0, 2.1), (0.0, 0.0), True),
            ((True, False), 2.0, (1.5, 1.4), (3.0, -4.0), True),
        ]
    ):
        flips = np.array(flips)
        known = np.vstack([cross, rng.uniform(-90, 90, (number, 2))])
        u_arcmin = rng.uniform(0.05, 0.4, len(known))
        sigma = 0.1
        params = np.array([np.radians(turn_deg), *scales, *zero])
        noise = rng.normal(0, np.sqrt(sigma**2 + u_arcmin**2 / scales[0] ** 2)[:, None], known.shape)
        read = np.round(read_of(params, flips, known) + noise, 3)
        known, u_arcmin = np.round(known, 3), np.round(u_arcmin, 3)
        found, covariance, misfit, consistency = fitted(flips, known, read, u_arcmin, sigma, each)
        lines += [
            "\n[[case]]",
            f"flips = [{str(bool(flips[0])).lower()}, {str(bool(flips[1])).lower()}]",
            f"each_axis = {str(each).lower()}",
            f"sigma_divisions = {sigma}",
            "known_arcmin = [" + ", ".join(row(pair) for pair in known) + "]",
            f"u_arcmin = {row(u_arcmin)}",
            "read_divisions = [" + ", ".join(row(pair) for pair in read) + "]",
            "# Rotation in degrees, scales in arcminutes per division, boresight in divisions.",
            f"map = {row([np.degrees(found[0]), *found[1:]])}",
            "# Standard uncertainties in the same order, one scale once.",
            f"u = {row(np.sqrt(np.diag(covariance)) * np.array([np.degrees(1.0)] + [1.0] * (len(covariance) - 1)))}",
            f"misfit = {float(misfit)!r}",
            f"consistency = {float(consistency)!r}",
        ]
        if not each:
            plain = SimilarityTransform.from_estimate(known, read * np.where(flips, -1.0, 1.0))
            zero = plain.translation * np.where(flips, -1.0, 1.0)
            lines.append("# All weighing alike, by SimilarityTransform.")
            lines.append(f"similarity = {row([-np.degrees(plain.rotation), 1 / plain.scale, *zero])}")
    Path(folder, "elsewhere.toml").write_text("\n".join(lines) + "\n")


main(sys.argv[1])
