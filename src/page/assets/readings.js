// The gaps of a trial fit: fields round the end, all of which the address has in one line.

const LINE = "gaps";

const places = (form) => [...form.querySelectorAll("[data-place]")];

/** What is typed, as a query: empty gaps are left out. */
export function typed(form) {
  const query = new URLSearchParams();
  for (const [name, text] of new FormData(form)) if (text.trim()) query.append(name, text);
  gather(form, query);
  return query;
}

/** Puts what is typed round the end into the line of `query`. What holds a comma would be two gaps there, and stays. */
function gather(form, query) {
  const items = [];
  for (const field of places(form)) {
    const text = field.value.trim();
    if (!text || field.disabled || text.includes(",")) continue;
    items.push(`${field.dataset.place} ${text}`);
    query.delete(field.name);
  }
  if (!items.length) return;
  const rest = query.get(LINE);
  query.set(LINE, [...items, ...(rest ? [rest.trim()] : [])].join(", "));
}

/** Lets one choose at how many places gaps are read: those that aren't asked for keep what is in them, and don't count. */
export function chooseHowMany(form) {
  const choice = form.querySelector("#how-many");
  if (!choice) return () => {};
  const show = () => {
    for (const one of form.querySelectorAll("[data-between]")) {
      one.hidden = choice.value === "4";
      one.querySelector("input").disabled = one.hidden;
    }
  };
  choice.closest("p").hidden = false;
  choice.addEventListener("change", show);
  show();
  return () => {
    const isAny = (all) => all.some((field) => field.value.trim());
    const between = places(form).filter((field) => field.closest("[data-between]"));
    if (isAny(between)) choice.value = "8";
    else if (isAny(places(form))) choice.value = "4";
    show();
  };
}

/** Whether all gaps are typed, or the focus goes somewhere else: then they are told of what is wrong with them together. */
export function areLeft(form, event) {
  const all = event.target.dataset.place && event.target.closest("fieldset");
  if (!all) return false;
  const asked = places(form).filter((field) => !field.disabled);
  return asked.every((field) => field.value.trim()) || !all.contains(event.relatedTarget);
}

/** The gaps of `left`, by the name of their line, once one of them stands there. */
export function leftAtFirst(form) {
  return places(form).some((field) => field.value.trim()) ? [LINE] : [];
}
