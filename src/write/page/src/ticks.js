// Steps and checks to tick off. Ticks are kept on the device under the content of the job, so that a changed job starts
// anew; the page then says so.

const KEPT = "eavewright ticks ";
const LAST = "eavewright last ";

/** What the browser keeps for this page; `null` where it keeps nothing. */
function store() {
  try {
    const kept = window.localStorage;
    const probe = `${KEPT}probe`;
    kept.setItem(probe, "1");
    kept.removeItem(probe);
    return kept;
  } catch {
    return null;
  }
}

function read(kept, key) {
  try {
    const ticks = JSON.parse(kept?.getItem(key) ?? "[]");
    return new Set(Array.isArray(ticks) ? ticks : []);
  } catch {
    return new Set();
  }
}

/** A box with the words it is for. */
function box(id, words) {
  const label = document.createElement("label");
  const input = document.createElement("input");
  input.type = "checkbox";
  input.dataset.tick = id;
  label.className = "tick";
  label.append(input, ...words);
  return label;
}

/** Gives every step and check its box. */
function boxes(page) {
  for (const [list, steps] of page.querySelectorAll("ol.steps").entries()) {
    for (const [number, step] of [...steps.children].entries()) {
      const title = step.querySelector("b");
      const place = document.createComment("");
      title.replaceWith(place);
      place.replaceWith(box(`s${list}.${number}`, [title]));
    }
  }
  for (const [list, checks] of page.querySelectorAll("ul.checks").entries()) {
    for (const [number, check] of [...checks.children].entries()) {
      check.append(box(`c${list}.${number}`, [...check.childNodes]));
    }
  }
  return [...page.querySelectorAll("input[data-tick]")];
}

/** Gives the steps and checks of a page boxes that stay ticked. */
export function keepTicks(page) {
  const root = page.documentElement;
  const { job, content } = root.dataset;
  const inputs = boxes(page);
  if (inputs.length === 0) {
    return;
  }
  root.classList.add("ticks");
  const kept = store();
  const say = (what) => page.querySelectorAll(`[data-when="${what}"]`).forEach((told) => (told.hidden = false));
  let ticked = read(kept, KEPT + content);
  const last = kept?.getItem(LAST + job) ?? content;
  if (last !== content && ticked.size === 0 && read(kept, KEPT + last).size > 0) {
    say("changed");
  }
  if (!kept) {
    say("not-kept");
  }
  const counts = [...page.querySelectorAll("[data-count]")];
  const clear = page.querySelector("[data-do=clear]");
  const restore = page.querySelector("[data-do=restore]");
  const steps = inputs.filter((input) => input.dataset.tick.startsWith("s"));

  const show = () => {
    for (const input of inputs) {
      input.checked = ticked.has(input.dataset.tick);
      input.closest("li").classList.toggle("done", input.checked);
    }
    const done = steps.filter((input) => input.checked).length;
    counts.forEach((count) => (count.textContent = count.dataset.count === "done" ? done : steps.length));
    page.querySelector(".progress")?.style.setProperty("--done", steps.length ? done / steps.length : 0);
    if (clear) {
      clear.disabled = ticked.size === 0;
    }
  };
  const keep = () => {
    try {
      kept?.setItem(KEPT + content, JSON.stringify([...ticked].sort()));
      kept?.setItem(LAST + job, content);
    } catch {
      say("not-kept");
    }
    show();
  };
  page.querySelectorAll(".progress").forEach((progress) => (progress.hidden = false));
  for (const input of inputs) {
    input.addEventListener("change", () => {
      const { tick } = input.dataset;
      input.checked ? ticked.add(tick) : ticked.delete(tick);
      restore.hidden = true;
      keep();
    });
  }
  let before = ticked;
  clear?.addEventListener("click", () => {
    before = ticked;
    ticked = new Set();
    keep();
    restore.hidden = false;
    restore.focus();
  });
  restore?.addEventListener("click", () => {
    ticked = before;
    keep();
    restore.hidden = true;
    clear.focus();
  });
  // The same sheet in another tab.
  window.addEventListener("storage", (event) => {
    if (event.key === KEPT + content) {
      ticked = read(kept, KEPT + content);
      show();
    }
  });
  show();
}
