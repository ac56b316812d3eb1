// Words over the roof in 3D: the names of its faces, the edges of the one that is chosen, north. They are the page's own.
import { Raycaster, Vector3 } from "three";

/** How much nearer than a label's place something must be to hide it, as a part of its distance. */
const HIDES = 0.02;
/** Where along an edge its label may stand, the best place first. */
const SHARES = [0.5, 0.35, 0.65, 0.2, 0.8];

/** The middle of a face, or of its largest triangle where that lies outside it. */
export function middle(mesh) {
  const places = mesh.geometry.attributes.position;
  const corner = (at) => new Vector3().fromBufferAttribute(places, at);
  let [all, weight, largest, most] = [new Vector3(), 0, null, -1];
  const triangles = [];
  for (let at = 0; at < places.count; at += 3) {
    const [a, b, c] = [corner(at), corner(at + 1), corner(at + 2)];
    const across = b.clone().sub(a).cross(c.clone().sub(a));
    const area = across.length() / 2;
    const centre = a.clone().add(b).add(c).divideScalar(3);
    all.addScaledVector(centre, area);
    weight += area;
    triangles.push([a, b, c]);
    if (area > most) {
      [largest, most] = [centre, area];
    }
  }
  all.divideScalar(weight || 1);
  const inside = triangles.some(([a, b, c]) => {
    const normal = b.clone().sub(a).cross(c.clone().sub(a));
    return [[a, b], [b, c], [c, a]].every(([from, to]) => to.clone().sub(from).cross(all.clone().sub(from)).dot(normal) >= 0);
  });
  return inside ? all : largest;
}

/** Lays the words of a page over what is drawn. */
export class Labels {
  constructor(room, roof, page) {
    this.room = room;
    this.tools = page.querySelector(".tools");
    this.roof = roof;
    this.ray = new Raycaster();
    this.all = [];
    const add = (words, places, kind, face) => {
      const label = document.createElement("span");
      label.className = kind;
      label.textContent = words;
      label.style.visibility = "hidden";
      room.append(label);
      this.all.push({ label, places, kind, face });
    };
    for (const mesh of roof.faces) {
      const { face } = mesh.userData;
      const name = page.querySelector(`[data-face="${face}"]`);
      if (name && mesh.geometry.attributes.position.count > 0) {
        add(name.textContent, [middle(mesh)], "face", face);
      }
    }
    const place = (at) => new Vector3(...roof.model.places.slice(3 * at, 3 * at + 3));
    for (const card of page.querySelectorAll("[data-card]")) {
      for (const edge of card.querySelectorAll("[data-edge]")) {
        const [from, to] = edge.dataset.edge.split(" ").map(Number);
        const along = SHARES.map((share) => place(from).lerp(place(to), share));
        add(edge.dataset.label, along, "edge", Number(card.dataset.card));
      }
    }
    const north = room.dataset.north;
    if (north) {
      const { box, model } = roof;
      const reach = box.max.clone().sub(box.min).length() / 2;
      const foot = box.min.clone().add(box.max).divideScalar(2).setZ(box.min.z);
      const way = new Vector3(-Math.sin(model.north), Math.cos(model.north), 0);
      add(north, [foot.add(way.multiplyScalar(reach * 1.05))], "north", null);
    }
  }

  /** Whether something of the roof stands before a place. */
  hidden(place, camera) {
    const from = camera.position;
    const way = place.clone().sub(from);
    const away = way.length();
    this.ray.set(from, way.normalize());
    this.ray.far = away * (1 - HIDES);
    return this.ray.intersectObjects(this.roof.solids, false).length > 0;
  }

  /** Lays them for an eye; those that would lie on one another, or behind the roof, are left out. */
  lay(camera, canvas, chosen) {
    const [wide, high] = [canvas.clientWidth, canvas.clientHeight];
    // What moves the view stands over it.
    const { offsetLeft, offsetTop, offsetWidth, offsetHeight } = this.tools;
    const laid = [[offsetLeft + offsetWidth / 2, offsetTop + offsetHeight / 2, offsetWidth / 2, offsetHeight / 2]];
    const first = (one) => (one.face === chosen && chosen !== null ? (one.kind === "edge" ? 0 : 1) : one.kind === "north" ? 3 : 2);
    for (const one of [...this.all].sort((a, b) => first(a) - first(b))) {
      const { label, places, kind, face } = one;
      const half = [label.offsetWidth / 2 + 2, label.offsetHeight / 2 + 1];
      const wanted = kind !== "edge" || face === chosen;
      const free = (place) => {
        const on = place.clone().project(camera);
        const [x, y] = [((on.x + 1) / 2) * wide, ((1 - on.y) / 2) * high];
        const within = on.z < 1 && x > half[0] && x < wide - half[0] && y > half[1] && y < high - half[1];
        const clear = ([ox, oy, ow, oh]) => Math.abs(ox - x) > ow + half[0] || Math.abs(oy - y) > oh + half[1];
        const seen = () => kind === "north" || !this.hidden(place, camera);
        return within && laid.every(clear) && seen() ? [x, y] : null;
      };
      let found = null;
      for (const place of wanted ? places : []) {
        found ??= free(place);
      }
      label.style.visibility = found ? "visible" : "hidden";
      label.classList.toggle("chosen", kind === "face" && face === chosen);
      if (found) {
        laid.push([...found, ...half]);
        label.style.transform = `translate(${(found[0] - half[0] + 2).toFixed(1)}px, ${(found[1] - half[1] + 1).toFixed(1)}px)`;
      }
    }
  }
}
