// Fields whose words are sent when they are left. What is refused stays in them, with the reason below.

import { button, el, field, fill } from "./dom.js";
import { refusalOf, settled } from "./refusals.js";
import { changed } from "./table.js";

const CONFLICT = 409;

/** What can be done about a refusal that is shown, by its element. */
const again = new WeakMap();

/**
 * Return a field with its name above it, and below it why its words were refused, if they were.
 *
 * `write(typed, place, over)` sends them, see `edit`; `over` is true when they shall stand whatever was changed meanwhile.
 */
export function written(name, value, write, { at, ...attributes }) {
  const place = at ?? attributes.id;
  const kept = refusalOf(place);
  const send = (typed, over = false) => write(typed, { at: place, typed }, over);
  const labelled = field(name, kept?.typed ?? value, (typed) => send(typed), {
    "data-kept": true,
    ...attributes,
    "aria-describedby": noteId(place),
    "aria-invalid": kept ? "true" : null,
  });
  return el("div", { class: "written" }, labelled, refusal(place, () => send(refusalOf(place).typed, true)));
}

/** Return where it is said why something was refused at a place; nothing while nothing was. */
export function refusal(place, insist = null) {
  const note = el("div", { class: "refused", id: noteId(place), "data-refused": place });
  again.set(note, insist);
  show(note);
  return note;
}

/** Show refusals on a part of the page that is not drawn anew. */
export function showRefusals(part) {
  part.querySelectorAll("[data-refused]").forEach(show);
}

function show(note) {
  const place = note.dataset.refused;
  const told = refusalOf(place);
  const insist = again.get(note);
  fill(note, told && [
    el("p", {}, told.said),
    el("div", { class: "deeds" },
      told.status === CONFLICT && insist ? button("Write mine over it", insist, { "data-id": `insist-${place}` }) : null,
      button(told.typed === undefined ? "Understood" : "Leave it as it is", () => settled(place) && changed("choice"), { "data-id": `settle-${place}` })),
  ]);
}

function noteId(place) {
  return `refused-${place}`;
}
