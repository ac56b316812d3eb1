"""Answers as GeoParquet, a file a part, as the tasks of an engine write them side by side.

An engine's own writer keeps columns and loses what says that one of them is a geometry. So a task writes its part itself:
beside its place first and then moved there in one step, so that a task that dies leaves nothing half-written, and one that is
run twice writes the same file again. Two tries at one part at the same time are not for it: whichever ends later may fail.
"""

from __future__ import annotations

import json
import os
import pathlib
from collections.abc import Iterable, Iterator

import pyarrow as pa
import pyarrow.parquet as pq

#: What `write_part` tells of a file.
PART = pa.schema([("path", pa.string()), ("rows", pa.int64()), ("roofs", pa.int64())])


def geo(source: pa.Schema | None = None, *, geometry: str = "geometry", degrees: bool = True) -> dict[bytes, bytes]:
    """What makes a Parquet file one of GeoParquet 1.1: the geometry's column, its form and its coordinate system.

    The coordinate system is the one `source` tells, where it is a GeoParquet file's schema; otherwise longitude and latitude
    of the format's default where `degrees`, and none that is known where not.
    """
    told = json.loads((source.metadata or {}).get(b"geo", b"{}")) if source is not None else {}
    known = told.get("columns", {}).get(geometry, {})
    # Bounds and the like hold for the file they came from.
    column = {"encoding": "WKB", "geometry_types": known.get("geometry_types", [])}
    if "crs" in known:
        column["crs"] = known["crs"]
    elif not degrees:
        column["crs"] = None
    document = {"version": "1.1.0", "primary_column": geometry, "columns": {geometry: column}}
    return {b"geo": json.dumps(document, separators=(",", ":"), sort_keys=True).encode()}


def write_part(
    batches: Iterable[pa.RecordBatch], path: str | os.PathLike[str], metadata: dict[bytes, bytes]
) -> Iterator[pa.RecordBatch]:
    """Writes batches of answers into one file, and yields one row of `PART` about it once it stands there.

    Nothing is written where there are no batches. Memory is that of one batch. Raises `OSError` where the file can't be
    written; the file that stood there before is then whole.
    """
    path = pathlib.Path(path)
    path.parent.mkdir(parents=True, exist_ok=True)
    # Of a name that no other try at the same part takes, and that readers of the folder pass over.
    unfinished = path.with_name(f".{path.name}.{os.getpid()}.unfinished")
    rows = roofs = 0
    writer = None
    try:
        for batch in batches:
            if writer is None:
                writer = pq.ParquetWriter(unfinished, batch.schema.with_metadata(metadata))
            writer.write_batch(batch.replace_schema_metadata(metadata))
            rows += batch.num_rows
            roofs += batch.column("ok").true_count
        if writer is None:
            return
        writer.close()
        writer = None
        os.replace(unfinished, path)
        # What tries that were killed left behind.
        for left in path.parent.glob(f".{path.name}.*.unfinished"):
            left.unlink(missing_ok=True)
    finally:
        if writer is not None:
            writer.close()
        unfinished.unlink(missing_ok=True)
    yield pa.RecordBatch.from_pydict({"path": [str(path)], "rows": [rows], "roofs": [roofs]}, schema=PART)
