// The slip of the book: page, reader's age, cast, art, and a manuscript brought again.

import { ageSlide } from "./age.js";
import { refusal, written } from "./asked.js";
import { castPart } from "./cast.js";
import { el } from "./dom.js";
import { againstManuscript, dropArt, fileButton, told } from "./drops.js";
import { edit, table } from "./table.js";

const MARGINS = [["width", "Width"], ["height", "Height"], ["bleed", "Bleed"], ["safe", "Safe area"], ["gutter", "Gutter"]];

export function bookSlip() {
  const { book } = table.all;
  return [
    el("h2", {}, "Book"),
    written("Title", book.title, (value, place, over) => edit("book", { name: "title", value, was: over ? undefined : book.title }, place), { id: "book-title" }),
    ageSlide(book),
    refusal("age"),
    el("h3", {}, "Page, trimmed, mm"),
    el("div", { class: "three" }, MARGINS.map(([name, words]) => margin(name, words, book.page[name]))),
    castPart(book),
    el("h3", {}, "Art and words"),
    fileButton(`Art of ${table.spread?.label ?? "this spread"}`, "image/png,image/jpeg,image/tiff,image/webp,.heic,.svg", (file) => dropArt(file), "art-file"),
    refusal("art"),
    table.spread?.art ? el("p", { class: "hint" }, `Now ${table.spread.art}. A picture dropped on the spread takes its place.`) : el("p", { class: "hint" }, "Or drop a picture on the spread."),
    fileButton("Bring the manuscript again", ".txt,.md,.docx", againstManuscript, "manuscript-file"),
    refusal("manuscript"),
    el("p", { class: "hint" }, "Only the words that changed in it change here; figures, art and places stay."),
    told.changes.length ? el("details", { open: true }, el("summary", {}, "What it changed"), el("ul", { class: "plain told" }, told.changes.map((words) => el("li", {}, words)))) : null,
  ];
}

function margin(name, words, value) {
  const write = (typed, place, over) => edit("book", { name, value: inMm(typed), was: over ? undefined : value }, place);
  return written(words, value, write, { inputmode: "decimal", id: `page-${name}` });
}

/** Return a length as the book file has it: a bare number is mm. */
function inMm(typed) {
  const number = typed.trim().replace(",", ".");
  return /^[\d.]+$/.test(number) ? `${number} mm` : typed;
}
