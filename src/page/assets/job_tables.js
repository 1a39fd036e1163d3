// What is known of a whole job, as tables.

import { button, make } from "./show.js";

function table(title, heads, rows) {
  if (!rows.length) return null;
  const cells = (row) => make("tr", {}, ...row.map((cell) => make("td", {}, cell instanceof Node ? cell : String(cell))));
  const head = make("tr", {}, ...heads.map((words) => make("th", { scope: "col" }, words)));
  const whole = make("table", {}, make("thead", {}, head), make("tbody", {}, ...rows.map(cells)));
  return make("details", {}, make("summary", {}, `${title} (${rows.length})`), make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": title }, whole));
}

/** Puts them in their place; `take` gives a PDF of a part alone. Those that were open stay so. */
export function showTables(place, answered, take) {
  const alone = (words, query) => button(words, () => take("pdf", query), "lead");
  const open = new Set([...place.querySelectorAll("[open] > summary")].map((summary) => summary.textContent.split(" (")[0]));
  const { cut_list, sticks, holes, mark_outs } = answered;
  const all = [
    table("Cut list", ["No.", "Piece", "How many", "Of", "Long", "Ends", "Weld", "Its sheets"], cut_list.map((row) => [row.number, row.name, row.quantity, row.stock, row.length, make("span", { class: "long" }, row.ends), row.weld, alone("PDF", { piece: row.number })])),
    table("Sticks", ["Of", "Pieces", "Left over"], sticks.map((row) => [row.stock, row.pieces, row.offcut])),
    table("Holes", ["In", "For", "Along", "Round", "Metal left"], holes.map((row) => [row.body, row.tube, row.along, row.round, row.left])),
    table("Mark-outs", ["Vessel", "Its sheets"], mark_outs.map((body) => [body, alone("PDF", { body })])),
  ].filter(Boolean);
  for (const one of all) one.open = open.has(one.querySelector("summary").textContent.split(" (")[0]);
  place.replaceChildren(...all);
}
