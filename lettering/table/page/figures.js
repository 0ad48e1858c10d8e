// Figures: where each character is on the art, its face and its mouth, and what else must stay visible.

import { button, choice, el, fill, svgEl } from "./dom.js";
import { box, layer, mmPerPx, onPage } from "./stage.js";
import { called, changed, edit, say, show, table } from "./table.js";

const STEP = 1;
const SMALL = 0.1;
const REST = 400;
const CORNERS = ["nw", "ne", "sw", "se"];
const CORNER_NAMES = { nw: "upper left", ne: "upper right", sw: "lower left", se: "lower right" };

let rest = null;


const tenth = (value) => Math.round(value * 10) / 10;
const isPicked = (figure) => table.figure?.who === figure.who && table.figure?.number === figure.number;

function save(figure) {
  const { figures } = table.spread;
  const at = figures.findIndex((one) => one.who === figure.who && one.number === figure.number);
  if (at >= 0) figures[at] = figure;
  else figures.push(figure);
  changed("choice");
  return edit("figure", { spread: table.index, who: figure.who, number: figure.number, box: figure.box.map(tenth), face: figure.face?.map(tenth), mouth: figure.mouth?.map(tenth) });
}

function saveClear(number, place) {
  if (place) table.spread.keepClear[number] = place;
  changed("choice");
  return edit("keep-clear", { spread: table.index, number, box: place?.map(tenth) ?? null });
}

/** Save once the keys rest. */
function saveSoon(deed) {
  clearTimeout(rest);

  rest = setTimeout(() => {

    deed();
  }, REST);
}

export function figuresOver(over) {
  if (over.dataset.going) return;
  const { spread, sheet, shown } = table;
  const had = over.contains(document.activeElement) ? document.activeElement.dataset.id : null;
  if (sheet !== "figures" && !shown.figures) return fill(over);
  over.classList.toggle("quietly", sheet !== "figures");
  fill(over, spread.keepClear.map(clearPlace), spread.figures.map(figurePlace));
  if (had) over.querySelector(`[data-id="${had}"]`)?.focus({ preventScroll: true });
}

function figurePlace(figure) {
  const name = called(figure.who);
  const picked = isPicked(figure) && table.sheet === "figures";
  const id = `figure-${figure.who}-${figure.number}`;
  const pick = () => {
    table.figure = { who: figure.who, number: figure.number };
    changed("choice");
  };
  const whole = { label: `Figure of ${name}`, id, move: (by) => movedBy(figure, by), pick };
  const parts = [grip(svgEl("rect", { ...box(figure.box), class: "box" }), whole, figure, save), svgEl("text", { x: figure.box[0] + 1.5, y: figure.box[1] + 6 }, name)];
  if (figure.face) {
    const face = { label: `Face of ${name}`, id: `${id}-face`, move: ([x, y]) => ({ ...figure, face: within([figure.face[0] + x, figure.face[1] + y, figure.face[2], figure.face[3]], figure.box) }), pick };
    parts.push(picked ? grip(svgEl("rect", { ...box(figure.face), class: "face" }), face, figure, save) : svgEl("rect", { ...box(figure.face), class: "face" }));
  }
  if (picked) {
    parts.push(...corners(figure.box, `${id}-box`, `box of ${name}`, (place) => ({ ...figure, box: place, face: figure.face && within(figure.face, place), mouth: figure.mouth && inside(figure.mouth, place) }), figure, save));
    if (figure.face) parts.push(...corners(figure.face, `${id}-face`, `face of ${name}`, (place) => ({ ...figure, face: within(place, figure.box) }), figure, save));
  }
  if (figure.mouth) {
    const mark = svgEl("g", { class: "mouth" }, svgEl("circle", { cx: figure.mouth[0], cy: figure.mouth[1], r: 3 }), svgEl("path", { d: `M${figure.mouth[0] - 1.5} ${figure.mouth[1]}h3m-1.5 -1.5v3` }));
    const mouth = { label: `Mouth of ${name}`, id: `${id}-mouth`, move: ([x, y]) => ({ ...figure, mouth: inside([figure.mouth[0] + x, figure.mouth[1] + y], figure.box) }), pick };
    parts.push(picked ? grip(mark, mouth, figure, save) : mark);
  }
  return svgEl("g", { class: `figure${picked ? " chosen" : ""}` }, parts);
}

