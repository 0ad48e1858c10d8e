// The slip of the book: page, reader's age, cast, art, and a manuscript brought again.

import { ask, bring, tell } from "./ask.js";
import { button, el, field } from "./dom.js";
import { dropArt, showInstead } from "./stage.js";
import { changed, edit, look, say, table, trying } from "./table.js";

const MARGINS = [["width", "Width"], ["height", "Height"], ["bleed", "Bleed"], ["safe", "Safe area inside"], ["gutter", "Gutter on each side"]];

export function bookSlip() {
  const { book } = table.all;
  return [
    el("h2", {}, "Book"),
    field("Title", book.title, (value) => edit("book", { name: "title", value }), { id: "book-title", "data-kept": true }),
    ageSlide(book),
    el("h3", {}, "Page after trimming"),
    el("div", { class: "pair" }, MARGINS.map(([name, words]) => field(`${words}, mm`, book.page[name], (value) => edit("book", { name, value: `${value} mm` }), { type: "number", step: "any", min: 0, id: `page-${name}`, "data-kept": true }))),
    el("h3", {}, "Cast, in speaking order"),
    el("ol", { class: "cast" }, book.cast.map((one, index) => member(one, index, book.cast.length))),
    el("h3", {}, "Art and words"),
    fileButton(`Art of ${table.spread?.label ?? "this spread"}`, "image/png,image/jpeg,image/tiff,image/webp,.heic,.svg", dropArt, "art-file"),
    table.spread?.art ? el("p", { class: "hint" }, `Now ${table.spread.art}. A picture dropped on the spread takes its place.`) : el("p", { class: "hint" }, "Or drop a picture on the spread."),
    fileButton("Bring the manuscript again", ".txt,.md,.docx", againstManuscript, "manuscript-file"),
    el("p", { class: "hint" }, "Only the words that changed in it change here; figures, art and places stay."),
  ];
}

async function againstManuscript(file) {
  await trying(async () => {
    const { lines, spreads } = await bring("manuscript", file);
    say(`${lines} lines on ${spreads} spreads.`);
    await look();
  });
}

export function fileButton(words, accept, take, id) {
  const input = el("input", { type: "file", accept, id, class: "file", onchange: () => input.files[0] && take(input.files[0]) });
  return el("label", { class: "file-button" }, words, input);
}

let asked = 0;

function ageSlide(book) {
  const now = Number.parseInt(book.readerAge, 10);
  const told = el("output", { for: "age" }, sizes(book.readerAge, book.xHeight, book.band.least));
  const slide = el("input", { type: "range", id: "age", min: 2, max: 14, step: 1, value: now, "data-kept": true, "aria-valuetext": `${now} years` });
  slide.addEventListener("input", async () => {
    const mine = ++asked;
    slide.setAttribute("aria-valuetext", `${slide.value} years`);
    told.textContent = `${slide.value} years …`;
    if (!table.spread?.ready) return;
    const seen = await trying(() => ask(`/api/spreads/${table.index}/age/${slide.value}`));
    if (!seen || mine !== asked) return;
    showInstead(seen.svg);
    const { error, warning } = seen.counts;
    told.textContent = `${sizes(slide.value, seen.xHeight, seen.least)} At most ${seen.rowWords} words a row, ${seen.bubbleWords} a bubble. ${error || warning ? `${error} errors, ${warning} warnings here.` : "Nothing to mend here."}`;
  });
  slide.addEventListener("change", async () => {
    asked += 1;
    const done = await edit("book", { name: "reader_age", value: slide.value });
    if (done) trying(() => tell("/api/task", { kind: "place-all", size: "age" }));
    else changed("spread");
  });
  return el("div", { class: "field" }, el("label", { for: "age" }, "Reader’s age"), slide, told);
}

function sizes(age, xHeight, least) {
  return `${age} years: x-height ${xHeight} mm, never less than ${least} mm.`;
}

function member(one, index, count) {
  return el("li", {},
    el("div", { class: "pair" },
      field("Name", one.name, (name) => edit("character", { key: one.key, name }), { "data-kept": true, id: `name-${one.key}` }),
      field("Height, cm", one.height === null ? "" : one.height / 10, (value) => edit("character", { key: one.key, height: value ? `${value} cm` : "" }), { type: "number", step: "any", min: 0, "data-kept": true, id: `height-${one.key}` })),
    el("div", { class: "deeds" },
      button("Earlier", () => edit("cast-order", { key: one.key, to: index - 1 }), { disabled: index === 0, "aria-label": `${one.name} earlier`, "data-id": `earlier-${one.key}` }),
      button("Later", () => edit("cast-order", { key: one.key, to: index + 1 }), { disabled: index + 1 === count, "aria-label": `${one.name} later`, "data-id": `later-${one.key}` })));
}
