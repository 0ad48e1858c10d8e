// The cast on the slip of the book: names, heights, speaking order, and the hand that each speaks in.

import { refusal, written } from "./asked.js";
import { button, choice, el } from "./dom.js";
import { choosePerson } from "./hand-state.js";
import { choose, edit } from "./table.js";

export function castPart(book) {
  return el("section", { "aria-label": "Cast" },
    el("h3", {}, "Cast, in speaking order"),
    el("ol", { class: "cast" }, book.cast.map((one, index) => member(one, index, book))));
}

function member(one, index, book) {
  const called = (words) => `${words} of ${one.name}`;
  const tall = one.height === null ? "" : one.height / 10;
  const set = (name, value, was, place, over) => edit("character", { key: one.key, [name]: value, was: over ? undefined : was }, place);
  const move = (to) => edit("cast-order", { key: one.key, to }, { at: `hand-${one.key}` });
  return el("li", {},
    written("Name", one.name, (typed, place, over) => set("name", typed, one.name, place, over), { id: `name-${one.key}`, "aria-label": called("Name") }),
    written("cm tall", tall, (typed, place, over) => set("height", inCm(typed), one.height, place, over), { inputmode: "decimal", id: `height-${one.key}`, "aria-label": called("Height in cm") }),
    button("↑", () => move(index - 1), { disabled: index === 0, "aria-label": `${one.name} earlier`, title: "Earlier", "data-id": `earlier-${one.key}` }),
    button("↓", () => move(index + 1), { disabled: index + 1 === book.cast.length, "aria-label": `${one.name} later`, title: "Later", "data-id": `later-${one.key}` }),
    el("div", { class: "speaks" },
      choice("speaks in", one.hand, hands(one, book), (hand) => set("hand", hand, one.hand, { at: `hand-${one.key}` }), { id: `hand-${one.key}`, "aria-label": called("Hand") }),
      one.handLacks ? el("p", { class: "waits" }, "It has no letters yet. ", button("Bring a lettered page", () => letter(one.key), { class: "go", "data-id": `letter-${one.key}` })) : null,
      refusal(`hand-${one.key}`)));
}

/** Return the hands that a character may be given, each with its words. */
function hands(one, book) {
  const owners = (path) => book.cast.filter((other) => other.hand === path && other.key !== one.key).map((other) => other.name);
  const words = (path) => (owners(path).length ? `the hand of ${owners(path).join(" and ")} (${path})` : path);
  const offered = book.hands.map((path) => [path, words(path)]);
  const ownIsNew = one.hand && !owners(one.hand).length && one.handLacks;
  return [["", "the book’s hand"], ...offered, ...(ownIsNew ? [] : [[one.newHand, `a new hand (${one.newHand})`]])];
}

/** Look at the hand of a character, where a lettered page can be brought for it. */
function letter(key) {
  choosePerson(key);
  choose("hand");
}

function inCm(typed) {
  const number = typed.trim().replace(",", ".");
  return /^[\d.]+$/.test(number) ? `${number} cm` : typed.trim();
}
