"""Judges model files by libraries that know nothing of roofs, against the answer of `solve --json`.

    models.py ANSWER.json FILE...

trimesh (MIT) and manifold3d (Apache-2.0) say whether solids are closed and what they hold, lib3mf (BSD) whether a 3MF is
well formed, ezdxf (MIT) audits DXF, ifcopenshell (LGPL, run only) validates IFC with its express rules and reckons bodies,
shapely (BSD) areas in plan, cjval (MIT, the path in CJVAL) the CityJSON schema. Prints a line for each thing that is wrong.
"""
import collections
import csv
import json
import os
import subprocess
import sys

import numpy

wrong = []
answer = json.load(open(sys.argv[1]))
faces = {face["name"]: face for face in answer["faces"]}
roofs = {name: face for name, face in faces.items() if face["kind"] == "roof"}
total = answer["totals"]
closed = total["volume"] is not None
plan = total["plan_area"] or 0.0
# An overhang's sheet is a tenth of a millimetre thick on a small site.
SHEETS = 1.1e-4 * plan
# What bodies that stand out of the roof hold beside it, cubic metres, reckoned by hand.
RAISED = float(os.environ.get("RAISED", 0.0))
# Numbers of single precision near the site's origin.
SINGLE = 1e-6


def same(what, found, expected, slack=1e-6):
    if expected is None:
        return
    if found is None or abs(found - expected) > slack * max(1.0, abs(expected)):
        wrong.append(f"{what}: {found}, expected {expected}")


def drawn(what, found, name, slack=1e-6):
    """Of a roof face; a gable under an overhang is drawn where the wall stands, among the walls."""
    if name in roofs:
        same(what, found, faces[name]["area"], slack)


def solid(what, vertices, triangles, relative=1e-6, scale=1.0, volume=True, raised=RAISED):
    import manifold3d
    import trimesh

    mesh = trimesh.Trimesh(vertices, triangles)
    mesh.merge_vertices()
    if not mesh.is_watertight or not mesh.is_winding_consistent:
        wrong.append(f"{what}: not closed")
    own = manifold3d.Manifold(
        manifold3d.Mesh64(numpy.asarray(mesh.vertices, numpy.float64), numpy.asarray(mesh.faces, numpy.uint64))
    )
    if own.status() != manifold3d.Error.NoError:
        wrong.append(f"{what}: manifold3d says {own.status()}")
    if volume:
        for found in (mesh.volume, own.volume()):
            slack = relative * total["volume"] + SHEETS
            if abs(found * scale**3 - total["volume"] - raised) > slack:
                wrong.append(f"{what}: volume {found * scale**3}, expected {total['volume']} and {raised}")


def glb(path):
    import trimesh

    scene = trimesh.load(path)
    vertices, triangles, count = [], [], 0
    for node in scene.graph.nodes_geometry:
        transform, name = scene.graph[node]
        geometry = scene.geometry[name]
        if not isinstance(geometry, trimesh.Trimesh):
            continue
        placed = geometry.copy()
        placed.apply_transform(transform)
        vertices.append(placed.vertices)
        triangles.append(placed.faces + count)
        count += len(placed.vertices)
        if node in faces:
            drawn(f"{path} {node} area", geometry.area, node, 4e-6)
            extras = scene.graph.transforms.node_data[node].get("metadata", {}) or geometry.metadata
            for key in ("area", "pitch", "plan_area", "aspect"):
                same(f"{path} {node} {key} in extras", extras.get(key), faces[node][key], 1e-12)
    missing = set(faces) - set(scene.graph.nodes_geometry)
    if missing:
        wrong.append(f"{path}: no node for {sorted(missing)}")
    if closed:
        solid(path, numpy.vstack(vertices), numpy.vstack(triangles), 4e-6)


def mesh(path, relative=1e-6, scale=1.0, volume=True):
    import trimesh

    loaded = trimesh.load(path, force="mesh")
    if closed:
        solid(path, loaded.vertices, loaded.faces, relative, scale, volume)


def obj(path):
    import trimesh

    area = collections.Counter()
    vertices, group = [], None
    for line in open(path):
        words = line.split()
        if words[0] == "v":
            vertices.append([float(word) for word in words[1:]])
        elif words[0] == "g":
            group = words[1]
        elif words[0] == "f":
            a, b, c = (numpy.array(vertices[int(word) - 1]) for word in words[1:])
            area[group] += numpy.linalg.norm(numpy.cross(b - a, c - a)) / 2
    for name in faces:
        drawn(f"{path} {name} area", area["_".join(name.split())], name)
    materials = [word.split()[1] for word in open(path[:-3] + "mtl") if word.startswith("newmtl")]
    used = {line.split()[1] for line in open(path) if line.startswith("usemtl")}
    if not used or not used <= set(materials):
        wrong.append(f"{path}: materials {used}, declared {materials}")
    mesh(path)


