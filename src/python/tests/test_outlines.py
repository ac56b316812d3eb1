"""The package by itself and under engines that work on Arrow. The engines are skipped, with a word, where they are not installed."""

import itertools
import json
import math
import os
import pathlib
import signal
import struct
import subprocess

import pyarrow as pa
import pytest

import eavewright

DATA = pathlib.Path(__file__).resolve().parents[3] / "tests" / "data" / "outlines"


def wkb(*rings):
    """A polygon in the well-known binary form (OGC 06-103r4), written here anew so that the reader is held against something else."""
    packed = struct.pack("<BII", 1, 3, len(rings))
    for ring in rings:
        closed = [*ring, ring[0]]
        packed += struct.pack("<I", len(closed)) + b"".join(struct.pack("<dd", *place) for place in closed)
    return packed


SQUARE = wkb([(0, 0), (10, 0), (10, 8), (0, 8)])


def table(count):
    """Outlines of many sizes, every tenth without a pitch that is one."""
    shapes = [wkb([(0, 0), (9 + row % 7, 0), (9 + row % 7, 5), (4, 5), (4, 8 + row % 3), (0, 8 + row % 3)]) for row in range(count)]
    pitches = [-1.0 if row % 10 == 9 else 20.0 + row % 40 for row in range(count)]
    return pa.table({"id": pa.array(range(count), pa.int64()), "geometry": shapes, "pitch": pitches})


def test_areas_are_closed_forms():
    found = eavewright.solve(
        pa.table({"geometry": [SQUARE, SQUARE], "pitches": [[35.0] * 4, [35.0, 90.0, 35.0, 90.0]], "height": [0.0, 2.5]}),
        degrees=False,
    ).to_pylist()
    for row in found:
        assert row["ok"] and row["error"] is None
        assert row["area"] == pytest.approx(80 / math.cos(math.radians(35)), rel=1e-12)
    assert found[1]["ridge_length"] == pytest.approx(10) and found[1]["hip_length"] == 0
    assert found[1]["ridge_height"] == pytest.approx(2.5 + 4 * math.tan(math.radians(35)), rel=1e-12)


def test_degrees_are_true_metres():
    # By the geodesics of the ellipsoid (Karney 2013, PROJ 9's Geod, pyproj 3.7.2).
    ring = [(25.0, 69.9), (25.001, 69.9), (25.001, 69.9003), (25.0, 69.9003)]
    (row,) = eavewright.solve(pa.table({"geometry": [wkb(ring)]}), pitch=40).to_pylist()
    assert row["plan_area"] == pytest.approx(1284.148386240, rel=1e-6)


def test_what_has_no_roof_says_why_and_stays_in_its_row():
    rows = [None, b"x", struct.pack("<BIdd", 1, 1, 1, 2), SQUARE, wkb([(0, 0), (10, 8), (10, 0), (0, 8)])]
    found = eavewright.solve(pa.table({"geometry": pa.array(rows, pa.binary()), "pitch": [35.0, 35.0, 35.0, None, 35.0]}), degrees=False)
    assert found["error"].to_pylist() == ["no-geometry", "not-wkb", "not-a-polygon", "no-pitch", "outline-crosses"]
    assert found["ok"].to_pylist() == [False] * 5
    with pytest.raises(ValueError, match="no column geometry"):
        eavewright.solve(pa.table({"shape": [SQUARE]}))
    with pytest.raises(ValueError, match="expected one of float64"):
        eavewright.solve(pa.table({"geometry": [SQUARE], "pitch": ["steep"]}))


def test_answers_are_those_of_the_tool_bit_for_bit():
    tool = os.environ.get("EAVEWRIGHT")
    if not tool:
        pytest.skip("EAVEWRIGHT names no built tool")
    lines = (DATA / "outlines.geojsonl").read_text().splitlines()
    features = [json.loads(line) for line in lines]
    said = subprocess.run([tool, "batch", "-", "--out", "-", "--units", "m"], input="\n".join(lines), capture_output=True, text=True, check=True)
    told = [json.loads(line) for line in said.stdout.splitlines()]
    shapes = [wkb(*[ring[:-1] for ring in feature["geometry"]["coordinates"]]) for feature in features]
    pitches = [[float(pitch) for pitch in feature["properties"]["pitches"]] for feature in features]
    found = eavewright.solve(pa.table({"geometry": shapes, "pitches": pitches}), degrees=False).to_pylist()
    assert len(found) == len(told) == 40
    for own, other in zip(found, told):
        assert own["area"] == other["area"] and own["plan_area"] == other["plan_area"] and own["volume"] == other["volume"]


