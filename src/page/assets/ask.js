// Questions to the server: the newest wins, an overtaken one is dropped at both ends.

const running = new Map();

/** The answer to `path` as JSON, or as text, or null where a newer question of the same kind has overtaken it. */
export async function ask(kind, path, as = "json") {
  running.get(kind)?.abort();
  const mine = new AbortController();
  running.set(kind, mine);
  try {
    for (;;) {
      const response = await fetch(path, { signal: mine.signal });
      if (response.ok) return await response[as]();
      if (response.status !== 503) throw new Error(`the page answered ${response.status}`);
      await new Promise((done) => setTimeout(done, 300));
      if (mine.signal.aborted) return null;
    }
  } catch (error) {
    if (error.name === "AbortError") return null;
    throw error;
  } finally {
    if (running.get(kind) === mine) running.delete(kind);
  }
}
