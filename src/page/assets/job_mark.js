// A vessel's mark-out on a phone at the vessel: one hole at a time, its two measures as large as there is room. What is done is
// remembered in this browser as long as the hole stays where it is.

import { button, drawn, make } from "./show.js";

const KEPT = "girthline marked";
/** Jobs whose marks are remembered. */
const MOST = 20;

function all() {
  try {
    return JSON.parse(localStorage.getItem(KEPT)) ?? {};
  } catch {
    return {};
  }
}

/** The holes of a job that are marked: `marked(job).has(hole)`, and `turn(hole)` to say so or not so any more. */
function marked(job, body) {
  const done = new Set(all()[job]?.[body] ?? []);
  return {
    has: (hole) => done.has(hole),
    turn(hole, holes) {
      if (!done.delete(hole)) done.add(hole);
      const { [job]: mine, ...others } = all();
      const last = Object.entries(others).slice(1 - MOST);
      // What isn't there any more needs no mark.
      const still = [...done].filter((one) => holes.includes(one));
      try {
        localStorage.setItem(KEPT, JSON.stringify({ ...Object.fromEntries(last), [job]: { ...mine, [body]: still } }));
      } catch {
        // A browser that keeps nothing forgets it with the page.
      }
    },
  };
}

/** Opens the mark-out of a vessel within `dialog`. `ask(number)` gives a hole, or null where it can't. */
export async function markOut(dialog, job, body, ask) {
  const done = marked(job, body);
  let number = 0;

  const measure = ({ figure, beside, words }) => {
    const large = make("strong", {}, figure);
    large.style.setProperty("--letters", String(figure.length));
    return make("p", { class: "tape" }, make("span", {}, words), large, make("span", { class: "quiet" }, beside || "\u00a0"));
  };

  async function to(next) {
    const hole = await ask(next);
    if (!hole) return;
    number = next;
    show(hole);
  }

  function show(hole) {
    const { holes } = hole;
    const known = holes[number];
    const count = holes.filter(done.has).length;
    const turn = (words, kind) =>
      button(words, () => {
        done.turn(known, holes);
        // On to the next that isn't marked, round from the last to the first.
        const left = holes.map((_, index) => (number + 1 + index) % holes.length).find((index) => !done.has(holes[index]));
        if (done.has(known) && left !== undefined) to(left);
        else show(hole);
      }, kind);
    const head = make("header", {}, make("h2", { tabindex: "-1" }, `${body}: ${hole.number}`), button("Close", () => dialog.close(), "small"));
    const states = [done.has(known) ? "marked" : null, hole.is_made ? "made already" : null].filter(Boolean);
    const name = make("p", {}, hole.name, ...states.map((words) => make("strong", {}, `, ${words}`)));
    const going = make("p", { class: "quiet", role: "status" }, count === holes.length ? `All ${count} are marked.` : `Hole ${number + 1} of ${holes.length}; ${count} marked.`);
    const row = make("p", { class: "row" },
      button("Back", () => to((number + holes.length - 1) % holes.length)),
      done.has(known) ? turn("Not marked after all") : turn("Done", "done"),
      button("Next", () => to((number + 1) % holes.length)));
    dialog.replaceChildren(head, name, ...hole.measures.map(measure), ...(hole.svg ? [make("figure", {}, drawn(hole.svg))] : []), going, row);
    dialog.setAttribute("aria-label", `Mark-out of ${body}`);
    if (!dialog.open) dialog.showModal();
    dialog.querySelector("h2").focus();
  }

  await to(0);
}
