// The spread as large as it prints, on a screen that was measured once with a card or a ruler.

import { choice, el } from "./dom.js";
import { changed, show, table } from "./table.js";

/** What can be held to the screen, its width and height, mm: a bank card is ISO/IEC 7810 ID-1. */
const KNOWN = { card: [85.6, 53.98], ruler: [100, 12] };
const WORDS = {
  card: "Hold a bank card to the screen and pull until the drawn one is as wide.",
  ruler: "Hold a ruler to the screen and pull until the drawn one is 10 cm long.",
};

let held = "card";

/** Make the spread as large as it will print, when that is asked for and the screen was measured. */
export function realSize(sheet, width, height) {
  const scale = Number(localStorage.getItem("pxPerMm"));
  const real = table.shown.real && scale > 0;
  sheet.parentElement.classList.toggle("real", Boolean(real));
  sheet.style.width = real ? `${width * scale}px` : "";
  sheet.style.height = real ? `${height * scale}px` : "";
}

/** Return the part of a slip on which the screen is measured. */
export function realSlip() {
  const measured = Number(localStorage.getItem("pxPerMm"));
  const [wide, high] = KNOWN[held];
  const drawn = el("div", { class: held, "aria-hidden": "true" });
  const width = measured > 0 ? measured * wide : 320;
  const size = (px) => {
    drawn.style.width = `${px}px`;
    drawn.style.height = `${(px * high) / wide}px`;
  };
  size(width);
  const slide = el("input", { type: "range", id: "card", min: 160, max: 900, step: 1, value: width, "data-kept": true });
  slide.addEventListener("input", () => {
    size(slide.value);
    localStorage.setItem("pxPerMm", String(slide.value / wide));
    if (table.shown.real) show("real", true);
  });
  const hold = (what) => {
    held = what;
    changed("choice");
  };
  return el("details", {}, el("summary", {}, "Real size"),
    choice("Held to the screen", held, [["card", "a bank card"], ["ruler", "a ruler"]], hold, { id: "held" }),
    el("p", {}, WORDS[held]),
    el("label", { class: "field" }, el("span", {}, held === "card" ? "Width of the card" : "Length of 10 cm"), slide), el("div", { class: "measured-by" }, drawn),
    el("label", { class: "check" }, el("input", { type: "checkbox", id: "real", checked: Boolean(table.shown.real), onchange: (event) => show("real", event.target.checked) }), "Show the spread as large as it prints"));
}
