// Every letter of the hand, the takes of one, and the letters that were set aside as doubtful.

import { button, el, svgEl } from "./dom.js";
import { changeHand, cropOf, hand, openChar, whence } from "./hand-state.js";
import { letter, lookAtLetter } from "./letter.js";
import { sidesOf } from "./sides.js";
import { changed } from "./table.js";

/** The name of the take whose sides are shown. */
let sided = null;

export function doubtsPart(seen) {
  if (!seen.aside.length) return null;
  return el("section", { "aria-label": "Set aside as doubtful" },
    el("h3", {}, `Set aside as doubtful (${seen.aside.length})`),
    el("p", { class: "hint" }, "Not used until you say what they are."),
    [...new Set(seen.aside.map(kindOf))].map((kind) => [
      el("p", { class: "why" }, kind),
      el("ul", { class: "doubts" }, seen.aside.filter((take) => kindOf(take) === kind).map((take) => el("li", {}, doubt(take)))),
    ]).flat());
}

/** Why a letter is doubtful, as a heading: what its reading was not sure of, or how it looks. */
function kindOf(take) {
  return take.doubtful ? `${take.aside[0].toUpperCase()}${take.aside.slice(1)}` : "Unlike the others";
}

function doubt(take) {
  return button([picture(take), el("span", {}, `${take.char}?`)], () => lookAtLetter(take), {
    "aria-pressed": String(letter.seen?.name === take.name),
    "aria-label": `${take.char || "Not named"}, ${whence(take)}: ${take.aside}`,
    title: `${whence(take)}: ${take.aside}`,
    "data-id": `doubt-${take.name}`,
  });
}

export function lettersPart(seen) {
  return el("section", { "aria-label": "Letters" }, el("h3", {}, "Letters"),
    hand.char && hand.takes.length ? takesOf(hand.char) : null,
    el("div", { class: "letters" }, seen.characters.map((one) =>
      button([outline(one.first), el("small", {}, String(one.takes))], () => openChar(one.char), { "data-id": `char-${one.char}`, "aria-pressed": String(hand.char === one.char), "aria-label": `${one.char}, ${one.takes} ${one.takes === 1 ? "take" : "takes"}` }))));
}

function takesOf(char) {
  return el("ol", { class: "takes", "aria-label": `Takes of ${char}` }, hand.takes.map((take, index) => entry(take, index)));
}

function entry(take, index) {
  const number = index + 1;
  const rename = el("input", { value: take.char, size: 2, "aria-label": `Character that take ${number} is`, "data-kept": true, "data-id": `name-${take.name}` });
  rename.addEventListener("change", () => changeHand("rename-take", { take: take.name, char: rename.value }));
  const shown = sided === take.name;
  return el("li", {},
    el("div", { class: "seen" }, picture(take), outline(take.drawn), el("label", { class: "is" }, "is ", rename)),
    shown ? sidesOf(take) : null,
    el("div", { class: "deeds" },
      index ? button("Prefer", () => changeHand("prefer-take", { take: take.name }), { "aria-label": `Prefer take ${number}`, "data-id": `prefer-${take.name}` }) : el("span", { class: "usual" }, "Usual"),
      button("Sides", () => showSides(shown ? null : take.name), { "aria-expanded": String(shown), "aria-label": `Sides of take ${number}`, "data-id": `sides-${take.name}` }),
      take.crop ? button("Closer", () => lookAtLetter(take), { "aria-label": `Look closer at take ${number}, to split or join it`, "aria-pressed": String(letter.seen?.name === take.name), "data-id": `look-${take.name}` }) : null,
      button("Drop", () => changeHand("drop-take", { take: take.name }), { class: "away", "aria-label": `Drop take ${number}`, "data-id": `drop-${take.name}` })));
}

function showSides(name) {
  sided = name;
  changed("choice");
}

function picture(take) {
  return take.crop ? el("img", { src: cropOf(take), loading: "lazy", alt: `${take.char} on ${whence(take)}` }) : null;
}

/** Return a letter on its baseline, all at one size: 0 is the baseline, the room is that of b and p together. */
function outline({ d, box: [x, , width] }) {
  const across = Math.max(width + 1, 7);
  return svgEl("svg", { viewBox: `${x + width / 2 - across / 2} -9 ${across} 13`, class: "letter", "aria-hidden": "true" }, svgEl("path", { d }));
}