def test_batches_hang_on_nothing_but_their_rows():
    whole = table(1000)
    expected = eavewright.solve(whole, degrees=False, keep=["id"])
    for size in (1, 7, 333):
        batches = whole.to_batches(max_chunksize=size)
        found = pa.Table.from_batches(list(eavewright.solve_batches(batches, degrees=False, keep=["id"])))
        assert found.combine_chunks() == expected.combine_chunks()
    assert sum(expected["ok"].to_pylist()) == 900


def test_arrays_of_numbers_give_what_tables_give():
    np = pytest.importorskip("numpy")
    rings = [[(0, 0), (9 + row % 7, 0), (9 + row % 7, 5), (4, 5), (4, 8 + row % 3), (0, 8 + row % 3)] for row in range(60)]
    rings += [[], [(0, 0), (1, 1)], [(0, 0), (10, 0), (10, 8), (0, 8)]]
    starts = np.cumsum([0, *map(len, rings)])
    places = np.array([place for ring in rings for place in ring], dtype=float)
    pitch = np.array([20.0 + row % 40 for row in range(len(rings))])
    found = eavewright.solve_arrays(places, starts, pitch=pitch, height=2.5, degrees=False)
    shapes = [wkb(ring) if ring else struct.pack("<BIII", 1, 3, 1, 0) for ring in rings]
    table = pa.table({"geometry": shapes, "pitch": pitch, "height": [2.5] * len(rings)})
    expected = eavewright.solve(table, degrees=False)
    assert list(found) == eavewright.SCHEMA.names
    assert found["ok"].sum() == 61 and found["error"][60] and found["error"][61]
    for name, values in found.items():
        for own, other in zip(values.tolist(), expected[name].to_pylist(), strict=True):
            assert own == other or (other is None and (own is None or math.isnan(own))), name
    # A gable 10 by 8 at 35 degrees, side by side.
    sides = eavewright.solve_arrays(places[-4:], [0, 4], pitches=[35, 90, 35, 90], degrees=False)
    assert sides["area"][0] == pytest.approx(80 / math.cos(math.radians(35)), rel=1e-12)
    assert sides["ridge_length"][0] == pytest.approx(10)
    for wrong in ({"starts": [0, 3]}, {"starts": [1, 4]}, {"pitches": [35.0]}, {"pitch": [35.0, 40.0]}):
        with pytest.raises(ValueError, match="expected|must rise"):
            eavewright.solve_arrays(**{"places": places[-4:], "starts": [0, 4], "degrees": False} | wrong)


def test_a_part_is_written_whole_or_not_at_all(tmp_path):
    import pyarrow.parquet

    whole = table(100).replace_schema_metadata({b"geo": json.dumps({"columns": {"geometry": {"crs": {"id": "own"}, "bbox": [0, 0, 1, 1]}}})})
    told = eavewright.geo(whole.schema)
    assert json.loads(told[b"geo"])["columns"]["geometry"] == {"encoding": "WKB", "geometry_types": [], "crs": {"id": "own"}}
    assert "crs" not in json.loads(eavewright.geo()[b"geo"])["columns"]["geometry"], "the format's default"
    assert json.loads(eavewright.geo(degrees=False)[b"geo"])["columns"]["geometry"]["crs"] is None
    path = tmp_path / "folder" / "0.parquet"
    answers = lambda: eavewright.solve_batches(whole.to_batches(max_chunksize=30), degrees=False, keep=["id", "geometry"])
    (part,) = eavewright.write_part(answers(), path, told)
    assert part.to_pylist() == [{"path": str(path), "rows": 100, "roofs": 90}]
    before = path.read_bytes()
    assert pyarrow.parquet.read_schema(path).metadata[b"geo"] == told[b"geo"]

    def dies():
        yield next(answers())
        raise OSError("the machine went away")

    with pytest.raises(OSError):
        list(eavewright.write_part(dies(), path, told))
    assert path.read_bytes() == before and [file.name for file in path.parent.iterdir()] == ["0.parquet"]
    assert list(eavewright.write_part(iter(()), tmp_path / "none.parquet", told)) == [] and not (tmp_path / "none.parquet").exists()


def test_polars_and_duckdb():
    polars, duckdb = pytest.importorskip("polars"), pytest.importorskip("duckdb")
    whole = table(500)
    found = eavewright.solve(polars.from_arrow(whole).to_arrow(), degrees=False, keep=["id"])
    roofs = duckdb.connect().execute("select count(*), sum(area) from found where ok").fetchone()
    assert roofs[0] == 450 and roofs[1] == pytest.approx(sum(area for area in found["area"].to_pylist() if area), rel=1e-12)


