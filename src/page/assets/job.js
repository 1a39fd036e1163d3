// The bench: the document is a job file's text. Every change is a new text; every text is asked about, the newest wins.

import { focusField, holdMeasures, showCard } from "./job_card.js";
import { dragged } from "./job_drag.js";
import { difference, keep, kept, step, stepped } from "./job_kept.js";
import { markOut } from "./job_mark.js";
import { showTables } from "./job_tables.js";
import { trialFits } from "./job_trial.js";
import { ask, busy, inTurn } from "./job_turn.js";
import { viewed } from "./job_view.js";
import { button, drawn, make, problemWords } from "./show.js";

const $ = (id) => document.getElementById(id);
/** text, name, what was saved last, how many steps led here, how many there are. */
let job = { text: "", name: "job.json", saved: "", at: 0, last: 0, mark: null };
let begun = { empty: "{}", starters: [] };
let onDisk = null;
let thing = null;
let answered = null;

document.documentElement.classList.add("scripted");

function tell(...words) {
  $("told").replaceChildren(...words);
}

async function refused(response) {
  const { problems } = await response.json().catch(() => ({ problems: [{ what: `The page answered ${response.status}.` }] }));
  tell(...problems.map(problemWords));
}

/** On a phone with a card open the picture is a strip over it. */
const narrow = matchMedia("(max-width: 46rem)");
const shape = () => (narrow.matches && thing ? "0.36" : "0.75");
const query = () => ({ ...view.query(), shape: shape(), ...(thing ? { thing: JSON.stringify(thing) } : {}) });

const answer = () => busy(answerNow);

async function answerNow() {
  $("start").hidden = job.text !== "";
  where();
  if (job.text === "") {
    answered = null;
    for (const id of ["sections", "card", "turned", "problems", "notes", "summary", "tables"]) $(id).replaceChildren();
    $("picture").hidden = true;
    return;
  }
  const response = await ask("answer", "/job/answer", job.text, query());
  if (!response) return;
  if (!response.ok) {
    await refused(response);
    return;
  }
  answered = await response.json();
  show();
}

function where() {
  const isSaved = job.text === job.saved;
  $("where").textContent = job.text === "" ? "" : `${job.name}: ${isSaved ? "saved" : "not saved to a file yet; kept in this browser"}`;
  $("undo").disabled = job.at === 0;
  $("redo").disabled = job.at >= job.last;
}

function show() {
  $("title").textContent = answered.title ?? $("title").textContent;
  const chip = $("sections").contains(document.activeElement) ? document.activeElement.dataset.chip : undefined;
  $("sections").replaceChildren(...answered.sections.filter(({ chips }) => chips.length).map(section));
  if (chip) [...$("sections").querySelectorAll("[data-chip]")].find((one) => one.dataset.chip === chip)?.focus({ preventScroll: true });
  const picture = $("picture");
  if (answered.picture) {
    $("turned").replaceChildren(drawn(answered.picture));
    picture.hidden = false;
  }
  picture.classList.toggle("stale", !answered.picture);
  mark();
  showCard($("card"), answered.card, answered.problems, edit, () => choose(null));
  $("problems").replaceChildren(...answered.problems.map((wrong) => make("li", {}, leading(wrong.at, problemWords(wrong), wrong.line))));
  $("notes").replaceChildren(...answered.notes.map(({ words, about }) => make("li", {}, about.length ? leading(about[0], words) : words)));
  $("summary").textContent = answered.summary.join(". ");
  showTables($("tables"), answered, take);
  for (const button of document.querySelectorAll("[data-file]")) button.disabled = !answered.is_whole;
}

/** What is known of a place, as a button that leads there. */
function leading(at, words, line) {
  if (!at.length) return make("span", {}, words, line ? ` (line ${line})` : "");
  const lead = async () => {
    await choose(at.slice(0, 2));
    focusField($("card"), at);
  };
  return button(words, lead, "lead");
}

const STATES = { plain: "", note: "see the note", wrong: "needs you" };

function section({ title, chips }) {
  const buttons = chips.map(({ at, name, says, state }) => {
    const chip = button(make("span", {}, name || "(no name)"), () => choose(at), `chip ${state}`);
    chip.append(says ? make("span", { class: "quiet" }, ` ${says}`) : "", STATES[state] ? make("em", {}, ` ${STATES[state]}`) : "");
    chip.dataset.chip = JSON.stringify(at);
    chip.setAttribute("aria-pressed", String(chip.dataset.chip === JSON.stringify(thing)));
    return chip;
  });
  return make("div", { class: "section" }, make("h2", {}, title), ...buttons);
}

/** What is chosen stands out in the picture. */
function mark() {
  for (const group of $("turned").querySelectorAll("[data-tube], [data-body]")) {
    const { tube, body } = group.dataset;
    const isIt = thing && ((thing[0] === "tubes" && tubeOf(tube) === thing[1]) || (thing[0] === "bodies" && body === thing[1]));
    group.classList.toggle("chosen", Boolean(isIt));
  }
}

