// The roof in 3D: turned with a finger, a face tapped for what is told of it. Drawn only when something changes.
import { gestures } from "./gesture.js";
import { Labels, middle } from "./labels.js";
import { buildScene } from "./scene.js";
import { Eye } from "./eye.js";
import { Raycaster, Vector2, WebGLRenderer } from "three";

/** Pixels of the screen that one of the page may be drawn with: more is not seen and costs time. */
const DENSE = 2;

/** Puts the roof where the page keeps room for it. Without WebGL the still picture stays. */
export function showRoof(page, figures) {
  const part = page.querySelector("#model");
  const data = page.querySelector("#roof");
  if (!part || !data) {
    return;
  }
  const stage = part.querySelector(".stage");
  const canvas = stage.querySelector("canvas");
  let renderer;
  try {
    renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
  } catch {
    return;
  }
  const roof = buildScene(JSON.parse(data.textContent));
  part.hidden = false;
  page.documentElement.classList.add("model");
  const eye = new Eye(roof.box);
  const labels = new Labels(stage.querySelector(".labels"), roof, page);
  const frames = { count: 0 };
  let chosen = null;
  let asked = false;

  const draw = () => {
    asked = false;
    frames.count += 1;
    renderer.render(roof.scene, eye.camera);
    labels.lay(eye.camera, canvas, chosen);
  };
  const redraw = () => {
    if (!asked) {
      asked = true;
      requestAnimationFrame(draw);
    }
  };
  const resize = () => {
    const { clientWidth: wide, clientHeight: high } = stage;
    if (wide === 0 || high === 0) {
      return;
    }
    renderer.setPixelRatio(Math.min(window.devicePixelRatio, DENSE));
    renderer.setSize(wide, high, false);
    eye.shape(wide, high);
    roof.resolution(wide, high);
    redraw();
  };
  const colour = () => {
    const style = getComputedStyle(page.documentElement);
    roof.colour((name) => style.getPropertyValue(`--${name}`).trim(), chosen);
    redraw();
  };

  // Faces: told in a card each, chosen by tapping them or by their names.
  const names = [...part.querySelectorAll("[data-face]")];
  const cards = [...part.querySelectorAll("[data-card]")];
  const choose = (face) => {
    chosen = face === chosen ? null : face;
    for (const name of names) {
      name.setAttribute("aria-pressed", String(Number(name.dataset.face) === chosen));
    }
    for (const card of cards) {
      card.hidden = Number(card.dataset.card) !== chosen;
    }
    part.classList.toggle("chosen", chosen !== null);
    colour();
  };
  names.forEach((name) =>
    name.addEventListener("click", () => {
      const face = Number(name.dataset.face);
      choose(face);
      const mesh = roof.faces.find((mesh) => mesh.userData.face === face);
      if (mesh && chosen === face) {
        eye.see(mesh.userData.normal, middle(mesh));
      }
    }),
  );
  part.querySelectorAll("[data-drawing]").forEach((button) => {
    button.addEventListener("click", () => figures.show(button.dataset.drawing));
  });
  part.querySelectorAll("[data-do=leave]").forEach((button) => {
    button.addEventListener("click", () => {
      const name = names.find((name) => Number(name.dataset.face) === chosen);
      choose(null);
      name?.focus();
    });
  });

  const ray = new Raycaster();
  const at = (x, y) => {
    ray.setFromCamera(new Vector2((x / stage.clientWidth) * 2 - 1, 1 - (y / stage.clientHeight) * 2), eye.camera);
    const hit = ray.intersectObjects(roof.solids, false)[0];
    return hit?.object.userData.face ?? null;
  };
  const moved = (change) => (...by) => {
    change(...by);
    redraw();
  };
  const turn = moved((dx, dy) => eye.turn(dx, dy));
  const nearer = moved((ratio) => eye.nearer(ratio));
  const large = (is) => {
    part.classList.toggle("large", is);
    page.documentElement.classList.toggle("still", is);
    part.querySelector("[data-do=large]").setAttribute("aria-pressed", String(is));
    resize();
  };
  gestures(canvas, {
    move: turn,
    pinch: nearer,
    // The wheel scrolls the page unless the roof has the screen to itself.
    wheel: (event) => part.classList.contains("large") || event.ctrlKey,
    tap: (x, y) => {
      const face = at(x, y);
      if (face !== null || chosen !== null) {
        choose(face);
      }
    },
  });
  const step = Math.PI / 24;
  const keys = {
    ArrowLeft: () => eye.by(-step, 0),
    ArrowRight: () => eye.by(step, 0),
    ArrowUp: () => eye.by(0, step),
    ArrowDown: () => eye.by(0, -step),
    "+": () => eye.nearer(1.2),
    "=": () => eye.nearer(1.2),
    "-": () => eye.nearer(1 / 1.2),
    Home: () => eye.start(),
  };
  canvas.addEventListener("keydown", (event) => {
    if (event.key in keys && !event.ctrlKey && !event.metaKey) {
      keys[event.key]();
      redraw();
      event.preventDefault();
    }
  });
  page.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && part.classList.contains("large")) {
      large(false);
    }
  });
  const asks = {
    nearer: () => eye.nearer(1.3),
    farther: () => eye.nearer(1 / 1.3),
    above: () => eye.above(),
    start: () => eye.start(),
    large: () => large(!part.classList.contains("large")),
  };
  for (const [name, act] of Object.entries(asks)) {
    stage.querySelector(`[data-do=${name}]`).addEventListener("click", moved(act));
  }

  canvas.addEventListener("webglcontextlost", () => {
    part.hidden = true;
    page.documentElement.classList.remove("model");
  });
  new ResizeObserver(resize).observe(stage);
  for (const query of ["(prefers-color-scheme: dark)", "(prefers-contrast: more)"]) {
    window.matchMedia(query).addEventListener("change", colour);
  }
  resize();
  colour();
  // For whoever measures how fast it turns.
  stage.roof = { frames, turn };
}
