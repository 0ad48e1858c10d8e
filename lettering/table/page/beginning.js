// No book lies on the table: it is being opened, cannot be read, or a manuscript begins it.

import { refusal } from "./asked.js";
import { el, field } from "./dom.js";
import { begun, fileButton, given } from "./drops.js";
import { table } from "./table.js";

export function begin() {
  const { trouble, file, opening } = table.all;
  if (opening) return el("p", { class: "opening" }, `Opening ${file} …`);
  if (trouble.length) {
    return el("section", { class: "beginning" },
      el("h2", {}, `${file} cannot be read`),
      el("ul", {}, trouble.map((words) => el("li", {}, words))),
      el("p", {}, "Mend it in an editor; the table sees when it is saved."));
  }
  return el("section", { class: "beginning", "aria-label": "A new book" },
    el("h2", {}, "Drop a manuscript here"),
    el("p", {}, "A text file or a .docx. Each spread is headed by a row such as “Pages 4-5”, and “WREN: Hello!” is what Wren says."),
    el("div", { class: "three" },
      asked("Page width, mm", "width"),
      asked("Page height, mm", "height"),
      asked("Reader’s age", "age")),
    fileButton("Choose a manuscript", ".txt,.md,.docx", begun, "first-manuscript"),
    refusal("first-manuscript"));
}

/** Return a field of what is said of the new book; it is remembered as it is typed. */
function asked(words, name) {
  const labelled = field(words, given[name], () => {}, { inputmode: "decimal", id: `new-${name}` });
  labelled.querySelector("input").addEventListener("input", (event) => (given[name] = event.target.value));
  return labelled;
}
