"""How long general-purpose libraries take for the straight skeleton or the roof of outlines, beside the times in the lines.

Reads what `benches/beside.rs` writes: one JSON line an outline, with its rings, pitches and the seconds of a whole solve.
Needs pysfcgal and compas_cgal from PyPI, either of which may be missing. pysfcgal makes the roof with the pitches, as a
solid; compas_cgal the skeleton of one speed alone, so its outlines are the same and its work is less.
"""
import json
import statistics
import sys
import time
import warnings

warnings.simplefilter("ignore")

# As often as the lines' own solves.
ROUNDS = 5


def least(run):
    best = None
    for _ in range(ROUNDS):
        start = time.perf_counter()
        run()
        took = time.perf_counter() - start
        best = took if best is None else min(best, took)
    return best


def pysfcgal(record):
    from pysfcgal.geometry import Polygon

    rings = [[tuple(p) for p in ring] for ring in record["rings"]]
    polygon = Polygon(rings[0], rings[1:])
    # An angle belongs to the edge that ends at a corner, and 90 degrees is out of reach.
    angles = [[min(ring[k - 1], 90 - 1e-7) for k in range(len(ring))] for ring in record["pitches"]]
    return least(lambda: polygon.extrude_straight_skeleton_with_angles(1e4, angles))


def compas_cgal(record):
    from compas_cgal import straight_skeleton_2 as skeleton

    rings = [[[x, y, 0.0] for x, y in ring] for ring in record["rings"]]
    if len(rings) > 1:
        return least(lambda: skeleton.interior_straight_skeleton_with_holes(rings[0], rings[1:]))
    return least(lambda: skeleton.interior_straight_skeleton(rings[0]))


def main():
    records = [json.loads(line) for line in sys.stdin if line.startswith("{")]
    for name, library in [("pysfcgal", pysfcgal), ("compas_cgal", compas_cgal)]:
        own, theirs, refused = [], [], 0
        try:
            __import__(name)
        except ImportError as missing:
            print(f"{name}: not there ({missing})")
            continue
        for record in records:
            try:
                took = library(record)
            except Exception:  # noqa: BLE001: whatever a library throws, the outline has no answer
                refused += 1
                continue
            theirs.append(took)
            own.append(record["seconds"])
        if theirs:
            ours, other = statistics.median(own), statistics.median(theirs)
            times = statistics.median(t / o for o, t in zip(own, theirs))
            print(
                f"{name}: {len(theirs)} outlines, {refused} refused; medians {other * 1e6:.1f} us beside {ours * 1e6:.1f} us, "
                f"{other / ours:.0f} times, outline by outline {times:.0f} times"
            )


main()
