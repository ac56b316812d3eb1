"""Records the similarity that OpenCV finds between invented places and where a plan shows them, for the check of plans.

Run by hand (python3 record_plans.py OUT_DIR) with numpy and opencv-python-headless from PyPI; the tests read the recorded
answers offline.
"""

import json
import sys

import cv2
import numpy as np

out = sys.argv[1]
rng = np.random.default_rng(20261201)
cases = []
for number in range(12):
    places = rng.uniform([-6, -4], [9, 7], (int(rng.integers(4, 9)), 2)) + (rng.uniform(-1e3, 1e3, 2) if number % 2 else 0)
    turn, scale = rng.uniform(0, 2 * np.pi), rng.uniform(40, 200)
    similarity = scale * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    # Rows count downwards, y upwards: a plan is seen from above, so it is never mirrored.
    flipped = places * [1, -1]
    middle = flipped.mean(axis=0)
    pixels = (flipped - middle) @ similarity.T + [1300, 900] + rng.normal(0, 3.0, places.shape)
    # Every mark counts: the threshold is far beyond the errors. Refined by least squares over all.
    found, inliers = cv2.estimateAffinePartial2D(
        flipped - middle, pixels, method=cv2.RANSAC, ransacReprojThreshold=1e4, refineIters=1000
    )
    assert inliers.all()
    probes = rng.uniform([-6, -4], [9, 7], (5, 2)) + (places.mean(axis=0) - [1.5, 1.5])
    shown = (probes * [1, -1] - middle) @ found[:, :2].T + found[:, 2]
    cases.append(
        {"places": places.tolist(), "pixels": pixels.tolist(), "probes": probes.tolist(), "shown": shown.tolist()}
    )

with open(f"{out}/opencv_plans.json", "w") as file:
    json.dump({"made_with": f"OpenCV {cv2.__version__}, numpy {np.__version__}", "cases": cases}, file)
    file.write("\n")
