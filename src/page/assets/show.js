// Puts an answer onto the page. Words go in as text, drawings are parsed as SVG; nothing is ever read as HTML.

/** An element with words or other elements in it. */
export function make(tag, attributes = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...inside.filter((part) => part !== null));
  return element;
}

/** A button that does something; `kind` is its class. */
export function button(words, act, kind = "") {
  const made = make("button", { type: "button", ...(kind ? { class: kind } : {}) }, words);
  made.addEventListener("click", act);
  return made;
}

/** SVG words as an element, or null where they are none. */
export function drawn(svg) {
  const read = new DOMParser().parseFromString(svg, "image/svg+xml");
  if (read.querySelector("parsererror") || read.documentElement.localName !== "svg") return null;
  return document.importNode(read.documentElement, true);
}

/** A problem in words. */
export function problemWords(wrong) {
  return make(
    "span",
    { class: "problem" },
    make("strong", {}, wrong.what),
    wrong.figures ? make("span", { class: "figures" }, ` ${wrong.figures}`) : null,
    wrong.help ? make("span", { class: "help" }, ` ${wrong.help}`) : null,
  );
}

/** What was understood, and what is wrong, at each gap. `mayTell(name)` says whether a gap is told of its problems yet. */
export function showGaps(form, answer, mayTell) {
  const heard = new Map(answer.understood.map(({ name, words }) => [name, words]));
  for (const field of form.elements) {
    if (!field.name) continue;
    const place = document.getElementById(`${field.name}-heard`);
    if (!place) continue;
    place.textContent = heard.get(field.name) ?? place.title;
    const wrong = answer.problems.filter(({ at }) => at.includes(field.name) && mayTell(field.name, at));
    field.toggleAttribute("aria-invalid", false);
    if (wrong.length) {
      field.setAttribute("aria-invalid", "true");
      field.closest("details")?.setAttribute("open", "");
    }
    const said = document.getElementById(`${field.name}-wrong`);
    const words = wrong.map((one) => one.what).join();
    // The same words again would be read aloud again.
    if (said.dataset.said !== words) {
      said.dataset.said = words;
      said.replaceChildren(...wrong.map(problemWords));
    }
  }
  const unplaced = answer.problems.filter(({ at }) => at.length === 0);
  document.getElementById("at-odds").replaceChildren(...unplaced.map(problemWords));
}

/** Drawings, notes, facts and ways of a joint that can be made; the picture too, unless it was turned meanwhile. */
export function showJoint(place, answer, isTurned, onWay) {
  const drawings = place.querySelector(".drawings");
  const figures = answer.drawings.map(({ name, svg }) =>
    make("figure", { "data-name": name }, drawn(svg), make("figcaption", {}, name)),
  );
  const picture = document.getElementById("picture");
  picture.hidden = answer.picture === null;
  if (answer.picture && !isTurned) document.getElementById("view").replaceChildren(drawn(answer.picture));
  if (answer.end) document.getElementById("end").replaceChildren(drawn(answer.end));
  // The picture stays where it is: it may have the focus, or a finger on it.
  for (const old of drawings.querySelectorAll("figure[data-name]")) old.remove();
  drawings.append(...figures);
  showFacts(place, answer);
  place.querySelector(".ways").replaceChildren(...answer.ways.map((way) => card(way, onWay)));
}

/** Notes, facts and tables; a table that was open stays so. */
export function showFacts(place, answer) {
  place.querySelector(".notes").replaceChildren(...answer.notes.map((note) => make("li", {}, note)));
  const facts = answer.facts.flatMap(({ name, words }) => [make("dt", {}, name), make("dd", {}, words)]);
  place.querySelector("dl").replaceChildren(...facts);
  const tables = place.querySelector(".tables");
  const open = [...tables.querySelectorAll("[open]")].map((one) => one.dataset.title);
  tables.replaceChildren(...answer.tables.map((table) => byHand(table, open.includes(table.title))));
}

/** A table to mark by, folded. */
function byHand({ title, heads, rows, under }, isOpen) {
  const row = (cells) => make("tr", {}, ...cells.map((cell) => make("td", {}, cell)));
  const head = make("tr", {}, ...heads.map((words) => make("th", { scope: "col" }, words)));
  const table = make("table", {}, make("thead", {}, head), make("tbody", {}, ...rows.map(row)));
  const details = make("details", { "data-title": title }, make("summary", {}, title), table, make("p", { class: "quiet" }, under));
  details.open = isOpen;
  return details;
}

function card(way, onWay) {
  const take = button("Make this one's sheet", () => onWay(way.settings));
  return make(
    "article",
    {},
    make("h3", {}, way.name),
    make("p", {}, "gap ", make("strong", {}, way.gap)),
    make("p", { class: "quiet" }, way.within),
    make("ul", {}, ...way.cuts.map((cut) => make("li", {}, cut))),
    way.settings.length ? take : null,
  );
}

/** The row that takes the joint along. */
export function showAlong(place, answer) {
  place.hidden = answer.title === null;
  for (const link of place.querySelectorAll("[data-path]")) link.href = `${link.dataset.path}?${answer.query}`;
  document.getElementById("as-command").hidden = answer.title === null;
  document.getElementById("command").textContent = answer.command;
}
