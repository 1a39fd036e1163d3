// What this browser remembers: the paper, the units, the stations, and what the printer's rulers read.

const NAMES = ["paper", "units", "fractions", "stations", "ruler-reads"];

const key = (name) => `girthline ${name}`;

/** What is remembered under `name`, or "". */
export function kept(name) {
  try {
    return localStorage.getItem(key(name)) ?? "";
  } catch {
    return ""; // A browser may refuse to remember anything.
  }
}

export function keep(name, text) {
  try {
    if (text) localStorage.setItem(key(name), text);
    else localStorage.removeItem(key(name));
  } catch {
    // Nothing is remembered, and nothing else is lost.
  }
}

/** Fills fields that the address says nothing of. */
export function fillFrom(form, query) {
  for (const name of NAMES) {
    const field = form.elements.namedItem(name);
    if (field && !query.has(name)) field.value = kept(name);
  }
}

/** Keeps a field that is remembered. */
export function keepField(field) {
  if (NAMES.includes(field.name)) keep(field.name, field.value.trim());
}
