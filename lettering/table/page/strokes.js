// Strokes on the art: the next one draws a figure's box, its face or mouth, or a place to keep clear.

import { box, inside, within } from "./boxes.js";
import { svgEl } from "./dom.js";
import { picked, save, saveClear } from "./places.js";
import { onPage } from "./stage.js";
import { called, changed, say, show, table } from "./table.js";

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
  const figure = picked();
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

/** How many figures of a character are on the spread. */
export const count = (who) => table.spread.figures.filter((one) => one.who === who).length;

/** Say what the next stroke is for. */
export function strokeHint(stroke) {
  if (stroke.kind === "mouth") return "Press on the art where the mouth is.";
  const what = { box: () => `round ${called(stroke.who)}`, face: () => "round the face", clear: () => "round what must stay visible" }[stroke.kind]();
  return `Draw on the art ${what}: pull from one corner to the other.`;
}

/** Let the next stroke draw something, or nothing when it is asked for again. */
export function begin(stroke) {
  table.stroke = table.stroke && JSON.stringify(table.stroke) === JSON.stringify(stroke) ? null : stroke;
  if (table.stroke && !table.shown.figures) show("figures", true);
  changed("choice");
}
