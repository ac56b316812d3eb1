"""A table of the times that `cargo bench --no-default-features --bench solve -- --quick` left in `target/criterion`: by kind
of outline and count of sides, beside the goals for building outlines, and how the time grows from one size to the next."""
import json
import math
import pathlib

# Seconds for a whole answer: sweep, assembly, verification and solid.
GOALS = {"10": 8e-6, "50": 60e-6, "1000": 2e-3, "10000": 30e-3, "100000": 0.5, "ten blocks": 1e-3}


def shown(seconds):
    for unit, size in [("s", 1.0), ("ms", 1e-3), ("us", 1e-6)]:
        if seconds >= size or unit == "us":
            return f"{seconds / size:.3g} {unit}"


def main():
    folder = pathlib.Path(__file__).parents[2] / "target" / "criterion"
    kinds = {}
    for path in folder.glob("*/*/new/estimates.json"):
        name = json.loads((path.parent / "benchmark.json").read_text())
        median = json.loads(path.read_text())["median"]["point_estimate"] * 1e-9
        # A bench of one size has no parameter.
        size = name["value_str"] or name["function_id"]
        kinds.setdefault(name["group_id"], {})[size] = median
    if not kinds:
        raise SystemExit(f"nothing in {folder}: run the bench first")
    print("| kind | sides | time | goal | exponent |\n|---|--:|--:|--:|--:|")
    for kind, times in sorted(kinds.items()):
        before = None
        for size, seconds in sorted(times.items(), key=lambda item: int(item[0]) if item[0].isdigit() else 0):
            # The goals are for whole answers.
            goal = None if kind.startswith(("drainage", "adjust")) else GOALS.get(size)
            kept = "" if goal is None else f"{shown(goal)}{'' if seconds <= goal else ', missed'}"
            grows = ""
            if before and size.isdigit():
                grows = f"{math.log(seconds / before[1]) / math.log(int(size) / before[0]):.2f}"
            print(f"| {kind} | {size} | {shown(seconds)} | {kept} | {grows} |")
            before = (int(size), seconds) if size.isdigit() else None


main()
