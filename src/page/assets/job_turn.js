// Questions about the job, and whose turn it is: of questions of a kind the newest wins, changes wait for each other.

const running = new Map();
let turn = Promise.resolve();
let asked = 0;
let slow;

/** A question with a text, or with bytes; null where a newer one of its kind has overtaken it. */
export async function ask(kind, path, body, query = {}) {
  running.get(kind)?.abort();
  const mine = new AbortController();
  running.set(kind, mine);
  try {
    for (;;) {
      const response = await fetch(`${path}?${new URLSearchParams(query)}`, { method: "POST", body, signal: mine.signal });
      if (response.status !== 503) return response;
      await new Promise((done) => setTimeout(done, 300));
      if (mine.signal.aborted) return null;
    }
  } catch (error) {
    if (error.name === "AbortError") return null;
    document.getElementById("told").textContent = "The program doesn't answer: is it still running? The job is kept in this browser.";
    throw error;
  } finally {
    if (running.get(kind) === mine) running.delete(kind);
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
