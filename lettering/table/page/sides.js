// The sides of a take, dragged while it stands between two neighbours.

import { el, svgEl } from "./dom.js";
import { changeHand, hand } from "./hand-state.js";

/** Letters that show how another stands: straight on both sides. */
const NEIGHBOURS = ["n", "H", "l"];
const STEP = 0.1;
/** Room round the letters: the ascender is 9 high, the descender 4 deep. */
const TOP = -9;
const BOTTOM = 3.5;

export function sidesOf(take) {
  const { characters } = hand.seen;
  const beside = NEIGHBOURS.map((char) => characters.find((one) => one.char === char)).find(Boolean) ?? characters[0];
  const by = [0, 0];
  const [first, own, last] = [beside.first.d, take.drawn.d, beside.first.d].map((d) => svgEl("path", { d }));
  const keep = () => (by[0] || by[1]) && changeHand("sides", { take: take.name, by });
  const handles = ["Left", "Right"].map((name, index) => side(`${name} side of this take`, `side-${index}`, (step) => {
    by[index] += index ? step : -step;
    place();
  }, keep));
  const place = () => {
    const [left, right] = [-by[0], take.advance + by[1]];
    for (const [part, x] of [[first, left - beside.advance], [last, right], [handles[0], left], [handles[1], right]]) part.setAttribute("transform", `translate(${x} 0)`);
  };
  place();
  const room = beside.advance + 1;
  return el("div", { class: "beside" },
    svgEl("svg", { class: "sides", viewBox: `${-room} ${TOP - 0.5} ${take.advance + 2 * room} 13.5`, role: "group", "aria-label": `Sides, between two ${beside.char}` }, first, own, last, handles),
    el("p", { class: "hint" }, "Drag a side, or move it with the arrow keys; Enter keeps it."));
}

function side(name, id, move, keep) {
  const handle = svgEl("g", { class: "side", role: "button", tabindex: 0, "aria-label": name, "data-id": id },
    svgEl("rect", { x: -1.4, y: TOP, width: 2.8, height: BOTTOM - TOP }), svgEl("line", { x1: 0, x2: 0, y1: TOP, y2: BOTTOM }));
  handle.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (way) {
      event.preventDefault();
      move(way * STEP);
    } else if (event.key === "Enter") keep();
  });
  handle.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    handle.setPointerCapture(event.pointerId);
    const scale = 1 / handle.ownerSVGElement.getScreenCTM().a;
    let at = event.clientX;
    const follow = (moving) => {
      move((moving.clientX - at) * scale);
      at = moving.clientX;
    };
    const end = () => {
      handle.removeEventListener("pointermove", follow);
      for (const kind of ["pointerup", "pointercancel"]) handle.removeEventListener(kind, end);
      keep();
    };
    handle.addEventListener("pointermove", follow);
    for (const kind of ["pointerup", "pointercancel"]) handle.addEventListener(kind, end);
  });
  return handle;
}
