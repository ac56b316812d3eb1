"""Times `batch` as a user runs it: lines in, lines out, on one processor and on more, with the most memory it held.

    python3 tests/tools/batch_speed.py target/release/eavewright [COUNT [JOBS...]]

COUNT outlines, 200,000 unless told, by each of JOBS: 1, 2 and all processors unless told. Outlines are invented: of 4 to 14 sides, median 6, as buildings on maps have them, in degrees.
"""
import json
import multiprocessing
import os
import pathlib
import random
import resource
import subprocess
import sys
import tempfile
import time


def outline(number):
    pick = random.Random(number)
    at = lambda low, high: pick.uniform(low, high)
    w, d = at(6, 16), at(5, 11)
    shapes = [
        [(0, 0), (w, 0), (w, d), (0, d)],
        [(0, 0), (w, 0), (w, d), (w * 0.4, d), (w * 0.4, d + at(2, 6)), (0, d + at(2, 6))],
        [(0, 0), (w, 0), (w, d), (w * 0.7, d), (w * 0.7, d + 3), (w * 0.3, d + 3), (w * 0.3, d), (0, d)],
        [(0, 0), (w, 0), (w, -3), (w + 4, -3), (w + 4, d), (w * 0.7, d), (w * 0.7, d + 3), (w * 0.3, d + 3.3), (w * 0.3, d), (0, d)],
    ]
    shape = pick.choices(shapes, weights=[40, 35, 15, 10])[0]
    if len(shape) == 6:
        shape[4] = (shape[4][0], shape[5][1])
    lon, lat = 8 + number % 1000 * 4e-4, 50 + number // 1000 * 3e-4
    places = [[round(lon + x / 71_700, 8), round(lat + y / 111_200, 8)] for x, y in shape]
    return places + places[:1]


def lines(numbers):
    feature = lambda number: {"type": "Feature", "id": number, "properties": {"pitch": 25 + number % 25},
                              "geometry": {"type": "Polygon", "coordinates": [outline(number)]}}
    return "".join(json.dumps(feature(number), separators=(",", ":")) + "\n" for number in numbers)


def main():
    tool, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 200_000
    asked = [int(jobs) for jobs in sys.argv[3:]] or sorted({1, 2, os.cpu_count() or 1})
    folder = pathlib.Path(tempfile.mkdtemp())
    source = folder / "in.geojsonl"
    with source.open("w") as out, multiprocessing.Pool() as pool:
        parts = [range(start, min(start + 10_000, count)) for start in range(0, count, 10_000)]
        for text in pool.imap(lines, parts):
            out.write(text)
    print(f"{count} outlines, {source.stat().st_size / 1e6:.0f} MB", flush=True)
    for jobs in asked:
        for ending in ("jsonl", "parquet"):
            out = folder / f"out{jobs}.{ending}"
            started = time.perf_counter()
            process = subprocess.Popen([tool, "batch", source, "--out", out, "--jobs", str(jobs)], stderr=subprocess.PIPE)
            said = process.stderr.read().decode()
            _, status, used = os.wait4(process.pid, 0)
            seconds = time.perf_counter() - started
            if status:
                print(jobs, ending, said.strip())
                continue
            cpu = used.ru_utime + used.ru_stime
            print(f"{jobs} jobs to {ending}: {count / seconds:.0f} a second, {count / cpu:.0f} a second of processor time, "
                  f"{used.ru_maxrss / 1024:.0f} MiB; {said.splitlines()[0]}")
            if ending == "parquet" and jobs == 1:
                again = folder / "again.parquet"
                started = time.perf_counter()
                process = subprocess.Popen([tool, "batch", out, "--out", again, "--jobs", "1", "--pitch", "35"], stderr=subprocess.PIPE)
                process.stderr.read()
                _, status, used = os.wait4(process.pid, 0)
                seconds = time.perf_counter() - started
                cpu = used.ru_utime + used.ru_stime
                print(f"1 job parquet to parquet: {count / seconds:.0f} a second, {count / cpu:.0f} a second of processor time")


if __name__ == "__main__":
    main()
