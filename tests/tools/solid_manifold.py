"""Says of model files whether they are solids, by two libraries that know nothing of roofs: trimesh (MIT) and manifold3d
(Apache-2.0). Reads lines "path volume slack" (cubic metres) and prints a line for each file that is none, then the count."""
import sys

import manifold3d
import numpy
import trimesh

wrong = count = 0
for line in sys.stdin:
    path, volume, slack = line.rsplit(" ", 2)
    count += 1
    mesh = trimesh.load(path, force="mesh")
    found = []
    if not mesh.is_watertight:
        found.append("an edge without two faces")
    if not mesh.is_winding_consistent:
        found.append("faces turned over")
    if abs(mesh.volume - float(volume)) > float(slack):
        found.append(f"volume {mesh.volume} for {volume}")
    vertices = numpy.asarray(mesh.vertices, dtype=numpy.float64)
    solid = manifold3d.Manifold(manifold3d.Mesh64(vertices, numpy.asarray(mesh.faces, dtype=numpy.uint64)))
    if solid.status() != manifold3d.Error.NoError:
        found.append(f"manifold3d: {solid.status()}")
    elif abs(solid.volume() - float(volume)) > float(slack):
        found.append(f"manifold3d: volume {solid.volume()} for {volume}")
    if found:
        wrong += 1
        print(path, "; ".join(found))
print(count, "files,", wrong, "wrong")
