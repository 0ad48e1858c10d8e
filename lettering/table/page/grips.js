// What on the spread can be dragged by pointer, finger or pen, or moved with the arrow keys.

import { pulled } from "./boxes.js";
import { svgEl } from "./dom.js";
import { layer, mmPerPx, onPage } from "./stage.js";
import { table, writtenFirst } from "./table.js";

/** Steps of the arrow keys, mm; the small one with Shift. */
const STEP = 1;
const SMALL = 0.1;
/** How long after the last key what was moved is saved, ms. */
const REST = 400;
/** Least size of what a finger must find, px (WCAG 2.2, 2.5.8). */
const REACH_PX = 24;
const CORNERS = ["nw", "ne", "sw", "se"];
const CORNER_NAMES = { nw: "upper left", ne: "upper right", sw: "lower left", se: "lower right" };

/** What the arrow keys moved and what is not saved yet, and of which grip it is. */
let nudged = { deed: null, handle: null, rest: null };

/** Save once the keys rest, or something else is changed. */
function saveSoon(handle, deed) {
  if (nudged.handle !== handle) saveNow();
  clearTimeout(nudged.rest);
  nudged = { deed, handle, rest: setTimeout(saveNow, REST) };
}

function saveNow() {
  const { deed, rest } = nudged;
  clearTimeout(rest);
  nudged = { deed: null, handle: null, rest: null };
  deed?.();
}
writtenFirst(saveNow);

/**
 * Return `shape` as something that can be dragged, or moved with the arrow keys.
 *
 * `move` tells what comes of a step in mm, `follow` shows that while it lasts, `keep` is told it in the end; `still`
 * is a shape that `follow` itself shows moved.
 */
export function grip(shape, { label, id, move, pick, follow, still = false }, keep) {
  const handle = svgEl("g", { class: "grip", role: "button", tabindex: 0, "aria-label": label, "data-id": id }, shape);
  if (table.sheet !== "figures") {
    handle.removeAttribute("tabindex");
    handle.setAttribute("role", "img");
    return handle;
  }
  /** How far the arrow keys moved it since it was drawn, mm. */
  let by = [0, 0];
  const over = () => layer("places");
  const showMoved = (step, wanted) => {
    over().dataset.going = "yes";
    if (!still) handle.setAttribute("transform", `translate(${step.join(" ")})`);
    follow?.(handle.parentElement, wanted);
  };
  handle.addEventListener("focus", () => table.stroke === null && !handle.closest(".chosen") && pick());
  handle.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way) return;
    event.preventDefault();
    const step = event.shiftKey || event.altKey ? SMALL : STEP;
    by = [by[0] + way[0] * step, by[1] + way[1] * step];
    const wanted = move(by);
    showMoved(by, wanted);
    saveSoon(handle, () => {
      delete over().dataset.going;
      keep(wanted);
    });
  });
  handle.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || table.stroke) return;
    event.preventDefault();
    event.stopPropagation();
    saveNow();
    const from = onPage(event);
    let wanted = null;
    over().dataset.going = "yes";
    handle.setPointerCapture(event.pointerId);
    const drag = (moving) => {
      const [x, y] = onPage(moving);
      const step = [x - from[0], y - from[1]];
      if (!wanted && Math.hypot(...step) < 3 * mmPerPx()) return;
      const whole = [by[0] + step[0], by[1] + step[1]];
      wanted = move(whole);
      showMoved(whole, wanted);
    };
    const end = async () => {
      handle.removeEventListener("pointermove", drag);
      for (const kind of ["pointerup", "pointercancel"]) handle.removeEventListener(kind, end);
      delete over().dataset.going;
      if (wanted) await keep(wanted);
      else pick();
      over().querySelector(`[data-id="${id}"]`)?.focus({ preventScroll: true });
    };
    handle.addEventListener("pointermove", drag);
    for (const kind of ["pointerup", "pointercancel"]) handle.addEventListener(kind, end);
  });
  return handle;
}

/** Return a grip for each corner of a box. */
export function corners(place, id, name, make, follow, keep) {
  const size = Math.max(2, 10 * mmPerPx());
  return CORNERS.map((corner) => {
    const x = corner.endsWith("w") ? place[0] : place[0] + place[2];
    const y = corner.startsWith("n") ? place[1] : place[1] + place[3];
    const around = (side, kind) => svgEl("rect", { x: x - side / 2, y: y - side / 2, width: side, height: side, class: kind });
    const shape = svgEl("g", {}, around(Math.max(size, REACH_PX * mmPerPx()), "reach"), around(size, "corner"));
    return grip(shape, { label: `Corner ${CORNER_NAMES[corner]} of the ${name}`, id: `${id}-${corner}`, move: (by) => make(pulled(place, corner, by)), pick: () => {}, follow }, keep);
  });
}
