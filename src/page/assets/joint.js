// A joint's screen, live: every key asks anew, the address holds what was typed.

import { ask } from "./ask.js";
import { fillFrom, keepField } from "./kept.js";
import { areLeft, chooseHowMany, leftAtFirst, typed } from "./readings.js";
import { showAlong, showGaps, showJoint } from "./show.js";
import { addSliders, limitLine } from "./slide.js";
import { turnable } from "./turn.js";

const form = document.getElementById("sentence");
const place = document.getElementById("answer");
const along = document.getElementById("along");
const path = `/${form.dataset.name}`;
/** Fields that were left: only they are told of what is wrong. */
const left = new Set();

document.documentElement.classList.add("scripted");

function isEmpty() {
  return ![...form.querySelectorAll(".sentence [name]")].some((field) => field.value.trim());
}

async function answer() {
  showCorrection();
  const query = typed(form);
  const eye = turned.eye();
  if (eye) query.set("eye", eye);
  document.getElementById("example").hidden = !isEmpty();
  place.setAttribute("aria-busy", "true");
  let answer;
  try {
    answer = await ask("joint", `${path}/answer?${query}`);
  } catch {
    place.setAttribute("aria-busy", "false");
    place.classList.add("stale");
    document.getElementById("at-odds").textContent =
      "The program doesn't answer: is it still running? What you typed is kept in the address.";
    return;
  }
  if (answer === null) return; // Overtaken: the newer one says when it is done.
  showGaps(form, answer, (name, at) => at.every((one) => left.has(one) || one !== document.activeElement?.name) && left.has(name));
  place.classList.toggle("stale", answer.title === null);
  if (answer.title !== null) {
    place.hidden = false;
    const isTurned = eye !== turned.eye();
    showJoint(place, answer, isTurned, take);
    if (isTurned) turned.draw();
    showSliders(answer.sliders);
    showLimit(answer.sliders);
  }
  showAlong(along, answer);
  place.setAttribute("aria-busy", "false");
}

/** The settings of another way, put into the gaps. */
function take(settings) {
  for (const { name, words } of settings) {
    const field = form.elements.namedItem(name);
    field.value = words;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
  remember();
}

/** What stands in the fields: a step to go back to. */
function fields() {
  return Object.fromEntries([...form.elements].filter((field) => field.name).map((field) => [field.name, field.value]));
}

/** The address holds the joint; each step that a field left is one to go back to. */
function remember() {
  const address = `${path}?${typed(form)}`;
  if (address !== location.pathname + location.search) history.pushState(fields(), "", address);
}

form.addEventListener("input", answer);
form.addEventListener("change", (event) => {
  left.add(event.target.name);
  keepField(event.target);
  remember();
  answer();
});
form.addEventListener("focusout", (event) => {
  if (areLeft(form, event)) left.add("gaps");
  if (event.target.name && event.target.value.trim()) {
    left.add(event.target.name);
    answer();
  }
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  for (const field of form.elements) if (field.name) left.add(field.name);
  remember();
  answer();
});
window.addEventListener("popstate", (event) => {
  const query = new URLSearchParams(location.search);
  const was = event.state ?? Object.fromEntries(query);
  for (const field of form.elements) if (field.name) field.value = was[field.name] ?? "";
  showHowMany();
  answer();
});

// The printer's correction: said on every joint that it is put into, and cleared in one step.
const corrected = document.getElementById("corrected");
const reads = form.elements.namedItem("ruler-reads");

function showCorrection() {
  const text = reads.value.trim();
  corrected.hidden = !text;
  const words = text.replace(/\s*,\s*/, " across and ");
  corrected.firstElementChild.textContent = `Corrected for a printer whose rulers read ${words} down.`;
}

corrected.querySelector("button").addEventListener("click", () => {
  reads.value = "";
  reads.dispatchEvent(new Event("input", { bubbles: true }));
  reads.dispatchEvent(new Event("change", { bubbles: true }));
});

// On a phone the picture stays in sight while the sentence is edited.
form.addEventListener("focusin", (event) => {
  document.documentElement.classList.add("editing");
  event.target.scrollIntoView({ block: "nearest" });
});
form.addEventListener("focusout", (event) => {
  if (!form.contains(event.relatedTarget)) document.documentElement.classList.remove("editing");
});

const copy = document.getElementById("copy");
copy.hidden = !navigator.clipboard;
copy.addEventListener("click", async () => {
  await navigator.clipboard.writeText(document.getElementById("command").textContent);
  copy.textContent = "Copied";
});

const turned = turnable(document.getElementById("view"), path, () => typed(form));
fillFrom(form, new URLSearchParams(location.search));
history.replaceState(fields(), "");
const showHowMany = chooseHowMany(form);
const showSliders = addSliders(form);
const showLimit = form.elements.namedItem("gap") ? limitLine(place.querySelector(".drawings"), form) : () => {};
for (const field of form.elements) if (field.name && field.value.trim()) left.add(field.name);
for (const name of leftAtFirst(form)) left.add(name);
answer();