def test_spark_workers_one_of_which_is_killed(tmp_path):
    """Three workers over eight partitions; the first to reach the fourth dies. Its task is done again: nothing is lost, nothing
    doubled, and every answer is that of one machine, bit for bit."""
    pytest.importorskip("pyspark")
    from pyspark.sql import SparkSession

    whole = table(4000)
    source, mark = tmp_path / "in", tmp_path / "died"
    source.mkdir()
    import pyarrow.parquet

    for part in range(8):
        pyarrow.parquet.write_table(whole.slice(part * 500, 500), source / f"{part}.parquet")

    def solved(batches):
        for batch in eavewright.solve_batches(batches, degrees=False, keep=["id"]):
            if 1500 in batch.column(0).to_pylist() and not mark.exists():
                mark.write_text("died")
                os.kill(os.getpid(), signal.SIGKILL)
            yield batch

    spark = SparkSession.builder.master("local[3,4]").config("spark.ui.enabled", "false").getOrCreate()
    try:
        numbers = "area double, plan_area double, volume double, ridge_height double"
        lengths = ", ".join(f"{name} double" for name in eavewright.SCHEMA.names if name.endswith("_length"))
        columns = f"id bigint, ok boolean, {numbers}, {lengths}, error string"
        spark.read.parquet(str(source)).mapInArrow(solved, columns).write.parquet(str(tmp_path / "out"))
    finally:
        spark.stop()
    assert mark.exists()
    found = pyarrow.parquet.read_table(tmp_path / "out").sort_by("id")
    expected = eavewright.solve(whole, degrees=False, keep=["id"])
    assert found.num_rows == 4000
    for name in ("id", "ok", "area", "volume", "ridge_length", "error"):
        assert found[name].to_pylist() == expected[name].to_pylist(), name


def test_spark_over_partitioned_geoparquet(tmp_path):
    """Folders by region in, folders by region out, each file GeoParquet; one worker dies after it wrote half its part."""
    pytest.importorskip("pyspark")
    import pyarrow.parquet
    from pyspark import TaskContext
    from pyspark.sql import SparkSession

    whole, told = table(3000), eavewright.geo(degrees=False)
    for region in range(3):
        for part in range(2):
            folder = tmp_path / "in" / f"region={region}"
            folder.mkdir(parents=True, exist_ok=True)
            rows = whole.slice(region * 1000 + part * 500, 500).replace_schema_metadata(told)
            pyarrow.parquet.write_table(rows, folder / f"{part}.parquet")
    mark, out = tmp_path / "died", tmp_path / "out"

    def written(batches):
        first = next(batches, None)
        if first is None:
            return

        def solved():
            for batch in itertools.chain([first], batches):
                yield from eavewright.solve_batches([batch], degrees=False, keep=["id", "geometry"])
                if 1700 in batch.column("id").to_pylist() and not mark.exists():
                    mark.write_text("died")
                    os.kill(os.getpid(), signal.SIGKILL)

        region = first.column("region")[0].as_py()
        path = out / f"region={region}" / f"{TaskContext.get().partitionId()}.parquet"
        yield from eavewright.write_part(solved(), path, told)

    settings = {"spark.ui.enabled": "false", "spark.sql.execution.arrow.maxRecordsPerBatch": "100"}
    # Files are not put together, so that a task is of one region.
    settings |= {"spark.sql.files.openCostInBytes": str(128 << 20)}
    spark = SparkSession.builder.master("local[3,4]").config(map=settings).getOrCreate()
    try:
        rows = spark.read.parquet(str(tmp_path / "in")).mapInArrow(written, "path string, rows bigint, roofs bigint").collect()
    finally:
        spark.stop()
    assert mark.exists()
    assert sum(row.rows for row in rows) == 3000 and sum(row.roofs for row in rows) == 2700
    files = sorted(out.rglob("*"))
    assert [file for file in files if file.is_file()] == sorted(pathlib.Path(row.path) for row in rows)
    for row in rows:
        assert pyarrow.parquet.read_schema(row.path).metadata[b"geo"] == told[b"geo"]
    found = pyarrow.parquet.read_table(out).sort_by("id")
    expected = eavewright.solve(whole, degrees=False, keep=["id", "geometry"])
    assert found["region"].to_pylist() == [number // 1000 for number in range(3000)]
    for name in expected.schema.names:
        assert found[name].to_pylist() == expected[name].to_pylist(), name
