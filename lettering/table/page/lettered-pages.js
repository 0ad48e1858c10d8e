// Lettered pages: brought, read, gathered into the hand, and withdrawn from it; what the book still lacks.

import { bring, tell } from "./ask.js";
import { button, el, field } from "./dom.js";
import { fileButton } from "./drops.js";
import { lookAt, photo } from "./corners.js";
import { hand } from "./hand-state.js";
import { changed, say, trying } from "./table.js";

const brought = { page: null, reading: "", xHeight: "", paper: "", said: "" };

/** Return what the book needs that the hand lacks. */
export function lackingPart(seen) {
  if (seen.lacks.length) return el("p", { class: "waits", id: "lacking" }, `${seen.there ? "The book needs, and the hand lacks" : "There is no hand yet. The book needs"}: ${seen.lacks.join(" ")}`);
  if (!seen.there) return el("p", { class: "waits", id: "lacking" }, "There is no hand yet.");
  const parts = [el("p", { id: "lacking" }, "The hand has every letter of the book.")];
  if (seen.few.length) parts.push(el("p", { class: "hint" }, `More takes would help: ${seen.few.map((one) => `${one.char} (${one.has} of ${one.wants})`).join(", ")}.`));
  if (seen.pairs.length) parts.push(el("p", { class: "hint" }, `Pairs worth lettering: ${seen.pairs.join("  ")}`));
  return el("div", {}, parts);
}

export function pagesPart(seen) {
  return el("section", { "aria-label": "Lettered pages" },
    fileButton(brought.page ? "Another lettered page" : "Bring a lettered page", "image/*,.heic,.pdf", takePage, "page-file"),
    el("p", { class: "hint" }, "A scan or a photo of paper with your lettering."),
    brought.page ? reading() : null,
    brought.said ? el("p", { id: "gathered" }, brought.said) : null,
    seen.pages.length ? gathered(seen.pages) : null);
}

function reading() {
  return el("div", {},
    el("p", { class: "hint" }, photo.seen ? "If it is a photo: pull the corners to those of the paper where they are not." : "If it is a photo: pull the corners to those of the paper. A scan needs none."),
    el("p", {}, `${brought.page} is here. What does it say?`),
    field("Reading, a row of lettering a row of text", brought.reading, (value) => (brought.reading = value), { rows: 6, id: "reading", "data-kept": true, spellcheck: "false" }),
    el("div", { class: "pair" },
      field("Height of an x on paper, when it is a scan without ppi", brought.xHeight, (value) => (brought.xHeight = value), { id: "x-height", placeholder: "6mm", "data-kept": true }),
      field("Size of the paper, when it is a photo", brought.paper, (value) => (brought.paper = value), { id: "paper-size", placeholder: "A4", "data-kept": true })),
    el("p", { class: "hint" }, "A printed sheet carries its own reading: leave it empty."),
    el("div", { class: "deeds" }, button("Gather its letters", gather), button("Put the page away", () => putAway())));
}

function gathered(pages) {
  return el("details", {}, el("summary", {}, `Pages in this hand (${pages.length})`),
    el("ul", { class: "plain" }, pages.map(({ name, letters }) =>
      el("li", { class: "page-in-hand" }, el("span", {}, `${name}, ${letters} letters`),
        button("Withdraw", () => trying(() => tell("/api/task", { kind: "withdraw", page: name, whose: hand.whose })), { class: "away", "aria-label": `Withdraw ${name}`, "data-id": `withdraw-${name}`, disabled: pages.length === 1 })))));
}

async function takePage(file) {
  await trying(async () => {
    say(`Taking ${file.name} …`);
    brought.page = (await bring("page", file)).kept;
    brought.said = "";
    say(`${brought.page} is kept.`);
    lookAt(brought.page, () => changed("choice"));
    changed("choice");
  });
}

/** Put the photo away; its letters are in the hand now, of which something is `said`, or it is not wanted. */
export function putAway(said = "") {
  Object.assign(brought, { page: null, reading: "", said });
  photo.name = null;
  changed("spread", "choice");
}

function gather() {
  const { page, reading, xHeight, paper } = brought;
  return trying(() => tell("/api/task", { kind: "gather", page, reading, xHeight, paper, whose: hand.whose, corners: photo.own ? photo.corners : null }));
}
