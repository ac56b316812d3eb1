// The page of a job sheet: what is on it reads without this script; here it gets the roof in 3D, steps that stay ticked
// and drawings that can be enlarged. Every word it shows stands in the page already.
import { enlargeDrawings } from "./enlarge.js";
import { showRoof } from "./roof.js";
import { keepTicks } from "./ticks.js";

/** Runs a part of the page; one that fails leaves the rest, and the sheet reads as it does without a script. */
function part(run) {
  try {
    return run();
  } catch (error) {
    console.warn(error);
    return undefined;
  }
}

const figures = part(() => enlargeDrawings(document)) ?? { show: () => {} };
part(() => keepTicks(document));
part(() => showRoof(document, figures));

// A table or a drawing that is wider than the screen is scrolled by key as well.
for (const wide of document.querySelectorAll(".scroll")) {
  if (wide.scrollWidth > wide.clientWidth) {
    wide.tabIndex = 0;
  }
}
