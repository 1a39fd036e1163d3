// Sliders beside the gaps of the chop-saw check, and the limit on its chart as a line: one drags, and sees the gap move.

import { make } from "./show.js";

const RANGES = { saw: { min: 0, max: 60, step: 0.1 }, scribe: { min: 0.02, max: 1, step: 0.005 } };
/** The limit is no narrower than this, in millimetres. */
const NARROWEST = 0.05;

/** Puts a slider under each gap that has one. Gives what shows where they stand, by an answer's `sliders`. */
export function addSliders(form) {
  const sliders = new Map();
  for (const gap of form.querySelectorAll(".gap[data-kind]")) {
    const range = RANGES[gap.dataset.kind];
    if (!range) continue;
    const field = gap.querySelector("input");
    const label = gap.querySelector("label").textContent;
    const slider = make("input", { type: "range", "aria-label": `${label}, slider`, ...range });
    const best = make("span", { class: "best", hidden: "" }, "best");
    slider.addEventListener("input", (event) => {
      event.stopPropagation(); // The field says it.
      const share = Number(slider.value);
      say(field, gap.dataset.kind === "scribe" ? `${share}od` : share.toFixed(1));
    });
    slider.addEventListener("change", (event) => {
      event.stopPropagation();
      left(field);
    });
    field.after(make("span", { class: "slider" }, slider, best));
    sliders.set(field.name, { slider, best, range });
  }
  return (answered) => {
    for (const { name, now, best } of answered) {
      const one = sliders.get(name);
      if (!one) continue;
      // What is dragged stands where the finger is.
      if (document.activeElement !== one.slider) one.slider.value = now;
      one.best.hidden = best === null;
      const share = (best - one.range.min) / (one.range.max - one.range.min);
      one.best.style.left = `${(100 * Math.max(0, Math.min(1, share))).toFixed(1)}%`;
    }
  };
}

/** Lets the limit on the chart within `drawings` be dragged. Gives what is told the limit, in millimetres, by an answer. */
export function limitLine(drawings, form) {
  const field = form.elements.namedItem("gap");
  let limit = null;
  let drag = null;

  /** The chart's field, where its limit is, and the element that turns a finger's place into the chart's. */
  function chart() {
    const svg = drawings.querySelector('[data-name^="Gap "] svg');
    const line = svg?.querySelector('[stroke-dasharray="0.5 1"]');
    const frame = svg?.querySelector('[data-layer="notes"] path');
    return line && frame ? { svg, line, box: line.getBBox(), frame: frame.getBBox() } : null;
  }

  const at = (svg, event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse()).y;

  drawings.addEventListener("pointerdown", (event) => {
    const found = event.target.classList.contains("grip") && chart();
    if (!found) return;
    const bottom = found.frame.y + found.frame.height;
    const now = (bottom - at(found.svg, event)) * (limit / (bottom - found.box.y));
    // What is said above the chart may move it meanwhile: the finger counts from where it began.
    drag = { from: event.clientY, now, scale: limit / (bottom - found.box.y) / found.svg.getScreenCTM().d };
    drawings.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  drawings.addEventListener("pointermove", (event) => {
    if (!drag) return;
    const wanted = Math.max(NARROWEST, drag.now + (drag.from - event.clientY) * drag.scale);
    say(field, `${wanted.toFixed(2)}mm`);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    drawings.addEventListener(end, () => {
      if (drag) left(field);
      drag = null;
    });
  }
  return (answered) => {
    limit = answered.find(({ name }) => name === "gap")?.now ?? null;
    const line = chart()?.line;
    if (!line) return;
    line.classList.add("limit");
    // As broad as a thumb, and not seen.
    const grip = line.cloneNode();
    grip.setAttribute("class", "grip");
    grip.removeAttribute("stroke-dasharray");
    line.after(grip);
  };
}

function say(field, words) {
  field.value = words;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function left(field) {
  field.dispatchEvent(new Event("change", { bubbles: true }));
}
