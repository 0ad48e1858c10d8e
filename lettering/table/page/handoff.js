// The slip of proof and hand-off: what goes to the publisher, to be taken home as files.

import { tell } from "./ask.js";
import { refusal } from "./asked.js";
import { button, choice, el, field } from "./dom.js";
import { changed, table, trying } from "./table.js";

const FORMATS = [["svg", "SVG, a layer for bubbles and one for lettering"], ["png", "PNG with clear ground, 300 and 600 ppi"], ["pdf", "Press PDF, lettering in black alone"], ["tiff", "TIFF, line art 1200 ppi"], ["otf", "The hand as a typeface"], ["woff2", "The typeface packed for the web"], ["reading", "Reading copy, PDF"], ["text", "The words as text and table"]];
let roundName = "";
const wished = new Set(["svg", "png"]);
let paper = "A4";
let withArt = false;

export function handOffSlip() {
  const waits = table.all.book.spreads.some((one) => !one.ready);
  return [
    el("h2", {}, "Proof"),
    choice("Paper", paper, [["A4", "A4"], ["Letter", "Letter"], ["size", "as large as the spread"]], (value) => (paper = value), { id: "paper" }),
    button("Draw the proof", () => trying(() => tell("/api/task", { kind: "proof", paper }), { at: "proof" }), { disabled: waits }),
    refusal("proof"),
    el("h2", {}, "Hand-off"),
    el("fieldset", { class: "formats" }, el("legend", {}, "Files"), FORMATS.map(([name, words]) =>
      el("label", { class: "check" }, el("input", { type: "checkbox", checked: wished.has(name), "data-id": `format-${name}`, onchange: (event) => (event.target.checked ? wished.add(name) : wished.delete(name)) }), words))),
    el("label", { class: "check" }, el("input", { type: "checkbox", checked: withArt, "data-id": "with-art", onchange: (event) => (withArt = event.target.checked) }), "Art in the press PDF too"),
    button("Write the hand-off", () => trying(() => tell("/api/task", { kind: "hand-off", formats: [...wished].join(","), withArt }), { at: "hand-off" }), { disabled: waits }),
    refusal("hand-off"),
    waits ? el("p", { class: "waits" }, "Some spreads are not lettered yet; the checks say what they lack.") : null,
    ...rounds(waits),
    table.all.made.length ? el("section", {}, el("h3", {}, "To take home"), el("ul", { class: "made plain" }, table.all.made.map((name) => el("li", {}, el("a", { href: `/api/made/${encodeURIComponent(name)}`, download: name }, name))))) : null,
  ];
}

function rounds(waits) {
  const { rounds: names } = table.all;
  const beside = (name) => {
    table.beside = table.beside === name ? null : name;
    changed("choice");
  };
  return [
    el("h2", {}, "Rounds"),
    el("p", { class: "hint" }, "A round keeps the book as it was sent, to be seen beside what it became."),
    field("Name of the round", roundName, (value) => (roundName = value), { id: "round-name", "data-kept": true, maxlength: 60 }),
    button("Keep as a round", () => trying(() => tell("/api/task", { kind: "round", name: roundName || `round ${names.length + 1}` }), { at: "round" }), { disabled: waits }),
    refusal("round"),
    el("ul", { class: "plain" }, names.map((name) => el("li", {}, button(`See ${name} beside`, () => beside(name), { "aria-pressed": String(table.beside === name), "data-id": `round-${name}` })))),
  ];
}
