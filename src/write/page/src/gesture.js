// Fingers, pen and mouse on a surface: one moves, two pinch, a short touch taps, a wheel comes nearer.

const STILL = 8;
const SHORT = 500;

/**
 * Tells what is done on an element: `move(dx, dy)` in pixels, `pinch(ratio, x, y)` about a place of the element, `tap(x, y)`,
 * `twice(x, y)` for two taps in one place. Each may be left out.
 */
export function gestures(element, told) {
  const held = new Map();
  let first = null;
  let lastTap = null;
  const place = (event) => {
    const box = element.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const spread = () => {
    const [[ax, ay], [bx, by]] = [...held.values()];
    return { reach: Math.hypot(bx - ax, by - ay), x: (ax + bx) / 2, y: (ay + by) / 2 };
  };
  element.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) {
      return;
    }
    held.set(event.pointerId, place(event));
    first = held.size === 1 ? { at: place(event), when: event.timeStamp, moved: false } : null;
    try {
      element.setPointerCapture(event.pointerId);
    } catch {
      // A pointer that is gone already.
    }
  });
  element.addEventListener("pointermove", (event) => {
    if (!held.has(event.pointerId)) {
      return;
    }
    const [x, y] = place(event);
    if (held.size === 2) {
      const from = spread();
      held.set(event.pointerId, [x, y]);
      const to = spread();
      told.move?.(to.x - from.x, to.y - from.y);
      if (from.reach > 0 && to.reach > 0) {
        told.pinch?.(to.reach / from.reach, to.x, to.y);
      }
      return;
    }
    const [fromX, fromY] = held.get(event.pointerId);
    if (first && !first.moved && Math.hypot(x - first.at[0], y - first.at[1]) < STILL) {
      return;
    }
    if (first) {
      first.moved = true;
    }
    held.set(event.pointerId, [x, y]);
    told.move?.(x - fromX, y - fromY);
  });
  const leave = (event) => {
    if (!held.delete(event.pointerId)) {
      return;
    }
    const tapped = event.type === "pointerup" && first && !first.moved && event.timeStamp - first.when < SHORT;
    if (tapped) {
      const [x, y] = first.at;
      const again = lastTap && event.timeStamp - lastTap.when < SHORT && Math.hypot(x - lastTap.x, y - lastTap.y) < 30;
      lastTap = again ? null : { x, y, when: event.timeStamp };
      told.tap?.(x, y);
      if (again) {
        told.twice?.(x, y);
      }
    }
    first = null;
  };
  element.addEventListener("pointerup", leave);
  element.addEventListener("pointercancel", leave);
  element.addEventListener(
    "wheel",
    (event) => {
      if (told.wheel && !told.wheel(event)) {
        return;
      }
      event.preventDefault();
      told.pinch?.(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0015)), ...place(event));
    },
    { passive: false },
  );
}
