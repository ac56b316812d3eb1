"""Writes the outlines of tests/data/roofs.jsonl as a map's tables, by libraries from outside: FlatGeobuf by GDAL (pyogrio, MIT),
GeoParquet by Arrow (pyarrow, Apache-2.0) with shapely's (BSD) geometries.

    python3 tests/tools/record_outlines.py
"""
import json
import pathlib

import numpy
import pyarrow
import pyarrow.parquet
import pyogrio.raw
import shapely

data = pathlib.Path(__file__).resolve().parent.parent / "data"
records = [json.loads(line) for line in (data / "roofs.jsonl").read_text().splitlines()][:40]
out = data / "outlines"
out.mkdir(exist_ok=True)
shapes = [shapely.Polygon(record["ring"]) for record in records]
ids = [record["id"] for record in records]
pitches = [record["pitch"] for record in records]

lines = [
    json.dumps({
        "type": "Feature", "id": name, "properties": {"pitches": own},
        "geometry": json.loads(shapely.to_geojson(shape)),
    })
    for name, own, shape in zip(ids, pitches, shapes)
]
(out / "outlines.geojsonl").write_text("\n".join(lines) + "\n")

pyogrio.raw.write(
    str(out / "outlines.fgb"), shapely.to_wkb(numpy.array(shapes)),
    [numpy.array(ids, dtype=object), numpy.array([json.dumps(own) for own in pitches], dtype=object)],
    ["id", "pitches"], geometry_type="Polygon", crs="EPSG:25832", driver="FlatGeobuf",
    layer_options={"SPATIAL_INDEX": "NO"},
)

projected = {
    "type": "ProjectedCRS", "name": "a grid in metres",
    "coordinate_system": {"subtype": "Cartesian", "axis": [
        {"name": "Easting", "unit": "metre"}, {"name": "Northing", "unit": "metre"}]},
}
geo = {"version": "1.1.0", "primary_column": "shape", "columns": {
    "shape": {"encoding": "WKB", "geometry_types": ["Polygon"], "crs": projected}}}
table = pyarrow.table({"id": ids, "pitches": pitches, "other": list(range(len(ids))), "shape": shapely.to_wkb(shapes).tolist()})
table = table.replace_schema_metadata({"geo": json.dumps(geo)})
for codec in ("snappy", "zstd", "gzip"):
    pyarrow.parquet.write_table(table, out / f"outlines_{codec}.parquet", compression=codec, row_group_size=16)
