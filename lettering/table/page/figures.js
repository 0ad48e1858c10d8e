// The slip of the figures: whom to draw, the measures of what is chosen, and all that is on the spread.

import { refusal } from "./asked.js";
import { tenth } from "./boxes.js";
import { button, choice, el } from "./dom.js";
import { picked, save, saveClear, takeOut } from "./places.js";
import { refusalOf, refused } from "./refusals.js";
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
    others.length ? choice("Copy figures from", "", [["", "…"], ...others.map((one) => [one.index, one.label])], (from) => from && edit("copy-figures", { spread: spread.index, source: Number(from) }, { at: "copy-from" }), { id: "copy-from" }) : null,
    refusal("copy-from"),
  ];
}

function choosing(what) {
  table.figure = what;
  changed("choice");
}

const NAMES = ["x", "y", "width", "height"];

/** Return fields for the measures of a box or a point; `whose` tells it from others on the spread. */
function measures(name, whose, values, keep) {
  const at = `${name} ${table.index} ${whose}`;
  const kept = refusalOf(at)?.typed;
  const take = (typed) => {
    const numbers = typed.map((words, index) => (words === String(tenth(values[index])) ? values[index] : Number(words.replace(",", ".") || "?")));
    if (numbers.every(Number.isFinite)) return keep(numbers, { at, typed });
    refused(at, { said: "A measure is a number of mm, such as 12.5.", typed });
    return changed("choice");
  };
  const inputs = values.map((value, index) => el("input", {
    inputmode: "decimal",
    value: kept?.[index] ?? tenth(value),
    "data-id": `${name}-${index}`,
    "data-kept": true,
    "aria-label": `${name} ${NAMES[index]}`,
    "aria-describedby": `refused-${at}`,
    "aria-invalid": kept && kept[index] !== String(tenth(value)) ? "true" : null,
    onchange: () => take(inputs.map((input) => input.value)),
  }));
  return el("div", {},
    el("fieldset", { class: "measures" }, el("legend", {}, `${name}, mm`), inputs.map((input, index) => el("label", {}, el("span", {}, NAMES[index]), input))),
    refusal(at));
}

function figureEntry(figure) {
  const whose = `${figure.who} ${figure.number}`;
  return el("section", { class: "chosen-figure", "aria-label": `Figure of ${called(figure.who)}` },
    el("h3", {}, called(figure.who)),
    measures("Box", whose, figure.box, (b, asked) => save({ ...figure, box: b }, asked)),
    figure.face ? measures("Face", whose, figure.face, (face, asked) => save({ ...figure, face }, asked)) : null,
    figure.mouth ? measures("Mouth", whose, figure.mouth, (mouth, asked) => save({ ...figure, mouth }, asked)) : null,
    el("div", { class: "deeds" },
      button(figure.face ? "Draw the face anew" : "Draw the face", () => begin({ kind: "face" }), { "data-id": "draw-face", "aria-pressed": String(table.stroke?.kind === "face") }),
      button("Set the mouth", () => begin({ kind: "mouth" }), { "data-id": "draw-mouth", "aria-pressed": String(table.stroke?.kind === "mouth") }),
      button("Take it out", () => takeOut(figure), { class: "away" })));
}

function clearEntry(number) {
  return el("section", { class: "chosen-figure", "aria-label": `Place ${number + 1} to keep clear` },
    el("h3", {}, `Keep clear ${number + 1}`),
    measures("Box", `clear ${number}`, table.spread.keepClear[number], (b, asked) => saveClear(number, b, asked)),
    el("div", { class: "deeds" }, button("Take it out", () => saveClear(number, null), { class: "away" })));
}