/** The tube in the file of which this is a copy. */
function tubeOf(name) {
  return names("tubes").includes(name) ? name : name?.replace(/ \d+$/, "");
}

async function choose(at) {
  thing = at;
  await answer();
  if (at && narrow.matches) $("card").scrollIntoView();
}

/** A new text becomes the document: a step that can be undone. */
function become(text, more = {}) {
  const now = { ...job, ...more, text };
  if (text !== job.text || more.name) {
    const difference_ = { ...difference(job.text, text), name: [job.name, now.name] };
    now.at = job.at + 1;
    now.last = now.at;
    job = now;
    keep(job, difference_);
  } else {
    job = now;
    keep(job);
  }
  return answer();
}

const walk = (isBack) => inTurn(() => walkNow(isBack));

async function walkNow(isBack) {
  const number = isBack ? job.at : job.at + 1;
  const taken = await step(number);
  if (!taken) return;
  job = { ...job, text: stepped(job.text, taken, isBack), name: taken.name[isBack ? 0 : 1], at: isBack ? job.at - 1 : number };
  keep(job);
  answer();
}

/** Changes by place; `then` is chosen afterwards, nothing where it is an empty list. */
const edit = (edits, then) => inTurn(() => editNow(edits, then));

async function editNow(edits, then) {
  const response = await ask("edit", "/job/edit", job.text || begun.empty, { edits: JSON.stringify(edits) });
  if (!response) return;
  if (!response.ok) {
    await refused(response);
    return;
  }
  tell();
  const changed = await response.json();
  if (then && !then.length) thing = null;
  else thing = changed.then ?? then ?? thing;
  become(changed.text);
}

// Open, save, take along.

/** `read` gives the bytes. */
const openFrom = (read, name) => busy(async () => openBytes(await read(), name));

async function openBytes(bytes, name) {
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    const response = await ask("answer", "/job/answer", bytes);
    if (response?.ok) tell(...(await response.json()).problems.map(problemWords));
    else if (response) await refused(response);
    return;
  }
  thing = null;
  tell();
  await become(text, { name, saved: text, mark: null });
}