def threemf(path):
    import lib3mf

    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(path)
    if reader.GetWarningCount():
        wrong.append(f"{path}: lib3mf warns {[reader.GetWarning(i) for i in range(reader.GetWarningCount())]}")
    objects = model.GetMeshObjects()
    while objects.MoveNext():
        if not objects.GetCurrentMeshObject().IsManifoldAndOriented():
            wrong.append(f"{path}: lib3mf finds it not manifold")
    mesh(path)


def ifc(path):
    import ifcopenshell
    import ifcopenshell.geom
    import ifcopenshell.util.element as element
    import ifcopenshell.util.pset
    import ifcopenshell.util.shape
    import ifcopenshell.validate

    model = ifcopenshell.open(path)
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(model, logger, express_rules=True)
    wrong.extend(f"{path}: {said}" for said in logger.statements)
    templates = ifcopenshell.util.pset.PsetQto("IFC4")
    for set in model.by_type("IfcPropertySet") + model.by_type("IfcElementQuantity"):
        template = templates.get_by_name(set.Name)
        known = {part.Name for part in template.HasPropertyTemplates} if template else {}
        unknown = {part.Name for part in getattr(set, "HasProperties", None) or set.Quantities} - {*known}
        if unknown:
            wrong.append(f"{path}: {set.Name} has {unknown}, which the standard does not")
    settings = ifcopenshell.geom.settings()
    slabs = {slab.Name: slab for slab in model.by_type("IfcSlab")}
    if slabs.keys() != roofs.keys():
        wrong.append(f"{path}: slabs {sorted(slabs)}")
    for name, slab in slabs.items():
        sets = element.get_psets(slab)
        face = roofs[name]
        if face["area"] is not None:
            same(f"{path} {name} GrossArea", sets["Qto_SlabBaseQuantities"]["GrossArea"], face["area"], 1e-12)
            same(f"{path} {name} NetArea", sets["Qto_SlabBaseQuantities"]["NetArea"], face["net_area"], 1e-12)
        same(f"{path} {name} PitchAngle", sets["Pset_SlabCommon"].get("PitchAngle"), face["pitch"], 1e-12)
        shape = ifcopenshell.geom.create_shape(settings, slab)
        # A millimetre thick, openings cut out.
        same(f"{path} {name} body", ifcopenshell.util.shape.get_volume(shape.geometry) / 0.001, face["net_area"], 1e-5)
    gross = [element.get_psets(roof).get("Qto_RoofBaseQuantities", {}).get("GrossArea") for roof in model.by_type("IfcRoof")]
    if None not in gross:
        same(f"{path} roofs", sum(gross), total["area"], 1e-9)
    if closed:
        (body,) = model.by_type("IfcBuildingElementProxy")
        shape = ifcopenshell.geom.create_shape(settings, body)
        vertices = numpy.array(shape.geometry.verts).reshape(-1, 3)
        solid(path, vertices, numpy.array(shape.geometry.faces).reshape(-1, 3), raised=0.0)
    chimneys = [ifcopenshell.geom.create_shape(settings, chimney) for chimney in model.by_type("IfcChimney")]
    if RAISED:
        same(f"{path} chimneys", sum(ifcopenshell.util.shape.get_volume(shape.geometry) for shape in chimneys), RAISED, 1e-5)


def dxf(path):
    import ezdxf
    from ezdxf import units

    drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    if audit.errors or audit.fixes:
        wrong.append(f"{path}: {audit.errors} {audit.fixes}")
    metres = units.conversion_factor(drawing.units, units.M)
    surface = 0.0
    triangles = []
    for face in drawing.modelspace().query("3DFACE"):
        a, b, c = (numpy.array(face.dxf.get(key)) * metres for key in ("vtx0", "vtx1", "vtx2"))
        triangles.append((a, b, c))
        if face.dxf.layer == "roof-surface":
            surface += numpy.linalg.norm(numpy.cross(b - a, c - a)) / 2
    same(f"{path} roof surface", surface, total["area"])
    if closed:
        places = numpy.array(triangles).reshape(-1, 3)
        solid(path, places.round(9), numpy.arange(len(places)).reshape(-1, 3))


def newell(ring):
    ring = numpy.asarray(ring)
    return numpy.cross(ring, numpy.roll(ring, -1, axis=0)).sum(axis=0) / 2


