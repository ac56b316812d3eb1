"""Roof area by side from PyPI pysfcgal, for outlines one JSON line each; answers one line each to standard output.

A line in: {"seed": N, "rings": [[[x, y], ...], ...], "pitches": [[degrees, ...], ...]}; pitch i is of the side from
corner i. A line out: the seed, then the areas of the sides ring after ring, nine digits; "-" where there is no answer.
In that library an angle belongs to the edge that ENDS at a corner, and 90 degrees is out of reach: a gable is 1e-7 off.
"""
import json
import math
import sys
import warnings

warnings.simplefilter("ignore")
from pysfcgal.geometry import Polygon  # noqa: E402


def side_of(points, rings):
    """Which side a face rises from: the one its level edge at height 0 lies along."""
    best = None
    for (ax, ay, az), (bx, by, bz) in zip(points, points[1:]):
        if abs(az) > 1e-9 or abs(bz) > 1e-9 or math.hypot(bx - ax, by - ay) < 1e-9:
            continue
        for r, ring in enumerate(rings):
            for k, start in enumerate(ring):
                end = ring[(k + 1) % len(ring)]
                off = max(
                    min(math.dist(p, start) for p in [(ax, ay), (bx, by)]),
                    min(math.dist(p, end) for p in [(ax, ay), (bx, by)]),
                )
                if best is None or off < best[0]:
                    best = (off, (r, k))
    return best[1] if best and best[0] < 1e-6 else None


def newell(points):
    x = y = z = 0.0
    for (ax, ay, az), (bx, by, bz) in zip(points, points[1:]):
        x += ay * bz - az * by
        y += az * bx - ax * bz
        z += ax * by - ay * bx
    return math.sqrt(x * x + y * y + z * z) / 2


def areas(record):
    rings, pitches = record["rings"], record["pitches"]
    polygon = Polygon([tuple(p) for p in rings[0]], [[tuple(p) for p in ring] for ring in rings[1:]])
    angles = [[min(ring[k - 1], 90 - 1e-7) for k in range(len(ring))] for ring in pitches]
    roof = polygon.extrude_straight_skeleton_with_angles(1e4, angles)
    found = [[0.0] * len(ring) for ring in rings]
    for face in roof.to_coordinates():
        outer = face[0]
        if all(abs(p[2]) < 1e-12 for p in outer):
            continue
        side = side_of(outer, rings)
        if side is None:
            return None
        found[side[0]][side[1]] += newell(outer) - sum(newell(hole) for hole in face[1:])
    return found


def main():
    for line in sys.stdin:
        record = json.loads(line)
        try:
            found = areas(record)
        except Exception:  # a refusal of the library is an answer too
            found = None
        text = "-" if found is None else " ".join(f"{a:.9g}" for ring in found for a in ring)
        print(record["seed"], text, flush=True)


main()
