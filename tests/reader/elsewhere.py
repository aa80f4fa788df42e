"""Pictures rendered and read by general libraries, and camera maps fitted by them, to compare with.

Not run by the tests, which read what it keeps in tests/data/pictures. To make that anew (a minute):

    python3 -m venv /tmp/elsewhere
    /tmp/elsewhere/bin/pip install numpy==2.4.6 scipy==1.17.1 opencv-python-headless==5.0.0.93 scikit-image==0.26.0
    /tmp/elsewhere/bin/python tests/reader/elsewhere.py tests/data/pictures

The renderer shares nothing with the project's: light is drawn photon by photon (Poisson), each photon is
amplified by a gain that differs widely (exponential, as in a microchannel plate), spread by the screen's
and lens's point spread, and read by a camera with noise of its own and 8 bits.

Three estimators: a least-squares fit of the whole cross at once (scipy.optimize.least_squares); the
crossing of two lines through each row's and column's centroid (cv2.fitLine, Huber's distance); the same
through ridge places of a smoothed picture (skimage.filters.gaussian, a parabola through three values).
"""

import datetime
import sys
from pathlib import Path

import cv2
import numpy as np
import scipy
import skimage
from scipy.ndimage import gaussian_filter
from scipy.optimize import least_squares

SIZE = (160, 120)
GAIN = 2.5


def shape(params, x, y):
    """Light of a cross with soft ends: place, roll (radians, counter-clockwise), width, height, level."""
    x0, y0, roll, sigma, height, level = params[:6]
    along = np.cos(roll) * (x - x0) - np.sin(roll) * (y - y0)
    across = np.sin(roll) * (x - x0) + np.cos(roll) * (y - y0)
    flat = np.exp(-0.5 * (across / sigma) ** 2)
    upright = np.exp(-0.5 * (along / sigma) ** 2)
    return level, height, flat, upright, along, across


def light(params, arm, x, y):
    level, height, flat, upright, along, across = shape(params, x, y)
    ends = lambda far: 1.0 / (1.0 + np.exp((np.abs(far) - arm) / 0.5))
    return level + height * np.maximum(flat * ends(along), upright * ends(across))


def rendered(rng, params, arm):
    """Eight-bit picture: oversampled threefold, photons, gain, spread, read noise."""
    over = 3
    x = (np.arange(SIZE[0] * over) + 0.5) / over - 0.5
    y = (np.arange(SIZE[1] * over) + 0.5) / over - 0.5
    photons = rng.poisson(light(params, arm, *np.meshgrid(x, y)) / over**2)
    # The sum of n exponential gains of mean 1 is a gamma variate of shape n.
    screen = np.where(photons > 0, rng.gamma(np.maximum(photons, 1)), 0.0)
    screen = gaussian_filter(screen, 0.7 * over)
    pixels = screen.reshape(SIZE[1], over, SIZE[0], over).sum(axis=(1, 3))
    counts = GAIN * pixels + 8.0 + rng.normal(0.0, 1.5, pixels.shape)
    return np.clip(np.rint(counts), 0, 255).astype(np.uint8)


def whole(picture, start, arm):
    """All of the cross at once; covariance from the residuals."""
    x, y = np.meshgrid(np.arange(SIZE[0]), np.arange(SIZE[1]))
    data = picture.astype(float)
    model = lambda p: (light(p, arm, x, y) - data).ravel()
    found = least_squares(model, start, x_scale=[1, 1, 0.01, 1, 10, 10])
    variance = 2 * found.cost / (data.size - 6)
    covariance = np.linalg.inv(found.jac.T @ found.jac) * variance
    return found.x, covariance[:2, :2]


def two_lines(places_flat, places_upright):
    lines = []
    for places in (places_flat, places_upright):
        vx, vy, x0, y0 = cv2.fitLine(places.astype(np.float32), cv2.DIST_HUBER, 0, 1e-4, 1e-6).ravel()
        lines.append((vx, vy, x0, y0))
    (ax, ay, a0, b0), (cx, cy, c0, d0) = lines
    t = np.linalg.solve([[ax, -cx], [ay, -cy]], [c0 - a0, d0 - b0])
    return [float(a0 + t[0] * ax), float(b0 + t[0] * ay)]


def by_rows(picture, params, arm, parabola):
    """Places along each line: centroid, or the parabola's top of the smoothed picture."""
    x0, y0, roll, sigma = params[:4]
    data = picture.astype(float)
    if parabola:
        data = skimage.filters.gaussian(data, sigma, preserve_range=True)
    reach = int(np.ceil(3 * sigma))
    flat, upright = [], []
    for off in range(-int(arm) + 3, int(arm) - 2):
        if abs(off) < 4 * sigma + 2:
            continue
        for places, wanted, column in ((flat, True, True), (upright, False, False)):
            u = (x0 if wanted else y0) + off
            v = (y0 if wanted else x0) + off * (-np.tan(roll) if wanted else np.tan(roll))
            i, j = int(round(u)), int(round(v))
            line = data[:, i] if column else data[i, :]
            v = (y0 - (i - x0) * np.tan(roll)) if wanted else (x0 + (i - y0) * np.tan(roll))
            j = int(round(v))
            if parabola:
                window = line[j - 2 : j + 3]
                top = int(np.argmax(window)) + j - 2
                a, b, c = line[top - 1 : top + 2]
                at = top + 0.5 * (a - c) / min(a - 2 * b + c, -1e-9)
            else:
                window = line[j - reach : j + reach + 1]
                ground = 0.5 * (line[j - 2 * reach : j - reach].mean() + line[j + reach + 1 : j + 2 * reach].mean())
                weight = window - ground
                at = j + float((weight * np.arange(-reach, reach + 1)).sum() / weight.sum())
            if abs(at - v) > 2 * sigma:
                continue
            places.append((i, at) if wanted else (at, i))
    return two_lines(np.array(flat), np.array(upright))


