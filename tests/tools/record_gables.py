"""Records where OpenCV projects the edges of invented gables, for the check of pitches from one photo.

Run by hand (python3 record_gables.py OUT_DIR) with numpy and opencv-python-headless from PyPI; the tests read the
recorded answers offline.
"""

import json
import sys

import cv2
import numpy as np

out = sys.argv[1]
rng = np.random.default_rng(20261130)
cases = []
for number in range(12):
    f, cx, cy = rng.uniform(2500, 3500), rng.uniform(1900, 2100), rng.uniform(1400, 1600)
    k1, k2 = rng.uniform(-0.1, 0.1), rng.uniform(-0.05, 0.05)
    width, wall = rng.uniform(3, 7), rng.uniform(2, 3.2)
    left, right = np.radians(rng.uniform(20, 55, 2))
    # Apex over the point where both slopes reach one height.
    run = width * np.tan(right) / (np.tan(left) + np.tan(right))
    apex = [run, 0, wall + run * np.tan(left)]
    edges = {
        "plumb": [[[0, 0, 0], [0, 0, wall]], [[width, 0, 0], [width, 0, wall]], [[1.0, 0, 0], [1.0, 0, 1.9]]],
        "level": [[[0, 0, wall], [width, 0, wall]], [[0, 0, 0.1], [width, 0, 0.1]]],
        "verges": [[[0, 0, wall], apex], [apex, [width, 0, wall]]],
    }
    # From before the gable (it is seen from -y), up to 40 degrees aside.
    aside = np.radians(rng.uniform(-40, 40))
    away = rng.uniform(7, 12)
    centre = np.array([width / 2 + away * np.sin(aside), -away * np.cos(aside), 1.6])
    ahead = np.array([width / 2, 0, wall * 0.9]) - centre
    ahead /= np.linalg.norm(ahead)
    right_hand = np.cross(ahead, [0, 0, 1])
    right_hand /= np.linalg.norm(right_hand)
    rotation = np.array([right_hand, np.cross(ahead, right_hand), ahead])
    tilt, _ = cv2.Rodrigues(rng.normal(0, 0.05, 3))
    rotation = tilt @ rotation
    rvec, _ = cv2.Rodrigues(rotation)
    matrix = np.array([[f, 0, cx], [0, f, cy], [0, 0, 1]])
    distortion = np.array([k1, k2, 0, 0, 0])

    def seen(edge):
        pixels, _ = cv2.projectPoints(np.array(edge, float), rvec, -rotation @ centre, matrix, distortion)
        return pixels[:, 0, :].tolist()

    cases.append(
        {
            "lens": [f, cx, cy, k1, k2],
            "rotation": rotation.tolist(),
            "pitches": [float(np.degrees(left)), float(np.degrees(right))],
            **{kind: [seen(edge) for edge in list_] for kind, list_ in edges.items()},
        }
    )
json.dump({"by": f"OpenCV {cv2.__version__}", "cases": cases}, open(f"{out}/opencv_gables.json", "w"), indent=1)