function download(blob, name) {
  const link = make("a", { href: URL.createObjectURL(blob), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

const save = (over = "") => busy(() => saveNow(over));

async function saveNow(over) {
  if (!onDisk || job.mark === null) {
    download(new Blob([job.text], { type: "application/json" }), job.name);
    job = { ...job, saved: job.text };
    keep(job);
    where();
    return;
  }
  const { text } = job;
  const response = await ask("save", "/job/disk", text, { mark: job.mark, over });
  if (!response) return;
  if (response.status === 409) {
    tell(make("p", {}, `${job.name} was changed by another program meanwhile.`), choice("Write over it", () => save("yes")), choice("Open what is there now", openDisk), choice("Save a copy", () => download(new Blob([job.text]), job.name)));
  } else if (response.ok) {
    const { mark } = await response.json();
    job = { ...job, saved: text, mark };
    keep(job);
    tell();
    where();
  } else await refused(response);
}

function choice(words, act) {
  return button(words, () => {
    tell();
    act();
  });
}

async function readDisk() {
  const response = await fetch("/job/disk");
  if (response.status === 204) return null;
  if (response.ok) return response.json();
  await refused(response);
  return null;
}

const openDisk = () => busy(openDiskNow);

async function openDiskNow() {
  onDisk = await readDisk();
  if (onDisk) await become(onDisk.text ?? begun.empty, { name: onDisk.name, saved: onDisk.text ?? "", mark: onDisk.mark });
}

const ENDINGS = { pdf: "pdf", csv: "csv", svg: "svg", dxf: "dxf", report: "report.json", strip: "strip.pdf" };

const take = (kind, query, named) => busy(() => takeNow(kind, query, named));

/** `named` is what tells the file from others of the job. */
async function takeNow(kind, query = {}, named = Object.values(query)) {
  const response = await ask("take", `/job/file/${kind}`, job.text, { ...query, name: job.name });
  if (!response) return;
  if (!response.ok) {
    await refused(response);
    return;
  }
  const part = named.map((one) => `-${one}`).join("");
  download(await response.blob(), `${job.name.replace(/\.jsonc?$/, "")}${part}.${ENDINGS[kind]}`);
}

// Begin a thing.

function names(kind) {
  const chips = (answered?.sections ?? []).flatMap(({ chips }) => chips);
  return chips.filter(({ at }) => at[0] === kind).map(({ at }) => at[1]);
}

function begin(what) {
  if (what !== "tube" || !names("bodies").length) {
    edit([{ begin: { what } }], null);
    return;
  }
  const vessels = names("bodies").map((name) => [name, name]);
  const option = ([value, words]) => make("option", { value }, words);
  $("tube-from").replaceChildren(...[...vessels, ["", "a place in space"]].map(option));
  $("tube-to").replaceChildren(...[...vessels.slice(1), ["", "straight out"], ...vessels.slice(0, 1)].map(option));
  $("between").hidden = false;
  $("tube-from").focus();
}

$("between").addEventListener("submit", (event) => {
  event.preventDefault();
  $("between").hidden = true;
  const [from, to] = [$("tube-from").value, $("tube-to").value];
  edit([{ begin: { what: "tube", from, to: from === to ? "" : to } }], null);
});
narrow.addEventListener("change", () => turned());
$("between-not").addEventListener("click", () => ($("between").hidden = true));

for (const button of document.querySelectorAll("[data-new]")) button.addEventListener("click", () => begin(button.dataset.new));
for (const button of document.querySelectorAll("[data-file]")) button.addEventListener("click", () => take(button.dataset.file));
for (const button of document.querySelectorAll("[data-eye]")) button.addEventListener("click", () => view.from(button.dataset.eye));
for (const button of document.querySelectorAll("[data-zoom]")) button.addEventListener("click", () => view.nearer(Number(button.dataset.zoom)));
$("undo").addEventListener("click", () => walk(true));
$("redo").addEventListener("click", () => walk(false));
$("open").addEventListener("click", () => $("file").click());
$("new").addEventListener("click", () => {
  thing = null;
  become("", { name: "job.json", saved: "", mark: null });
});
$("save").addEventListener("click", () => save());
$("file").addEventListener("change", async (event) => {
  const [file] = event.target.files;
  if (file) await openFrom(() => file.arrayBuffer(), file.name);
  event.target.value = "";
});
document.addEventListener("dragover", (event) => event.preventDefault());
document.addEventListener("drop", async (event) => {
  event.preventDefault();
  const [file] = event.dataTransfer.files;
  if (file) await openFrom(() => file.arrayBuffer(), file.name);
});
document.addEventListener("keydown", (event) => {
  const isTyping = ["INPUT", "SELECT"].includes(event.target.tagName);
  if (!(event.ctrlKey || event.metaKey) || isTyping) return;
  if (event.key === "z" && !event.shiftKey) walk(true);
  else if (event.key === "y" || (event.key.toLowerCase() === "z" && event.shiftKey)) walk(false);
  else return;
  event.preventDefault();
});

holdMeasures($("card"));
$("card").addEventListener("markout", ({ detail: body }) =>
  markOut($("markout"), job.name, body, (hole) =>
    busy(async () => {
      const response = await ask("mark-out", "/job/mark-out", job.text, { body, hole });
      return response?.status === 200 ? response.json() : null;
    }),
  ),
);

const offerUp = trialFits($("trial"), {
  ask: (query) =>
    busy(async () => {
      const response = await ask("trial", "/job/trial", job.text, query);
      return response?.ok ? response.json() : null;
    }),
  take: (query) => take("strip", query, [query.tube, query.end]),
});
$("card").addEventListener("offerup", ({ detail: ends }) => offerUp(ends));

dragged($("turned"), {
  // The picture stays where it is, or the landing would leave the finger.
  begin: () => ({ text: job.text, frame: answered.frame }),
  ask: (at, by, { text, frame }) =>
    busy(async () => {
      const edits = JSON.stringify([{ land: { at, by } }]);
      const response = await ask("drag", "/job/answer", text, { ...query(), frame, edits });
      return response?.ok ? response.json() : null;
    }),
  show(known) {
    answered = known;
    show();
  },
  end: (known, { text }) => inTurn(() => (known && job.text === text ? become(known.text) : answerNow())),
});

let isTurning = false;
let isToTurn = false;
/** While one picture is drawn, the newest place of the eye waits for the next. */
async function turned() {
  isToTurn = true;
  if (isTurning) return;
  isTurning = true;
  while (isToTurn && job.text !== "") {
    isToTurn = false;
    const response = await ask("picture", "/job/picture", job.text, query()).catch(() => null);
    const svg = response?.status === 200 ? drawn(await response.text()) : null;
    if (svg) {
      $("turned").replaceChildren(svg);
      mark();
    }
  }
  isTurning = false;
}

const view = viewed($("turned"), turned, (tube, body) => choose(tube === undefined ? ["bodies", body] : ["tubes", tubeOf(tube)]));

async function start() {
  begun = await (await fetch("/job/begin")).json();
  const starters = begun.starters.map(({ name, what }) => {
    const read = async () => (await fetch(`/job/starter/${name}`)).arrayBuffer();
    return make("li", {}, button(what, () => openFrom(read, `${name}.json`)));
  });
  $("starters").replaceChildren(...starters);
  job = { ...job, ...(await kept()) };
  onDisk = await readDisk();
  if (onDisk && (job.mark !== onDisk.mark || job.name !== onDisk.name)) await openDisk();
  else await answer();
}

await busy(start);
