// A card: the sentence of a thing with its fields. What is in it comes from the server; each change is an edit by place.

import { button, drawn, make, problemWords } from "./show.js";

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
/** While a card is put in the place of another, what is left of the old one sends nothing. */
let isShowing = false;
const within = (at, holder) => same(at.slice(0, holder.length), holder);

/** The edits that make of a field what was typed into it. */
function typedEdits(gap, words) {
  if (gap.measure) return [{ measure: { at: gap.at.slice(0, 2), what: gap.measure, words } }];
  const base = gap.base ? [{ put: { at: gap.base[0], json: gap.base[1] } }] : [];
  return [...base, { type: { at: gap.at, words } }];
}

function field(gap, problems, edit, id) {
  const wrong = problems.filter(({ at }) => at.length > 2 && (within(at, gap.at) || (gap.measure && within(gap.at, at))));
  const holder = make("span", { class: "gap" }, make("label", { for: id }, gap.label));
  let input;
  if (gap.choices.length) {
    const options = gap.choices.map(([value, said]) => {
      const option = make("option", { value }, said || "as usual");
      option.selected = value === gap.typed;
      return option;
    });
    input = make("select", { id }, ...options);
  } else {
    input = make("input", { id, type: "text", autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
    if (gap.list) input.setAttribute("list", gap.list);
    input.defaultValue = gap.typed;
  }
  input.dataset.at = JSON.stringify(gap.at);
  input.setAttribute("aria-describedby", `${id}-heard ${id}-wrong`);
  if (wrong.length) input.setAttribute("aria-invalid", "true");
  let sent = gap.typed;
  const send = () => {
    const words = input.value.trim();
    if (isShowing || words === sent) return;
    sent = words;
    edit(typedEdits(gap, words), null);
  };
  input.addEventListener("change", send);
  // Words that were taken over from the card before are no change to the browser.
  input.addEventListener("blur", send);
  holder.append(
    input,
    make("span", { class: "heard", id: `${id}-heard` }, gap.hint),
    make("span", { class: "wrong", id: `${id}-wrong` }, ...wrong.map(problemWords)),
  );
  return holder;
}

/** A part of a card as an element. */
function part(one, index, card, problems, edit) {
  if (one.words !== undefined) return make("span", { class: "said" }, one.words);
  if (one.heading !== undefined) return make("h3", {}, one.heading);
  if (one.skin) return skin(one.skin, edit);
  if (one.mark_out) return leadsTo("markout", one.mark_out.label, one.mark_out.body);
  if (one.offer_up) return leadsTo("offerup", one.offer_up.label, one.offer_up.ends);
  if (one.gap) return field(one.gap, problems, edit, `${card}-${index}`);
  return button(one.act.label, () => edit(one.act.edits, null), "small");
}

/** A skin laid flat: where it is pointed at, there the point of the path goes. */
function skin({ at, svg, words }, edit) {
  const map = drawn(svg);
  const figure = make("figure", { class: "skin" }, map, make("figcaption", {}, words));
  if (!at) return figure;
  figure.dataset.point = JSON.stringify(at);
  map.addEventListener("click", (event) => {
    const place = new DOMPoint(event.clientX, event.clientY).matrixTransform(map.getScreenCTM().inverse());
    const [zero, mm] = [map.dataset.zero, map.dataset.mm].map((two) => two.split(" ").map(Number));
    edit([{ land: { at, skin: [(place.x - zero[0]) * mm[0], (zero[1] - place.y) * mm[1]] } }], null);
  });
  return figure;
}

/** A button that opens something beside the card. */
function leadsTo(what, label, detail) {
  const opens = button(label, () => opens.dispatchEvent(new CustomEvent(what, { bubbles: true, detail })));
  return make("p", { class: "skin-act" }, opens);
}

/** On a skin laid flat the measure is drawn thick whose field has the focus. */
export function holdMeasures(place) {
  const held = ({ target }) => {
    const at = target.dataset.at ? JSON.parse(target.dataset.at) : [];
    for (const figure of place.querySelectorAll("[data-point]")) {
      const is = within(at, JSON.parse(figure.dataset.point));
      figure.dataset.held = is && at.length ? at.at(-1) : "";
    }
  };
  place.addEventListener("focusin", held);
}

/** What has the focus: a button by its words, or a field, and what is typed into it so far where that isn't sent yet. */
function focusedField(place) {
  const field = document.activeElement;
  if (!place.contains(field)) return null;
  if (field.tagName === "BUTTON") return { act: field.textContent };
  if (!field.dataset.at) return null;
  const isHalf = field.tagName === "INPUT" && field.value !== field.defaultValue;
  return { at: field.dataset.at, half: isHalf ? [field.value, field.selectionStart, field.selectionEnd] : null };
}

function focusAgain(place, { at, half, act }) {
  if (act) {
    ([...place.querySelectorAll("button")].find((button) => button.textContent === act) ?? place).focus({ preventScroll: true });
    return;
  }
  const field = [...place.querySelectorAll("[data-at]")].find((input) => input.dataset.at === at);
  field?.focus({ preventScroll: true });
  if (!field || !half) return;
  field.value = half[0];
  field.setSelectionRange(half[1], half[2]);
}

/** Puts a card in its place; what had the focus has it again, with what is half typed. */
export function showCard(place, card, problems, edit, close) {
  isShowing = true;
  const focused = focusedField(place);
  put(place, card, problems, edit, close);
  if (focused) focusAgain(place, focused);
  isShowing = false;
}

function put(place, card, problems, edit, close) {
  const isOpen = place.querySelector("details")?.open ?? false;
  if (!card) {
    place.replaceChildren();
    return;
  }
  const here = problems.filter(({ at }) => within(at, card.at));
  const title = make("div", { class: "card-head" }, make("h2", {}, card.name === null ? card.kind : `${card.kind}: ${card.name}`));
  title.append(button("Close", close, "small"));
  const sentence = make("div", { class: "sentence" }, ...card.parts.map((one, index) => part(one, index, "said", here, edit)));
  const more = make("details", {}, make("summary", {}, "More about it"));
  more.open = isOpen;
  const rest = make("div", { class: "more" });
  if (card.name !== null) {
    const name = { at: [...card.at, "name"], label: "Name", typed: card.name, hint: "whatever names it follows", choices: [] };
    const renamed = field(name, [], (edits) => edit([{ rename: { at: card.at, name: edits[0].type.words } }], null), "name");
    rest.append(renamed);
  }
  rest.append(...card.more.map((one, index) => part(one, index, "more", here, edit)));
  more.append(rest);
  const parts = [title, make("div", { class: "wrong" }, ...here.map(problemWords)), sentence, more];
  if (card.remove) {
    parts.push(button(`Take this ${card.kind.toLowerCase()} out`, () => edit(card.remove, []), "small"));
  }
  place.replaceChildren(...parts);
}

/** Leads to the field of a place, as near as there is one. */
export function focusField(place, at) {
  const fields = [...place.querySelectorAll("[data-at]")];
  for (let deep = at.length; deep > 0; deep -= 1) {
    const found = fields.find((input) => within(JSON.parse(input.dataset.at), at.slice(0, deep)));
    if (found && deep > 2) {
      found.closest("details")?.setAttribute("open", "");
      found.focus();
      found.scrollIntoView({ block: "center" });
      return;
    }
  }
  place.focus();
  place.scrollIntoView({ block: "nearest" });
}
