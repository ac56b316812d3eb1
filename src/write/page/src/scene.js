// The roof's faces, walls, openings and lines as things to draw. Places come in metres, z upwards.
import {
  AmbientLight,
  Box3,
  BufferAttribute,
  BufferGeometry,
  Color,
  DirectionalLight,
  DoubleSide,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshLambertMaterial,
  Scene,
  Vector3,
} from "three";
import { LineMaterial } from "three/addons/lines/LineMaterial.js";
import { LineSegments2 } from "three/addons/lines/LineSegments2.js";
import { LineSegmentsGeometry } from "three/addons/lines/LineSegmentsGeometry.js";

/** Pixels that a millimetre of a pen's weight on paper becomes. */
const WEIGHT = 4;

function solid(places, triangles) {
  const geometry = new BufferGeometry();
  const corners = new Float32Array(triangles.flatMap((at) => places.slice(3 * at, 3 * at + 3)));
  geometry.setAttribute("position", new BufferAttribute(corners, 3));
  geometry.computeVertexNormals();
  // Lines lie on the faces, not in them.
  const material = new MeshLambertMaterial({ side: DoubleSide, polygonOffset: true, polygonOffsetFactor: 1.5, polygonOffsetUnits: 2 });
  return new Mesh(geometry, material);
}

/** Builds what is drawn. `colour(of, chosen)` takes the theme's colours; `resolution` the size of the screen. */
export function buildScene(model) {
  const scene = new Scene();
  const { places } = model;
  const faces = model.faces.map((face) => {
    const mesh = solid(places, face.triangles);
    mesh.userData.face = face.card;
    mesh.userData.normal = new Vector3().fromBufferAttribute(mesh.geometry.attributes.normal, 0);
    return mesh;
  });
  const walls = solid(places, model.walls);
  const openings = model.openings.map(({ places: ring, triangles, card }) => {
    const mesh = solid(ring, triangles);
    mesh.material.polygonOffsetFactor = 0.5;
    mesh.material.polygonOffsetUnits = 0;
    mesh.userData.face = card;
    return mesh;
  });
  const solids = [...faces, walls, ...openings].filter((mesh) => mesh.geometry.attributes.position.count > 0);
  scene.add(...solids);
  const box = new Box3();
  solids.forEach((mesh) => box.expandByObject(mesh));
  const reach = box.getSize(new Vector3()).length();

  const pens = model.lines.map(({ pen, weight, pattern, ends }) => {
    const geometry = new LineSegmentsGeometry();
    geometry.setPositions(ends.flatMap((at) => places.slice(3 * at, 3 * at + 3)));
    // Patterns are millimetres on a drawing some 160 mm wide.
    const [dash = 0, gap = 0] = pattern.map((length) => (length * reach) / 160);
    const material = new LineMaterial({ linewidth: Math.max(weight * WEIGHT, 1), dashed: dash > 0, dashSize: dash, gapSize: gap });
    const line = new LineSegments2(geometry, material);
    line.computeLineDistances();
    line.userData.pen = pen;
    scene.add(line);
    return line;
  });
  const fine = model.courses.map((ends) => {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(new Float32Array(ends), 3));
    const lines = new LineSegments(geometry, new LineBasicMaterial({ transparent: true, opacity: 0.3 }));
    scene.add(lines);
    return lines;
  });
  const sky = new AmbientLight(0xffffff, 1.9);
  const sun = new DirectionalLight(0xffffff, 1.6);
  sun.position.set(-0.55, -0.85, 1.15);
  scene.add(sky, sun);

  return {
    scene,
    model,
    solids,
    faces,
    box,
    resolution: (wide, high) => pens.forEach((line) => line.material.resolution.set(wide, high)),
    colour(of, chosen) {
      const set = (material, name) => material.color.set(new Color(of(name)));
      faces.forEach((mesh) => set(mesh.material, mesh.userData.face === chosen ? "chosen" : "slope"));
      set(walls.material, "wall");
      openings.forEach((mesh) => set(mesh.material, "opening"));
      pens.forEach((line) => set(line.material, `pen-${line.userData.pen}`));
      fine.forEach((lines) => set(lines.material, "pen-course"));
    },
  };
}
