// The spread as large as it prints, on a screen that was measured once with a card.

import { el } from "./dom.js";
import { show, table } from "./table.js";

/** Width and height of a bank card, ISO/IEC 7810 ID-1, mm. */
const CARD_MM = [85.6, 53.98];

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
  const card = el("div", { class: "card", "aria-hidden": "true" });
  const width = measured > 0 ? measured * CARD_MM[0] : 320;
  const size = (px) => {
    card.style.width = `${px}px`;
    card.style.height = `${(px * CARD_MM[1]) / CARD_MM[0]}px`;
  };
  size(width);
  const slide = el("input", { type: "range", id: "card", min: 160, max: 900, step: 1, value: width, "data-kept": true });
  slide.addEventListener("input", () => {
    size(slide.value);
    localStorage.setItem("pxPerMm", String(slide.value / CARD_MM[0]));
    if (table.shown.real) show("real", true);
  });
  return el("details", {}, el("summary", {}, "Real size"),
    el("p", {}, "Hold a bank card to the screen and pull until the drawn one is as wide."),
    el("label", { class: "field" }, el("span", {}, "Width of the card"), slide), card,
    el("label", { class: "check" }, el("input", { type: "checkbox", id: "real", checked: Boolean(table.shown.real), onchange: (event) => show("real", event.target.checked) }), "Show the spread as large as it prints"));
}
