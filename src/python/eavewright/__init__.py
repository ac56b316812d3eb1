"""The roof over every outline of a table.

An outline is a polygon in the well-known binary form (WKB) with a pitch, or pitches side by side (90 is a verge), and a height.
What comes out is a table with a row for each row in, in the same order::

    >>> import pyarrow as pa, eavewright
    >>> square = bytes.fromhex("01030000000100000005000000" + "0000000000000000" * 2 + ...)  # doctest: +SKIP
    >>> eavewright.solve(pa.table({"geometry": [square], "pitch": [35.0]}))  # doctest: +SKIP

`solve_batches` is what an engine that works on Arrow batches calls, one batch after the other, on as many workers as it has:
a row's answer hangs on nothing but the row. `solve_arrays` takes and gives NumPy arrays, `write_part` makes each task of an
engine write a file of GeoParquet. Lengths are metres, areas square metres, angles degrees.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import pyarrow as pa

from . import _native
from .arrays import solve_arrays
from .parts import PART, geo, write_part

__all__ = ["PART", "SCHEMA", "geo", "schema", "solve", "solve_arrays", "solve_batches", "write_part"]

#: The columns that answers have.
SCHEMA: pa.Schema = _native.schema()


def schema(*kept: pa.Field) -> pa.Schema:
    """The columns of answers that keep some of the input's before them."""
    return pa.schema([*kept, *SCHEMA])


def solve_batches(
    batches: Iterable[pa.RecordBatch],
    *,
    pitch: float | None = None,
    height: float = 0.0,
    degrees: bool = True,
    geometry: str = "geometry",
    keep: Iterable[str] = (),
) -> Iterator[pa.RecordBatch]:
    """Answers batch by batch.

    `geometry` names the column of outlines; columns `pitch`, `pitches` and `height` count where they are there. `pitch` and
    `height` hold for rows that say nothing. `degrees` says that places are longitude and latitude, otherwise they are metres.
    Columns named in `keep` come first. A row without a roof has `ok` false and an `error`; nothing is raised for it.
    Raises `ValueError` for a batch without the column of outlines, or with columns of other types.
    """
    kept = list(keep)
    for batch in batches:
        answers = _native.solve(batch, geometry, pitch, height, degrees)
        fields = [batch.schema.field(name) for name in kept]
        columns = [batch.column(batch.schema.get_field_index(name)) for name in kept]
        yield pa.RecordBatch.from_arrays([*columns, *answers.columns], schema=schema(*fields))


def solve(
    table: pa.Table,
    *,
    pitch: float | None = None,
    height: float = 0.0,
    degrees: bool = True,
    geometry: str = "geometry",
    keep: Iterable[str] = (),
) -> pa.Table:
    """Answers of a whole table; see `solve_batches`."""
    kept = list(keep)
    found = solve_batches(
        table.to_batches(), pitch=pitch, height=height, degrees=degrees, geometry=geometry, keep=kept
    )
    return pa.Table.from_batches(list(found), schema=schema(*(table.schema.field(name) for name in kept)))
