// A tube of the job at the trial fit: which of its ends was offered up, the gaps round it, and what they say.

import { areLeft, chooseHowMany, typed } from "./readings.js";
import { drawn, make, showFacts, showGaps } from "./show.js";

const OTHER = { right: "left", left: "right", Right: "Left", Left: "Right" };
const swapped = (words) => words.replace(/right|left/gi, (side) => OTHER[side]);

/** Crown lines have the names that are on the tube: seen with the cut end up, RIGHT is to the left of the front at its far end. */
function nameSides(form, isFar) {
  if ((form.dataset.far === "yes") === isFar) return;
  form.dataset.far = isFar ? "yes" : "";
  for (const label of form.querySelectorAll(".round label")) {
    const walk = document.createTreeWalker(label, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) walk.currentNode.data = swapped(walk.currentNode.data);
  }
  for (const field of form.querySelectorAll("[data-place]")) field.dataset.place = swapped(field.dataset.place);
  for (const said of form.querySelectorAll("[data-label]")) said.dataset.label = swapped(said.dataset.label);
}

/** The dialog of trial fits: what is given back opens it on the ends of a tube. `ask(query)` gives the answer, or null where there
 * is none; `take(query)` the strip. */
export function trialFits(dialog, { ask, take }) {
  const form = dialog.querySelector("form");
  const which = dialog.querySelector("#which-end");
  const explained = dialog.querySelector("#explained");
  const showHowMany = chooseHowMany(form);
  const left = new Set();
  let ends = [];

  function query() {
    const { tube, end } = ends[Number(which.value)];
    return { ...Object.fromEntries(typed(form)), tube, end };
  }

  async function answer() {
    explained.setAttribute("aria-busy", "true");
    const answer = await ask(query());
    if (!answer) return;
    showGaps(form, answer, (name) => left.has(name));
    explained.classList.toggle("stale", answer.title === null);
    if (answer.title !== null) show(answer);
    explained.setAttribute("aria-busy", "false");
  }

  function show(answer) {
    dialog.querySelector("#end").replaceChildren(drawn(answer.end));
    explained.hidden = false;
    showFacts(explained, answer);
  }

  form.addEventListener("input", answer);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", (event) => {
    left.add(event.target.name);
    if (event.target === which) nameSides(form, ends[Number(which.value)].is_far);
    answer();
  });
  form.addEventListener("focusout", (event) => {
    if (areLeft(form, event)) left.add("gaps");
  });
  dialog.querySelector("#strip").addEventListener("click", () => take(query()));
  dialog.querySelector("#trial-close").addEventListener("click", () => dialog.close());

  return (offered) => {
    ends = offered;
    which.replaceChildren(...ends.map(({ words }, index) => make("option", { value: String(index) }, words)));
    form.reset();
    left.clear();
    explained.hidden = true;
    nameSides(form, ends[0].is_far);
    showHowMany();
    dialog.showModal();
    dialog.querySelector("h2").focus();
    answer();
  };
}
