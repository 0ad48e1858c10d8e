// The slider of the reader's age: what it does is seen while it is slid.

import { ask, tell } from "./ask.js";
import { el } from "./dom.js";
import { layer, showInstead } from "./stage.js";
import { changed, edit, table, trying } from "./table.js";

/** Ages that can be chosen, years. */
const [YOUNGEST, OLDEST] = [2, 14];

/** The age that is looked at and has not been drawn yet. */
let wanted = null;
let asking = false;

export function ageSlide(book) {
  const now = Number.parseInt(book.readerAge, 10);
  const told = el("output", { for: "age" }, sizes(book.readerAge, book.xHeight, book.band.least));
  const slide = el("input", { type: "range", id: "age", min: YOUNGEST, max: OLDEST, step: 1, value: now, "data-kept": true, "aria-valuetext": `${now} years` });
  slide.addEventListener("input", () => {
    slide.setAttribute("aria-valuetext", `${slide.value} years`);
    const band = book.bands[slide.value];
    told.textContent = `${sizes(slide.value, book.ownXHeight ?? band.wanted, band.least)} ${limits(band)}`;
    if (!table.spread?.ready) return;
    scaled((book.ownXHeight ?? band.wanted) / book.xHeight);
    wanted = slide.value;
    if (!asking) drawWanted(told, book);
  });
  slide.addEventListener("change", async () => {
    wanted = null;
    const done = await edit("book", { name: "reader_age", value: slide.value, was: book.readerAge }, { at: "age" });
    if (done) trying(() => tell("/api/task", { kind: "place-all", size: "age" }));
    else changed("spread");
  });
  return el("div", { class: "field" }, el("label", { for: "age" }, "Reader’s age"), slide, told);
}

/** Draw the spread as that age wants it; while one answer is awaited only the last wish is kept. */
async function drawWanted(told, book) {
  asking = true;
  while (wanted !== null) {
    const age = wanted;
    const seen = await trying(() => ask(`/api/spreads/${table.index}/age/${age}`));
    if (wanted !== age) continue;
    wanted = null;
    if (!seen) break;
    showInstead(seen.svg);
    const { error, warning } = seen.counts;
    told.textContent = `${sizes(age, seen.xHeight, seen.least)} ${limits(book.bands[age])} ${error || warning ? `${error} errors, ${warning} warnings here.` : "Nothing to mend here."}`;
  }
  asking = false;
}

/** Show every bubble so much larger or smaller where it is, until it is drawn in earnest. */
function scaled(by) {
  for (const line of table.spread.lines) {
    const [x, y] = line.centre ?? [0, 0];
    for (const name of ["bubbles", "lettering"]) {
      layer(name).querySelector(`[id="${name}-${line.number}"]`)?.setAttribute("transform", `translate(${x} ${y}) scale(${by}) translate(${-x} ${-y})`);
    }
  }
}

function sizes(age, xHeight, least) {
  return `${age} years: x-height ${xHeight} mm, never less than ${least} mm.`;
}

function limits({ rowWords, bubbleWords }) {
  return `At most ${rowWords} words a row, ${bubbleWords} a bubble.`;
}