function clearPlace(place, number) {
  const id = `clear-${number}`;
  const picked = table.figure?.clear === number && table.sheet === "figures";
  const pick = () => {
    table.figure = { clear: number };
    changed("choice");
  };
  const keep = (changedPlace) => saveClear(number, changedPlace.box);
  const thing = { box: place };
  const whole = { label: `Place ${number + 1} to keep clear`, id, move: ([x, y]) => ({ box: [place[0] + x, place[1] + y, place[2], place[3]] }), pick };
  return svgEl("g", { class: `clear${picked ? " chosen" : ""}` }, grip(svgEl("rect", box(place)), whole, thing, keep), picked ? corners(place, id, `place ${number + 1} to keep clear`, (b) => ({ box: b }), thing, keep) : null);
}

/** Return `shape` as something that can be dragged, or moved with the arrow keys. */
function grip(shape, { label, id, move, pick }, thing, keep) {
  const handle = svgEl("g", { class: "grip", role: "button", tabindex: 0, "aria-label": label, "data-id": id }, shape);
  if (table.sheet !== "figures") {
    handle.removeAttribute("tabindex");
    handle.setAttribute("role", "img");
    return handle;
  }
  let by = [0, 0];
  const over = () => layer("places");
  handle.addEventListener("focus", () => table.stroke === null && !handle.closest(".chosen") && pick());
  handle.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way) return;
    event.preventDefault();
    const step = event.shiftKey || event.altKey ? SMALL : STEP;
    by = [by[0] + way[0] * step, by[1] + way[1] * step];
    handle.setAttribute("transform", `translate(${by.join(" ")})`);
    const wanted = move(by);
    over().dataset.going = "yes";
    saveSoon(() => {
      delete over().dataset.going;
      keep(wanted);
    });
  });
  handle.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || table.stroke) return;
    event.preventDefault();
    event.stopPropagation();
    const from = onPage(event);
    let wanted = null;
    over().dataset.going = "yes";
    handle.setPointerCapture(event.pointerId);
    const follow = (moving) => {
      const [x, y] = onPage(moving);
      const step = [x - from[0], y - from[1]];
      if (!wanted && Math.hypot(...step) < 3 * mmPerPx()) return;
      wanted = move(step);
      handle.setAttribute("transform", `translate(${step.join(" ")})`);
    };
    const end = async () => {
      handle.removeEventListener("pointermove", follow);
      for (const kind of ["pointerup", "pointercancel"]) handle.removeEventListener(kind, end);
      delete over().dataset.going;
      if (wanted) await keep(wanted);
      else pick();
      over().querySelector(`[data-id="${id}"]`)?.focus({ preventScroll: true });
    };
    handle.addEventListener("pointermove", follow);
    for (const kind of ["pointerup", "pointercancel"]) handle.addEventListener(kind, end);
  });
  return handle;
}

function corners(place, id, name, make, thing, keep) {
  const size = Math.max(2, 10 * mmPerPx());
  return CORNERS.map((corner) => {
    const x = corner.endsWith("w") ? place[0] : place[0] + place[2];
    const y = corner.startsWith("n") ? place[1] : place[1] + place[3];
    const shape = svgEl("rect", { x: x - size / 2, y: y - size / 2, width: size, height: size, class: "corner" });
    return grip(shape, { label: `Corner ${CORNER_NAMES[corner]} of the ${name}`, id: `${id}-${corner}`, move: (by) => make(pulled(place, corner, by)), pick: () => {} }, thing, keep);
  });
}

function pulled([x, y, width, height], corner, [dx, dy]) {
  const x0 = corner.endsWith("w") ? x + dx : x;
  const x1 = corner.endsWith("w") ? x + width : x + width + dx;
  const y0 = corner.startsWith("n") ? y + dy : y;
  const y1 = corner.startsWith("n") ? y + height : y + height + dy;
  return [Math.min(x0, x1), Math.min(y0, y1), Math.max(1, Math.abs(x1 - x0)), Math.max(1, Math.abs(y1 - y0))];
}

function movedBy(figure, [x, y]) {
  const shift = (place) => place && [place[0] + x, place[1] + y, ...place.slice(2)];
  return { ...figure, box: shift(figure.box), face: shift(figure.face), mouth: shift(figure.mouth) };
}

function within([x, y, width, height], [bx, by, bw, bh]) {
  const [w, h] = [Math.min(width, bw), Math.min(height, bh)];
  return [Math.min(Math.max(x, bx), bx + bw - w), Math.min(Math.max(y, by), by + bh - h), w, h];
}

function inside([x, y], [bx, by, bw, bh]) {
  return [Math.min(Math.max(x, bx), bx + bw), Math.min(Math.max(y, by), by + bh)];
}

