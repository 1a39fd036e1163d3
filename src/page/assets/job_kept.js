// The document and every step that led to it, kept in this browser at each change: a tab that is killed loses nothing.

const NAME = "girthline job";

/** The database, or null where the browser keeps nothing. */
const opening = new Promise((done) => {
  let request;
  try {
    request = indexedDB.open(NAME, 1);
  } catch {
    done(null);
    return;
  }
  request.onupgradeneeded = () => {
    request.result.createObjectStore("now");
    request.result.createObjectStore("steps");
  };
  request.onsuccess = () => done(request.result);
  request.onerror = () => done(null);
});

/** Steps where nothing else keeps them. */
const inMemory = new Map();

function asked(request) {
  return new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
}

/** What is kept: { text, name, saved, at }, or undefined. */
export async function kept() {
  const db = await opening;
  return db ? asked(db.transaction("now").objectStore("now").get("job")) : undefined;
}

/** Keeps a document, and the step to it where there is one: what is undone past it is forgotten by writing over it. */
export async function keep(now, step = null) {
  if (step) inMemory.set(now.at, step);
  const db = await opening;
  if (!db) return;
  const writing = db.transaction(["now", "steps"], "readwrite", { durability: "strict" });
  writing.objectStore("now").put(now, "job");
  if (step) {
    writing.objectStore("steps").put(step, now.at);
    inMemory.delete(now.at);
  }
}

/** The step that led to a state, or undefined. */
export async function step(at) {
  const db = await opening;
  return db ? asked(db.transaction("steps").objectStore("steps").get(at)) : inMemory.get(at);
}

/** What differs between two texts: where, what was there, what is there. */
export function difference(before, after) {
  let at = 0;
  const most = Math.min(before.length, after.length);
  while (at < most && before[at] === after[at]) at += 1;
  let end = 0;
  while (end < most - at && before[before.length - 1 - end] === after[after.length - 1 - end]) end += 1;
  return { at, was: before.slice(at, before.length - end), is: after.slice(at, after.length - end) };
}

/** The text before a step, or after it. */
export function stepped(text, { at, was, is }, isBack) {
  const [gone, put] = isBack ? [is, was] : [was, is];
  return text.slice(0, at) + put + text.slice(at + gone.length);
}
