// The slip of the figures: whom to draw, the measures of what is chosen, and all that is on the spread.

import { tenth } from "./boxes.js";
import { button, choice, el } from "./dom.js";
import { picked, save, saveClear } from "./places.js";
import { begin, count, strokeHint } from "./strokes.js";
import { called, changed, edit, table } from "./table.js";

export function figuresSlip() {
  const { spread, all } = table;
  if (!spread) return [el("p", {}, "There is no spread yet.")];
  const figure = picked();
  const waits = [...new Set(spread.lines.filter((line) => !line.off).flatMap((line) => line.who))].filter((who) => !count(who));
  const others = all.book.spreads.filter((one) => one.index !== spread.index);
  return [
    el("h2", {}, `Figures of ${spread.label}`),
    el("p", { class: "hint" }, table.stroke ? strokeHint(table.stroke) : "Press a name, then draw round the character on the art. The arrow keys move what is chosen: 1 mm, with Shift 0.1 mm."),
    waits.length ? el("p", { class: "waits" }, `Still to draw: ${waits.map(called).join(", ")}.`) : null,
    el("div", { class: "names" }, all.book.cast.map((one) => button(one.name, () => begin({ kind: "box", who: one.key }), { "aria-pressed": String(table.stroke?.kind === "box" && table.stroke.who === one.key), "data-id": `draw-${one.key}`, class: waits.includes(one.key) ? "waits" : "" }))),
    button("A place to keep clear", () => begin({ kind: "clear" }), { class: "clearly", "aria-pressed": String(table.stroke?.kind === "clear"), "data-id": "draw-clear" }),
    figure ? figureEntry(figure) : null,
    table.figure?.clear !== undefined && spread.keepClear[table.figure.clear] ? clearEntry(table.figure.clear) : null,
    el("h3", {}, "On this spread"),
    el("ul", { class: "names" }, spread.figures.map((one) => el("li", {}, button(called(one.who) + (one.number ? ` ${one.number + 1}` : ""), () => choosing({ who: one.who, number: one.number }), { "aria-pressed": String(one === figure), "data-id": `list-${one.who}-${one.number}` }))),
      spread.keepClear.map((_, index) => el("li", {}, button(`Keep clear ${index + 1}`, () => choosing({ clear: index }), { "aria-pressed": String(table.figure?.clear === index), "data-id": `list-clear-${index}` })))),
    others.length ? choice("Copy figures from", "", [["", "…"], ...others.map((one) => [one.index, one.label])], (from) => from && edit("copy-figures", { spread: spread.index, source: Number(from) }), { id: "copy-from" }) : null,
  ];
}

function choosing(what) {
  table.figure = what;
  changed("choice");
}

const NAMES = ["x", "y", "width", "height"];

function measures(name, values, keep) {
  return el("fieldset", { class: "measures" }, el("legend", {}, `${name}, mm`), values.map((value, index) => {
    const input = el("input", { type: "number", step: 0.1, value: tenth(value), "data-id": `${name}-${index}`, "data-kept": true, "aria-label": `${name} ${NAMES[index]}` });
    input.addEventListener("change", () => keep(values.map((v, i) => (i === index ? Number(input.value) : v))));
    return el("label", {}, el("span", {}, NAMES[index]), input);
  }));
}

function figureEntry(figure) {
  return el("section", { class: "chosen-figure", "aria-label": `Figure of ${called(figure.who)}` },
    el("h3", {}, called(figure.who)),
    measures("Box", figure.box, (b) => save({ ...figure, box: b })),
    figure.face ? measures("Face", figure.face, (face) => save({ ...figure, face })) : null,
    figure.mouth ? measures("Mouth", figure.mouth, (mouth) => save({ ...figure, mouth })) : null,
    el("div", { class: "deeds" },
      button(figure.face ? "Draw the face anew" : "Draw the face", () => begin({ kind: "face" }), { "data-id": "draw-face", "aria-pressed": String(table.stroke?.kind === "face") }),
      button("Set the mouth", () => begin({ kind: "mouth" }), { "data-id": "draw-mouth", "aria-pressed": String(table.stroke?.kind === "mouth") }),
      button("Take it out", () => edit("no-figure", { spread: table.index, who: figure.who, number: figure.number }), { class: "away" })));
}

function clearEntry(number) {
  return el("section", { class: "chosen-figure", "aria-label": `Place ${number + 1} to keep clear` },
    el("h3", {}, `Keep clear ${number + 1}`),
    measures("Box", table.spread.keepClear[number], (b) => saveClear(number, b)),
    el("div", { class: "deeds" }, button("Take it out", () => saveClear(number, null), { class: "away" })));
}
