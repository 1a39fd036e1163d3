// The picture of the joint, turned by mouse, finger and arrow keys. The server draws it; a newer place overtakes an older one.

import { ask } from "./ask.js";
import { drawn } from "./show.js";

const START = { "/saddle": [30, 25], "/miter": [-74, 24], "/facets": [16, 18], "/trial": [30, 25] };
const STEP = 7.5;
const KEYS = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, STEP], ArrowDown: [0, -STEP] };

/** Makes `place` turnable; `typed()` is the joint's query. Gives what says where the eye is, as a
 * query's end, and what draws it anew from there. */
export function turnable(place, path, typed) {
  let [azimuth, height] = START[path];
  let isTurned = false;

  async function turn(right, up) {
    azimuth = (((azimuth + right) % 360) + 360) % 360;
    height = Math.max(-90, Math.min(90, height + up));
    isTurned = true;
    await draw();
  }

  async function draw() {
    const query = typed();
    query.set("eye", eye());
    const svg = await ask("picture", `${path}/picture?${query}`, "text").catch(() => null);
    const picture = svg ? drawn(svg) : null;
    if (picture) place.replaceChildren(picture);
  }

  const eye = () => `${azimuth.toFixed(1)},${height.toFixed(1)}`;

  place.addEventListener("keydown", (event) => {
    const step = KEYS[event.key];
    if (!step || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    turn(...step);
  });

  let from = null;
  place.addEventListener("pointerdown", (event) => {
    from = [event.clientX, event.clientY];
    place.setPointerCapture(event.pointerId);
  });
  place.addEventListener("pointermove", (event) => {
    if (!from) return;
    const [x, y] = from;
    from = [event.clientX, event.clientY];
    // Half a turn across the picture; what is drawn follows the finger.
    const scale = 180 / place.clientWidth;
    turn(-(event.clientX - x) * scale, (event.clientY - y) * scale);
  });
  for (const end of ["pointerup", "pointercancel"]) place.addEventListener(end, () => (from = null));

  return { eye: () => (isTurned ? eye() : null), draw };
}