def pictures(folder, count, keep):
    text = []
    errors = {"whole": [], "centroid": [], "ridge": []}
    rng = np.random.default_rng(20260722)
    for number in range(count):
        truth = [
            rng.uniform(65, 95), rng.uniform(50, 70), np.radians(rng.uniform(-15, 15)),
            rng.uniform(0.9, 2.2), rng.uniform(8.0, 30.0), rng.uniform(4.0, 12.0),
        ]
        arm = rng.uniform(38, 44)
        picture = rendered(rng, truth, arm)
        start = truth[:3] + [np.hypot(truth[3], 0.76), GAIN * truth[4], GAIN * truth[5] + 8]
        fitted, covariance = whole(picture, start, arm)
        found = {
            "whole": fitted[:2].tolist(),
            "centroid": by_rows(picture, fitted, arm, False),
            "ridge": by_rows(picture, fitted, arm, True),
        }
        for name, at in found.items():
            errors[name].append([at[0] - truth[0], at[1] - truth[1]])
        if number < keep:
            name = f"cross-{number + 1}.pgm"
            (folder / name).write_bytes(b"P5\n%d %d\n255\n" % SIZE + picture.tobytes())
            text.append("[[picture]]")
            text.append(f'file = "{name}"')
            text.append(f"true_px = [{truth[0]!r}, {truth[1]!r}]")
            text.append(f"roll_deg = {float(np.degrees(truth[2]))!r}")
            for key, at in found.items():
                text.append(f"{key}_px = [{at[0]!r}, {at[1]!r}]")
            xx, xy, yy = covariance[0, 0], covariance[0, 1], covariance[1, 1]
            text.append(f"whole_covariance_px2 = [{float(xx)!r}, {float(xy)!r}, {float(yy)!r}]")
            text.append("")
    rms = {name: float(np.sqrt(np.mean(np.square(all_)))) for name, all_ in errors.items()}
    return text, rms


def maps():
    """Homographies by cv2.findHomography, and one with a radial term by scipy's least squares."""
    text = []
    rng = np.random.default_rng(7)
    size = (1280, 960)
    middle = np.array([(size[0] - 1) / 2, (size[1] - 1) / 2])
    half = np.hypot(*size) / 2
    true = np.array([[9.7, 0.31, 640.0], [0.28, -9.9, 470.0], [0.0006, -0.0004, 1.0]])

    def through(h, places):
        p = np.c_[places, np.ones(len(places))] @ h.T
        return p[:, :2] / p[:, 2:]

    def bent(straight, k):
        # r (1 + k r²) = far, by repetition.
        off = (straight - middle) / half
        far = np.hypot(off[:, 0], off[:, 1])
        r = far.copy()
        for _ in range(200):
            r = far / (1 + k * r * r)
        return middle + half * off * (r / np.maximum(far, 1e-15))[:, None]

    for name, count, k in (("four", 4, 0.0), ("seven", 7, 0.0), ("twenty", 20, 0.045)):
        if count == 4:
            divisions = np.array([[-50, -40], [50, -40], [50, 40], [-50, 40]], float)
        else:
            divisions = np.round(rng.uniform([-52, -38], [52, 38], (count, 2)), 1)
        px = bent(through(true, divisions), k) + rng.normal(0, 0.5, (count, 2))
        px = np.round(px, 3)
        probes = np.array([[0.0, 0.0], [30.0, -20.0], [-45.0, 33.0]])
        if count < 8:
            h, _ = cv2.findHomography(divisions, px, 0)
            found_k, at = 0.0, through(h, probes)
            left = through(h, divisions) - px
        else:
            def model(p):
                h = np.append(p[:8], 1.0).reshape(3, 3)
                return bent(through(h, divisions), p[8])

            start = np.append((true / true[2, 2]).ravel()[:8], 0.0)
            scale = np.array([1, 1, 100, 1, 1, 100, 1e-3, 1e-3, 0.1])
            fit = least_squares(lambda p: (model(p) - px).ravel(), start, x_scale=scale, xtol=1e-15, ftol=1e-15, gtol=1e-15)
            found_k = float(fit.x[8])
            at = bent(through(np.append(fit.x[:8], 1.0).reshape(3, 3), probes), found_k)
            left = model(fit.x) - px
        text.append("[[map]]")
        text.append(f'name = "{name}"')
        text.append(f"size_px = [{size[0]}, {size[1]}]")
        text.append(f"divisions = {divisions.tolist()!r}")
        text.append(f"px = {px.tolist()!r}")
        text.append(f"k = {found_k!r}")
        text.append(f"rms_px = {float(np.sqrt(np.mean(np.sum(left**2, axis=1))))!r}")
        text.append(f"probe_divisions = {probes.tolist()!r}")
        text.append(f"probe_px = {at.tolist()!r}")
        text.append("")
    return text


def main():
    folder = Path(sys.argv[1])
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    kept, rms = pictures(folder, count, 8)
    versions = f"numpy {np.__version__}, scipy {scipy.__version__}, opencv {cv2.__version__}, scikit-image {skimage.__version__}"
    head = [
        "# Made by tests/reader/elsewhere.py, which says how and how to make it anew.",
        f'made = "{datetime.date.today().isoformat()}"',
        f'by = "{versions}"',
        f"pictures = {count}",
        f"# Root mean square error each way over all {count}, of which the first are kept.",
        *(f"{name}_rms_px = {value!r}" for name, value in rms.items()),
        "",
    ]
    (folder / "elsewhere.toml").write_text("\n".join(head + kept + maps()))
    print(rms)


main()