def city(path):
    said = subprocess.run([os.environ["CJVAL"], "--summary", path], capture_output=True, text=True)
    if said.returncode or "❌" in said.stdout or "invalid" in said.stdout.lower() or "🟡" in said.stdout:
        wrong.append(f"{path}: cjval says {said.stdout} {said.stderr}")
    model = json.load(open(path))
    scale, move = model["transform"]["scale"], model["transform"]["translate"]
    places = numpy.array(model["vertices"]) * scale + move - move
    objects = model["CityObjects"]
    held = 0.0
    for name in objects["roof"].get("children", []):
        (geometry,) = objects[name]["geometry"]
        for surface in geometry["boundaries"][0]:
            held += places[surface[0][0]].dot(sum(newell(places[ring]) for ring in surface)) / 3
    same(f"{path} what stands out", held, RAISED, 1e-5)
    if len(objects) != 1 + len(objects["roof"].get("children", [])):
        wrong.append(f"{path}: objects {sorted(objects)}")
    (geometry,) = objects["roof"]["geometry"]
    shell, values = geometry["boundaries"], geometry["semantics"]["values"]
    if closed:
        shell, values = shell[0], values[0]
    area, volume, runs = collections.Counter(), 0.0, collections.Counter()
    for surface, value in zip(shell, values):
        vector = sum(newell(places[ring]) for ring in surface)
        size = numpy.linalg.norm(vector)
        area[value] += size
        # A prism from the first corner: what a closed surface holds.
        volume += places[surface[0][0]].dot(vector) / 3
        # Every corner of a ring lies in its plane.
        for place in places[sum(surface, [])]:
            if abs((place - places[surface[0][0]]).dot(vector / size)) > 5e-6:
                wrong.append(f"{path}: a surface that is not flat")
        for ring in surface:
            for a, b in zip(ring, ring[1:] + ring[:1]):
                runs[a, b] += 1
    if closed:
        if any(count != 1 or runs[b, a] != 1 for (a, b), count in runs.items()):
            wrong.append(f"{path}: not closed")
        if abs(volume - total["volume"]) > 1e-6 * total["volume"] + SHEETS:
            wrong.append(f"{path}: volume {volume}, expected {total['volume']}")
    kinds = collections.Counter()
    for number, surface in enumerate(geometry["semantics"]["surfaces"]):
        kinds[surface["type"]] += 1
        if "name" in surface:
            face = faces[surface["name"]]
            # A step is a micrometre.
            drawn(f"{path} {surface['name']}", area[number], surface["name"], 1e-5)
            same(f"{path} {surface['name']} area", surface.get("area"), face["area"], 1e-12)
            same(f"{path} {surface['name']} pitch", surface.get("pitch"), face["pitch"], 1e-12)
    if kinds["RoofSurface"] != len(roofs) or closed and kinds["GroundSurface"] != 1:
        wrong.append(f"{path}: surfaces {kinds}")


def table(path):
    rows = list(csv.DictReader(open(path, newline="")))
    edges = {int(row["id"]): row for row in rows if row["what"] == "edge"}
    for row in rows:
        if row["what"] == "face":
            for key in ("area", "pitch", "plan_area", "net_area", "aspect"):
                same(f"{path} {row['name']} {key}", float(row[key]) if row[key] else None, faces[row["name"]][key], 1e-12)
    for edge in answer["edges"]:
        row = edges[edge["id"]]
        same(f"{path} edge {edge['id']}", float(row["length"]) if row["length"] else None, edge["length"], 1e-12)
    if len(rows) != len(faces) + len(answer["edges"]):
        wrong.append(f"{path}: {len(rows)} rows")


def geojson(path):
    import shapely

    features = json.load(open(path))["features"]
    if {feature["id"] for feature in features} != {*roofs}:
        wrong.append(f"{path}: features {[feature['id'] for feature in features]}")
    for feature in features:
        shape = shapely.from_geojson(json.dumps(feature["geometry"]))
        if not shape.is_valid or not shape.exterior.is_ccw:
            wrong.append(f"{path} {feature['id']}: {shapely.is_valid_reason(shape)}")
        same(f"{path} {feature['id']}", shape.area, roofs[feature["id"]]["plan_area"], 1e-9)


KINDS = {
    ".city.json": city, ".glb": glb, ".gltf": glb, ".obj": obj, ".stl": lambda path: mesh(path, 4e-6), ".3mf": threemf,
    ".ifc": ifc, ".dxf": dxf, ".csv": table, ".geojson": geojson,
}
for path in sys.argv[2:]:
    judge = next(judge for ending, judge in KINDS.items() if path.endswith(ending))
    try:
        judge(path)
    except Exception as error:  # what a reader stumbles over is what is to be told
        wrong.append(f"{path}: {type(error).__name__}: {error}")
print("\n".join(wrong))
print(len(sys.argv) - 2, "files,", len(wrong), "wrong")
