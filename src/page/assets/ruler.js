// What the printed rulers read: kept in this browser, put into every joint's words.

import { fillFrom, keep, keepField, kept } from "./kept.js";

const form = document.getElementById("ruler");
const across = document.getElementById("across");
const down = document.getElementById("down");
const said = document.getElementById("printer-said");

document.documentElement.classList.add("scripted");

function show() {
  const reads = kept("ruler-reads");
  [across.value, down.value] = reads ? reads.split(",") : ["", ""];
  said.textContent = reads
    ? `Every joint is corrected for rulers that read ${reads.replace(",", " across and ")} down.`
    : "No correction is remembered: joints are printed as they are.";
}

document.getElementById("keep-readings").addEventListener("click", () => {
  const reads = [across.value.trim(), down.value.trim()];
  if (reads.some((one) => !one)) {
    said.textContent = "Type both readings: across the sheet, and down it.";
    return;
  }
  keep("ruler-reads", reads.join(","));
  show();
});
document.getElementById("forget-readings").addEventListener("click", () => {
  keep("ruler-reads", "");
  show();
});
form.addEventListener("change", (event) => keepField(event.target));

fillFrom(form, new URLSearchParams(location.search));
show();
