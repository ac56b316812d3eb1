// Drawings over the whole screen, to come nearer with two fingers, the wheel or the keys.
import { gestures } from "./gesture.js";

const MOST = 24;

/** Lets every drawing of a page be enlarged. Gives `show(name)`, which enlarges one by its name. */
export function enlargeDrawings(page) {
  const dialog = page.querySelector("#enlarged");
  const paper = dialog.querySelector(".paper");
  const title = dialog.querySelector("h2");
  let view = { x: 0, y: 0, scale: 1 };
  let size = [1, 1];
  let drawn = null;

  const fit = () => {
    const scale = Math.min(paper.clientWidth / size[0], paper.clientHeight / size[1]);
    return { scale, x: (paper.clientWidth - size[0] * scale) / 2, y: (paper.clientHeight - size[1] * scale) / 2 };
  };
  const lay = () => {
    // A part of the drawing stays on the screen.
    const [wide, high] = [size[0] * view.scale, size[1] * view.scale];
    const within = (at, length, room) => Math.min(Math.max(at, Math.min(0, room - length) - room / 3), Math.max(0, room - length) + room / 3);
    view.x = within(view.x, wide, paper.clientWidth);
    view.y = within(view.y, high, paper.clientHeight);
    drawn.style.width = `${wide}px`;
    drawn.style.height = `${high}px`;
    drawn.style.transform = `translate(${view.x}px, ${view.y}px)`;
  };
  const nearer = (ratio, x = paper.clientWidth / 2, y = paper.clientHeight / 2) => {
    const least = fit().scale;
    const scale = Math.min(Math.max(view.scale * ratio, least), least * MOST);
    const kept = scale / view.scale;
    view = { scale, x: x - (x - view.x) * kept, y: y - (y - view.y) * kept };
    lay();
  };
  const move = (dx, dy) => {
    view.x += dx;
    view.y += dy;
    lay();
  };
  const open = (figure) => {
    const svg = figure.querySelector("svg[role=img]");
    const box = svg.viewBox.baseVal;
    size = [box.width, box.height];
    drawn = svg.cloneNode(true);
    title.textContent = figure.querySelector("figcaption")?.textContent ?? svg.querySelector("title")?.textContent ?? "";
    paper.replaceChildren(drawn);
    dialog.showModal();
    view = fit();
    lay();
  };

  gestures(paper, { move, pinch: nearer, twice: (x, y) => nearer(view.scale > fit().scale * 1.05 ? 0 : 3, x, y) });
  const keys = { ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60] };
  dialog.addEventListener("keydown", (event) => {
    if (event.key in keys) {
      move(...keys[event.key]);
    } else if (event.key === "+" || event.key === "=") {
      nearer(1.4);
    } else if (event.key === "-") {
      nearer(1 / 1.4);
    } else {
      return;
    }
    event.preventDefault();
  });
  const asked = { nearer: () => nearer(1.6), farther: () => nearer(1 / 1.6), close: () => dialog.close() };
  for (const [name, act] of Object.entries(asked)) {
    dialog.querySelector(`[data-do=${name}]`).addEventListener("click", act);
  }
  dialog.addEventListener("close", () => paper.replaceChildren());
  window.addEventListener("resize", () => dialog.open && ((view = fit()), lay()));

  const pattern = page.querySelector("#enlarge");
  for (const figure of page.querySelectorAll("main figure")) {
    if (!figure.querySelector("svg") || figure.dataset.small !== undefined) {
      continue;
    }
    const button = pattern.content.firstElementChild.cloneNode(true);
    const caption = figure.querySelector("figcaption")?.textContent;
    if (caption) {
      button.setAttribute("aria-label", `${button.getAttribute("aria-label")}: ${caption}`);
    }
    button.addEventListener("click", () => open(figure));
    figure.querySelector("svg").addEventListener("click", () => open(figure));
    figure.classList.add("opens");
    figure.append(button);
  }
  return {
    show(name) {
      const figure = page.getElementById(`drawing-${name}`);
      if (figure) {
        open(figure);
      }
    },
  };
}
