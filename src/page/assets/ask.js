// Questions to the server: the newest wins, an overtaken one is dropped at both ends.

const running = new Map();

/** What `read` makes of the response to a question, or null where a newer one of the same kind has overtaken it. */
export async function newest(kind, path, how, read) {
  running.get(kind)?.abort();
  const mine = new AbortController();
  running.set(kind, mine);
  try {
    for (;;) {
      const response = await fetch(path, { ...how, signal: mine.signal });
      if (response.status !== 503) return await read(response);
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

/** The answer to `path` as JSON, or as text, or null where it was overtaken. */
export function ask(kind, path, as = "json") {
  return newest(kind, path, {}, (response) => {
    if (!response.ok) throw new Error(`the page answered ${response.status}`);
    return response[as]();
  });
}
