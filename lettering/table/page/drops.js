// What is dropped anywhere on the page, or chosen as a file, goes where it belongs.

import { bring } from "./ask.js";
import { el } from "./dom.js";
import { choose, keepStill, look, say, table, trying } from "./table.js";

const WORDS = /\.(txt|md|docx)$/i;
const READING = /\.(txt|md)$/i;
/** What the manuscript that was brought last changed, in sentences. */
export const told = { changes: [] };
/** What is said of a new book while it is begun. */
export const given = { width: "250", height: "250", age: "5" };

/** Take what is dropped; the browser must never leave the page for it. */
export function readyDrops() {
  let leaving;
  const left = () => {
    delete document.body.dataset.over;
    keepStill(false);
  };
  addEventListener("dragover", (event) => {
    event.preventDefault();
    document.body.dataset.over = "yes";
    keepStill(true);
    clearTimeout(leaving);
    leaving = setTimeout(left, 600); // it is told anew every 350 ms (WHATWG HTML, drag and drop)
  });
  addEventListener("drop", (event) => {
    event.preventDefault();
    const [file] = event.dataTransfer.files;
    const thumbnail = event.target.closest?.("[data-spread]");
    if (file) dropped(file, thumbnail ? Number(thumbnail.dataset.spread) : table.index);
    clearTimeout(leaving);
    left();
  });
}

async function dropped(file, index) {
  if (!table.all?.book) return table.all?.trouble.length ? null : begun(file);
  if (table.sheet === "hand" && READING.test(file.name)) return reading(file);
  if (WORDS.test(file.name)) return againstManuscript(file);
  if (table.sheet === "hand" || /\.pdf$/i.test(file.name)) return letteredPage(file);
  return dropArt(file, index);
}

const counted = (count, name) => `${count} ${name}${count === 1 ? "" : "s"}`;

/** Begin the book with a manuscript. */
export async function begun(file) {
  await trying(async () => {
    const { spreads, lines, cast } = await bring("manuscript", file, { size: `${given.width}x${given.height}mm`, age: given.age });
    await look();
    say(`${counted(lines, "line")} on ${counted(spreads, "spread")}. Who speaks: ${cast.join(", ") || "nobody yet"}.`);
  }, { at: "first-manuscript" });
}

/** Bring the manuscript again: the words that changed in it change in the book. */
export async function againstManuscript(file) {
  await trying(async () => {
    const { changes } = await bring("manuscript", file);
    told.changes = changes;
    await look();
    say(changes.length ? `${file.name}: ${counted(changes.length, "change")}; the slip of the book tells which.` : `${file.name} says what the book says; nothing changed.`);
  }, { at: "manuscript" });
}

/** Keep a picture as the art of a spread. */
export async function dropArt(file, index = table.index) {
  await trying(async () => {
    say(`Taking ${file.name} …`);
    const { kept } = await bring("art", file, { spread: index, was: table.all.book.spreads[index].art ?? "" });
    await look();
    say(`${kept} is the art of ${table.all.book.spreads[index].label}.`);
  }, { at: "art" });
}

/** Hand a lettered page to the slip of the hand, as if it were chosen there. */
function letteredPage(file) {
  choose("hand");
  const input = document.getElementById("page-file");
  const files = new DataTransfer();
  files.items.add(file);
  input.files = files.files;
  input.dispatchEvent(new Event("change"));
}

/** Write a dropped text as the reading of the lettered page that is looked at. */
async function reading(file) {
  const field = document.getElementById("reading");
  if (!field) return say("Bring a lettered page first; this is its reading.", "trouble");
  field.value = await file.text();
  field.dispatchEvent(new Event("change"));
}

/** Return a button by which a file is chosen. */
export function fileButton(words, accept, take, id) {
  const input = el("input", { type: "file", accept, id, class: "file", onchange: () => input.files[0] && take(input.files[0]) });
  return el("label", { class: "file-button" }, words, input);
}