/** Let the next stroke on the paper draw what is wanted: a box, a face, a mouth, a place to keep clear. */
export function readyStrokes(paper) {
  paper.addEventListener("pointerdown", (event) => {
    const { stroke } = table;
    const sheet = event.target.closest("#sheet");
    if (!stroke || !sheet || event.button !== 0) return;
    event.preventDefault();
    const from = onPage(event);
    const mark = svgEl("rect", { ...box([...from, 0, 0]), class: "stroke" });
    sheet.append(mark);
    paper.setPointerCapture(event.pointerId);
    let place = [...from, 0, 0];
    const follow = (moving) => {
      const [x, y] = onPage(moving);
      place = [Math.min(from[0], x), Math.min(from[1], y), Math.abs(x - from[0]), Math.abs(y - from[1])];
      for (const [name, value] of Object.entries(box(place))) mark.setAttribute(name, value);
    };
    const end = () => {
      paper.removeEventListener("pointermove", follow);
      for (const kind of ["pointerup", "pointercancel"]) paper.removeEventListener(kind, end);
      mark.remove();
      table.stroke = null;
      strike(stroke, from, place);
    };
    paper.addEventListener("pointermove", follow);
    for (const kind of ["pointerup", "pointercancel"]) paper.addEventListener(kind, end);
  });
}

async function strike(stroke, from, place) {
  const figure = table.spread.figures.find(isPicked);
  const large = place[2] > 2 && place[3] > 2;
  if (stroke.kind === "mouth" && figure) return save({ ...figure, mouth: inside(from, figure.box) });
  if (!large) {
    say("Draw it by pulling from one corner to the other.");
    changed("choice");
    return;
  }
  if (stroke.kind === "face" && figure) await save({ ...figure, face: within(place, figure.box) });
  if (stroke.kind === "clear") await saveClear(table.spread.keepClear.length, place);
  if (stroke.kind === "box") {
    table.figure = { who: stroke.who, number: count(stroke.who) };
    await save({ who: stroke.who, number: count(stroke.who), box: place });
  }
}

const count = (who) => table.spread.figures.filter((one) => one.who === who).length;

export function figuresSlip() {
  const { spread, all } = table;
  if (!spread) return [el("p", {}, "There is no spread yet.")];
  const figure = spread.figures.find(isPicked);
  const waits = [...new Set(spread.lines.filter((line) => !line.off).flatMap((line) => line.who))].filter((who) => !count(who));
  const others = all.book.spreads.filter((one) => one.index !== spread.index);
  return [
    el("h2", {}, `Figures of ${spread.label}`),
    el("p", { class: "hint" }, table.stroke ? strokeHint(table.stroke) : "Press a name, then draw round the character on the art. The arrow keys move what is chosen: 1 mm, with Shift 0.1 mm."),
    waits.length ? el("p", { class: "waits" }, `Still to draw: ${waits.map(called).join(", ")}.`) : null,
    el("div", { class: "names" }, all.book.cast.map((one) => button(one.name, () => begin({ kind: "box", who: one.key }), { "aria-pressed": String(table.stroke?.kind === "box" && table.stroke.who === one.key), "data-id": `draw-${one.key}`, class: waits.includes(one.key) ? "waits" : "" }))),
    button("A place to keep clear", () => begin({ kind: "clear" }), { "aria-pressed": String(table.stroke?.kind === "clear"), "data-id": "draw-clear" }),
    figure ? figureEntry(figure) : null,
    table.figure?.clear !== undefined && spread.keepClear[table.figure.clear] ? clearEntry(table.figure.clear) : null,
    el("h3", {}, "On this spread"),
    el("ul", { class: "plain" }, spread.figures.map((one) => el("li", {}, button(called(one.who) + (one.number ? ` ${one.number + 1}` : ""), () => choosing({ who: one.who, number: one.number }), { "aria-pressed": String(isPicked(one)), "data-id": `list-${one.who}-${one.number}` }))),
      spread.keepClear.map((_, index) => el("li", {}, button(`Keep clear ${index + 1}`, () => choosing({ clear: index }), { "aria-pressed": String(table.figure?.clear === index), "data-id": `list-clear-${index}` })))),
    others.length ? choice("Copy figures from", "", [["", "…"], ...others.map((one) => [one.index, one.label])], (from) => from && edit("copy-figures", { spread: spread.index, source: Number(from) }), { id: "copy-from" }) : null,
  ];
}

function strokeHint(stroke) {
  if (stroke.kind === "mouth") return "Press on the art where the mouth is.";
  const what = { box: () => `round ${called(stroke.who)}`, face: () => "round the face", clear: () => "round what must stay visible" }[stroke.kind]();
  return `Draw on the art ${what}: pull from one corner to the other.`;
}

function begin(stroke) {
  table.stroke = table.stroke && JSON.stringify(table.stroke) === JSON.stringify(stroke) ? null : stroke;
  if (table.stroke && !table.shown.figures) show("figures", true);
  changed("choice");
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
