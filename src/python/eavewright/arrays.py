"""Outlines as NumPy arrays: all places one after the other, and where each outline begins."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pyarrow as pa

from . import _native

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike

# Byte order, kind of geometry, count of rings, count of places: the head of a polygon of one ring in WKB (OGC 06-103r4).
_HEAD = 13


def solve_arrays(
    places: ArrayLike,
    starts: ArrayLike,
    *,
    pitch: ArrayLike | None = None,
    pitches: ArrayLike | None = None,
    height: ArrayLike = 0.0,
    degrees: bool = True,
) -> dict[str, np.ndarray]:
    """The roof over each outline of one ring, as an array a column of answers.

    `places` is of shape (n, 2), `starts` holds m + 1 whole numbers: outline k is `places[starts[k]:starts[k + 1]]`, without
    its first place again. `pitch` and `height` are one number or m; `pitches` is a number a place, the pitch of the side that
    begins there, and takes the place of `pitch`. What has no answer is NaN; `error` holds words or `None`. Needs NumPy.
    Raises `ValueError` where shapes do not fit each other. O(n) beside the roofs themselves.
    """
    import numpy as np

    places = np.ascontiguousarray(places, dtype="<f8")
    starts = np.asarray(starts, dtype=np.int64)
    if places.ndim != 2 or places.shape[1] != 2:
        raise ValueError(f"places is of shape {places.shape}, expected (n, 2)")
    if starts.ndim != 1 or not len(starts) or starts[0] != 0 or starts[-1] != len(places) or (np.diff(starts) < 0).any():
        raise ValueError(f"starts must rise from 0 to the count of places, {len(places)}")
    outlines = _wkb(places, starts)
    count = len(outlines)
    columns: dict[str, pa.Array] = {"geometry": outlines}
    if pitches is not None:
        given = np.asarray(pitches, dtype=np.float64)
        if given.shape != (len(places),):
            raise ValueError(f"pitches is of shape {given.shape}, expected a number a place, ({len(places)},)")
        columns["pitches"] = pa.LargeListArray.from_arrays(pa.array(starts), pa.array(given))
    elif pitch is not None:
        columns["pitch"] = _spread(pitch, count, "pitch")
    columns["height"] = _spread(height, count, "height")
    batch = pa.RecordBatch.from_pydict(columns)
    answers = _native.solve(batch, "geometry", None, 0.0, degrees)
    return {
        name: np.asarray(column.to_numpy(zero_copy_only=False)) for name, column in zip(answers.schema.names, answers.columns)
    }


def _spread(value: ArrayLike, count: int, name: str) -> pa.Array:
    import numpy as np

    given = np.asarray(value, dtype=np.float64)
    if given.shape not in ((), (count,)):
        raise ValueError(f"{name} is of shape {given.shape}, expected one number or {count}")
    return pa.array(np.broadcast_to(given, (count,)))


def _wkb(places: np.ndarray, starts: np.ndarray) -> pa.Array:
    """Each outline as a polygon in the well-known binary form, its first place again at the end."""
    import numpy as np

    corners = np.diff(starts)
    empty = corners == 0
    closed = np.where(empty, 0, corners + 1)
    offsets = np.zeros(len(corners) + 1, dtype=np.int64)
    np.cumsum(_HEAD + 16 * closed, out=offsets[1:])
    data = np.zeros(offsets[-1], dtype=np.uint8)
    heads = np.zeros(len(corners), dtype=[("order", "u1"), ("kind", "<u4"), ("rings", "<u4"), ("places", "<u4")])
    heads["order"], heads["kind"], heads["rings"], heads["places"] = 1, 3, 1, closed
    data[(offsets[:-1, None] + np.arange(_HEAD)).ravel()] = heads.view(np.uint8)
    # Which place stands at which of the closed rings' places.
    ring = np.repeat(np.arange(len(corners)), closed)
    at = np.arange(len(ring)) - np.repeat(np.cumsum(closed) - closed, closed)
    source = starts[ring] + np.where(at == corners[ring], 0, at)
    data[(offsets[ring, None] + _HEAD + 16 * at[:, None] + np.arange(16)).ravel()] = places[source].view(np.uint8).ravel()
    return pa.LargeBinaryArray.from_buffers(pa.large_binary(), len(corners), [None, pa.py_buffer(offsets), pa.py_buffer(data)])
