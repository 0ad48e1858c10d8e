// Figures and places to keep clear, drawn over the art.

import { box, inside, movedBy, tenth, within } from "./boxes.js";
import { fill, svgEl } from "./dom.js";
import { corners, grip } from "./grips.js";
import { called, changed, edit, table } from "./table.js";

const isPicked = (figure) => table.figure?.who === figure.who && table.figure?.number === figure.number;

/** Return the figure that is chosen. */
export const picked = () => table.spread.figures.find(isPicked);

/** Keep a figure as it is now: shown at once, and written. `asked` is where its measures were typed. */
export function save(figure, asked) {
  put(table.spread.figures, figure);
  changed("choice");
  const { who, number } = figure;
  const now = { box: figure.box.map(tenth), face: figure.face?.map(tenth) ?? null, mouth: figure.mouth?.map(tenth) ?? null };
  const { served, index } = table;
  const wish = () => ({ spread: index, who, number, ...now, was: seen(served, figure) });
  return edit("figure", wish, asked, () => put(served.figures, { who, number, ...now }));
}

/** Take a figure out. */
export function takeOut({ who, number }) {
  const { served, index } = table;
  return edit("no-figure", () => ({ spread: index, who, number, was: seen(served, { who, number }) }));
}

/** Keep a place clear, or no longer when there is none. */
export function saveClear(number, place, asked) {
  if (place) table.spread.keepClear[number] = place;
  changed("choice");
  const { served, index } = table;
  const now = place?.map(tenth) ?? null;
  const wish = () => ({ spread: index, number, box: now, was: served.keepClear[number] ?? null });
  return edit("keep-clear", wish, asked, () => served.keepClear.splice(number, 1, ...(now ? [now] : [])));
}

function put(figures, figure) {
  const at = figures.findIndex((one) => isSame(one, figure));
  if (at >= 0) figures[at] = figure;
  else figures.push(figure);
}

const isSame = (one, other) => one.who === other.who && one.number === other.number;

/** Return how the server has a figure, or null. */
function seen(served, figure) {
  const found = served.figures.find((one) => isSame(one, figure));
  return found ? { box: found.box, face: found.face, mouth: found.mouth } : null;
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
  const chosen = isPicked(figure) && table.sheet === "figures";
  const id = `figure-${figure.who}-${figure.number}`;
  const pick = () => {
    table.figure = { who: figure.who, number: figure.number };
    changed("choice");
  };
  const whole = { label: `Figure of ${name}`, id, move: (by) => movedBy(figure, by), pick, follow: followFigure, still: true };
  const parts = [grip(svgEl("rect", { ...box(figure.box), class: "box" }), whole, save), svgEl("text", { x: figure.box[0], y: figure.box[1], dx: "0.3em", dy: "1.1em" }, name)];
  if (figure.face) {
    const face = { label: `Face of ${name}`, id: `${id}-face`, move: ([x, y]) => ({ ...figure, face: within([figure.face[0] + x, figure.face[1] + y, figure.face[2], figure.face[3]], figure.box) }), pick, follow: followFigure, still: true };
    parts.push(chosen ? grip(svgEl("rect", { ...box(figure.face), class: "face" }), face, save) : svgEl("rect", { ...box(figure.face), class: "face" }));
  }
  if (chosen) {
    parts.push(...corners(figure.box, `${id}-box`, `box of ${name}`, (place) => ({ ...figure, box: place, face: figure.face && within(figure.face, place), mouth: figure.mouth && inside(figure.mouth, place) }), followFigure, save));
    if (figure.face) parts.push(...corners(figure.face, `${id}-face`, `face of ${name}`, (place) => ({ ...figure, face: within(place, figure.box) }), followFigure, save));
  }
  if (figure.mouth) {
    const mark = svgEl("g", { class: "mouth" }, svgEl("circle", { cx: figure.mouth[0], cy: figure.mouth[1], r: 3 }), svgEl("path", { d: `M${figure.mouth[0] - 1.5} ${figure.mouth[1]}h3m-1.5 -1.5v3` }));
    const mouth = { label: `Mouth of ${name}`, id: `${id}-mouth`, move: ([x, y]) => ({ ...figure, mouth: inside([figure.mouth[0] + x, figure.mouth[1] + y], figure.box) }), pick };
    parts.push(chosen ? grip(mark, mouth, save) : mark);
  }
  return svgEl("g", { class: `figure${chosen ? " chosen" : ""}` }, parts);
}

function clearPlace(place, number) {
  const id = `clear-${number}`;
  const chosen = table.figure?.clear === number && table.sheet === "figures";
  const pick = () => {
    table.figure = { clear: number };
    changed("choice");
  };
  const keep = (changedPlace) => saveClear(number, changedPlace.box);
  const whole = { label: `Place ${number + 1} to keep clear`, id, move: ([x, y]) => ({ box: [place[0] + x, place[1] + y, place[2], place[3]] }), pick, follow: followBox, still: true };
  return svgEl("g", { class: `clear${chosen ? " chosen" : ""}` }, grip(svgEl("rect", box(place)), whole, keep), chosen ? corners(place, id, `place ${number + 1} to keep clear`, (b) => ({ box: b }), followBox, keep) : null);
}

function followFigure(group, { box: place, face }) {
  placeAt(group.querySelector(".box"), place);
  const [x, y] = place;
  const name = group.querySelector("text");
  name.setAttribute("x", x);
  name.setAttribute("y", y);
  if (face) placeAt(group.querySelector(".face"), face);
}

function followBox(group, { box: place }) {
  placeAt(group.querySelector("rect"), place);
}

function placeAt(rect, place) {
  for (const [name, value] of Object.entries(box(place))) rect.setAttribute(name, value);
}
