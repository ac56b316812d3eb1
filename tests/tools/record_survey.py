"""Records what outside libraries answer for the survey's checks: scipy for networks of tapes, OpenCV for the camera.

Run by hand (python3 record_survey.py OUT_DIR) with numpy, scipy and opencv-python-headless from PyPI; the tests read
the recorded answers offline. The networks, points and cameras are invented.
"""

import itertools
import json
import sys

import cv2
import numpy as np
import scipy
from scipy.optimize import least_squares

out = sys.argv[1]
rng = np.random.default_rng(20260501)


def network(points, pairs, plan, name):
    """Tapes between points, adjusted by scipy with a gauge of its own; only distances are recorded, with sigmas."""
    dims = 2 if plan else 3
    points = np.asarray(points, float)[:, :dims]
    n = len(points)
    true = np.array([np.linalg.norm(points[a] - points[b]) for a, b in pairs])
    sigma = 0.003 + 0.0005 * true
    read = np.round(true + rng.normal(0, 1, len(pairs)) * sigma, 4)
    # Minimal gauge: first point, direction to the second (and in space the plane of the third) stand still.
    fixed = [(0, k) for k in range(dims)] + [(1, k) for k in range(1, dims)] + ([(2, 2)] if not plan else [])
    # A frame in which those are zero.
    e1 = points[1] - points[0]
    e1 /= np.linalg.norm(e1)
    axes = [e1]
    for p in points[2:]:
        v = p - points[0]
        for a in axes:
            v = v - a * (a @ v)
        if np.linalg.norm(v) > 1e-6 and len(axes) < dims:
            axes.append(v / np.linalg.norm(v))
    frame = (points - points[0]) @ np.array(axes).T
    free = [(i, k) for i in range(n) for k in range(dims) if (i, k) not in fixed]

    def place(x):
        q = np.zeros((n, dims))
        for value, (i, k) in zip(x, free):
            q[i, k] = value
        return q

    def residuals(x):
        q = place(x)
        return np.array([np.linalg.norm(q[a] - q[b]) for a, b in pairs]) / sigma - read / sigma

    start = np.array([frame[i, k] for i, k in free])
    found = least_squares(residuals, start, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    q = place(found.x)
    distances = []
    for a, b in itertools.combinations(range(n), 2):
        way = q[b] - q[a]
        length = np.linalg.norm(way)
        g = np.array([(way[k] / length) * ((i == b) - (i == a)) for i, k in free])
        distances.append([a, b, length, float(np.sqrt(max(g @ covariance @ g, 0.0)))])
    return {
        "name": name,
        "plan": plan,
        "points": np.asarray(points).tolist(),
        "tapes": [[a, b, r, s] for (a, b), r, s in zip(pairs, read.tolist(), sigma.tolist())],
        "chi2": float(2 * found.cost),
        "dof": len(pairs) - len(free),
        "distances": distances,
    }


plan_points = [(0, 0, 0), (7.2, 0.3, 0), (11.0, 4.1, 0), (9.6, 9.3, 0), (4.3, 10.8, 0), (-0.8, 6.9, 0), (5.1, 5.2, 0)]
plan_pairs = [p for p in itertools.combinations(range(7), 2) if p not in [(0, 3), (1, 4), (2, 5), (0, 2)]]
space_points = [(0, 0, 2.4), (9.2, 0, 2.45), (9.2, 5.6, 2.4), (0, 5.6, 2.38), (2.8, 2.8, 4.36), (6.4, 2.8, 4.4)]
space_pairs = list(itertools.combinations(range(6), 2))
json.dump(
    {
        "by": f"scipy {scipy.__version__}, numpy {np.__version__}",
        "networks": [
            network(plan_points, plan_pairs, True, "seven points in plan"),
            network(space_points, space_pairs, False, "six points of a hip roof in space"),
        ],
    },
    open(f"{out}/scipy_tapes.json", "w"),
    indent=1,
)

cases = []
for number in range(12):
    f, cx, cy, k1 = rng.uniform(2500, 3500), rng.uniform(1900, 2100), rng.uniform(1400, 1600), rng.uniform(-0.1, 0.1)
    points = rng.uniform([-5, -3, 0], [5, 3, 5], (9, 3))
    yaw = rng.uniform(0, 2 * np.pi)
    forward = np.array([np.cos(yaw), np.sin(yaw), 0.0])
    rotation = np.array([[np.sin(yaw), -np.cos(yaw), 0.0], [0.0, 0.0, -1.0], forward])
    tilt, _ = cv2.Rodrigues(rng.normal(0, 0.15, 3))
    rotation = tilt @ rotation
    centre = -rotation[2] * rng.uniform(14, 22) + np.array([0, 0, 2.0])
    rvec, _ = cv2.Rodrigues(rotation)
    tvec = -rotation @ centre
    matrix = np.array([[f, 0, cx], [0, f, cy], [0, 0, 1]])
    distortion = np.array([k1, 0, 0, 0, 0])
    pixels, _ = cv2.projectPoints(points, rvec, tvec, matrix, distortion)
    pixels = pixels[:, 0, :]
    marks = np.round(pixels + rng.normal(0, 2.0, pixels.shape), 3)
    ok, r2, t2 = cv2.solvePnP(points, marks, matrix, distortion, flags=cv2.SOLVEPNP_ITERATIVE)
    assert ok
    r2, t2 = cv2.solvePnPRefineLM(
        points, marks, matrix, distortion, r2, t2, (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 200, 1e-14)
    )
    found, _ = cv2.Rodrigues(r2)
    cases.append(
        {
            "lens": [f, cx, cy, k1],
            "points": points.tolist(),
            "rotation": rotation.tolist(),
            "centre": centre.tolist(),
            "projected": pixels.tolist(),
            "marks": marks.tolist(),
            "solved_rotation": found.tolist(),
            "solved_centre": (-found.T @ t2)[:, 0].tolist(),
        }
    )
json.dump({"by": f"OpenCV {cv2.__version__}", "cases": cases}, open(f"{out}/opencv_camera.json", "w"), indent=1)
