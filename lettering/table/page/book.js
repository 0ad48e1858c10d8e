// The slip of the book: page, reader's age, cast, art, and a manuscript brought again.

import { ageSlide } from "./age.js";
import { button, el, field } from "./dom.js";
import { againstManuscript, dropArt, fileButton } from "./drops.js";
import { edit, table } from "./table.js";

const MARGINS = [["width", "Width"], ["height", "Height"], ["bleed", "Bleed"], ["safe", "Safe area"], ["gutter", "Gutter"]];

export function bookSlip() {
  const { book } = table.all;
  return [
    el("h2", {}, "Book"),
    field("Title", book.title, (value) => edit("book", { name: "title", value }), { id: "book-title", "data-kept": true }),
    ageSlide(book),
    el("h3", {}, "Page, trimmed, mm"),
    el("div", { class: "three" }, MARGINS.map(([name, words]) => field(words, book.page[name], (value) => edit("book", { name, value: `${value} mm` }), { type: "number", step: "any", min: 0, id: `page-${name}`, "data-kept": true }))),
    el("h3", {}, "Cast, in speaking order"),
    el("ol", { class: "cast" }, book.cast.map((one, index) => member(one, index, book.cast.length))),
    el("h3", {}, "Art and words"),
    fileButton(`Art of ${table.spread?.label ?? "this spread"}`, "image/png,image/jpeg,image/tiff,image/webp,.heic,.svg", (file) => dropArt(file), "art-file"),
    table.spread?.art ? el("p", { class: "hint" }, `Now ${table.spread.art}. A picture dropped on the spread takes its place.`) : el("p", { class: "hint" }, "Or drop a picture on the spread."),
    fileButton("Bring the manuscript again", ".txt,.md,.docx", againstManuscript, "manuscript-file"),
    el("p", { class: "hint" }, "Only the words that changed in it change here; figures, art and places stay."),
  ];
}

function member(one, index, count) {
  const called = (words) => `${words} of ${one.name}`;
  return el("li", {},
    field("Name", one.name, (name) => edit("character", { key: one.key, name }), { "data-kept": true, id: `name-${one.key}`, "aria-label": called("Name") }),
    field("cm tall", one.height === null ? "" : one.height / 10, (value) => edit("character", { key: one.key, height: value ? `${value} cm` : "" }), { type: "number", step: "any", min: 0, "data-kept": true, id: `height-${one.key}`, "aria-label": called("Height in cm") }),
    button("↑", () => edit("cast-order", { key: one.key, to: index - 1 }), { disabled: index === 0, "aria-label": `${one.name} earlier`, title: "Earlier", "data-id": `earlier-${one.key}` }),
    button("↓", () => edit("cast-order", { key: one.key, to: index + 1 }), { disabled: index + 1 === count, "aria-label": `${one.name} later`, title: "Later", "data-id": `later-${one.key}` }));
}
