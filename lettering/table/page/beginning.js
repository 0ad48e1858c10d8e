// An empty folder: a manuscript begins the book.

import { el, field } from "./dom.js";
import { begun, fileButton, given } from "./drops.js";
import { table } from "./table.js";

export function begin() {
  const { trouble, file } = table.all;
  if (trouble.length) {
    return el("section", { class: "beginning" },
      el("h2", {}, `${file} cannot be read`),
      el("ul", {}, trouble.map((words) => el("li", {}, words))),
      el("p", {}, "Mend it in an editor; the table sees when it is saved."));
  }
  return el("section", { class: "beginning", "aria-label": "A new book" },
    el("h2", {}, "Drop a manuscript here"),
    el("p", {}, "A text or Word file. Each spread is headed by a row such as “Pages 4-5”, and “WREN: Hello!” is what Wren says."),
    el("div", { class: "three" },
      field("Page width, mm", given.width, (value) => (given.width = value), { type: "number", id: "new-width", min: 1 }),
      field("Page height, mm", given.height, (value) => (given.height = value), { type: "number", id: "new-height", min: 1 }),
      field("Reader’s age", given.age, (value) => (given.age = value), { id: "new-age" })),
    fileButton("Choose a manuscript", ".txt,.md,.docx", begun, "first-manuscript"));
}
