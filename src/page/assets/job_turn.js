// Questions about the job, and whose turn it is: of questions of a kind the newest wins, changes wait for each other.

import { newest } from "./ask.js";

let turn = Promise.resolve();
let asked = 0;
let slow;

/** The response to a question with a text, or with bytes; null where a newer one of its kind has overtaken it. */
export async function ask(kind, path, body, query = {}) {
  try {
    return await newest(kind, `${path}?${new URLSearchParams(query)}`, { method: "POST", body }, (response) => response);
  } catch (error) {
    document.getElementById("told").textContent = "The program doesn't answer: is it still running? The job is kept in this browser.";
    throw error;
  }
}

/** While anything is asked the page says so to who can't see it, and after a moment to everybody. */
export async function busy(act) {
  asked += 1;
  document.getElementById("main").setAttribute("aria-busy", "true");
  slow ??= setTimeout(() => (document.getElementById("working").textContent = "Working it out ..."), 400);
  try {
    return await act();
  } finally {
    asked -= 1;
    if (asked === 0) {
      clearTimeout(slow);
      slow = undefined;
      document.getElementById("working").textContent = "";
      document.getElementById("main").setAttribute("aria-busy", "false");
    }
  }
}

/** Does it when all that was asked before is done. */
export function inTurn(act) {
  const mine = turn.then(() => busy(act));
  turn = mine.catch(() => {});
  return mine;
}
