// A stroke drawn across a picture with pointer, pen or finger; its two ends also go by the arrow keys.

import { svgEl } from "./dom.js";

const NAMES = ["Beginning", "End"];
/** Room round the picture from which a stroke may begin, as a share of its larger side. */
const ROOM = 0.12;
/** Points of a stroke that are kept at most, by how far apart they lie: a share of the picture. */
const FINE = 1 / 150;

/** Return the picture at `href` of `size` px, `over` it if anything, and a stroke across; `told` is given its points, px. */
export function strokeOn(href, [width, height], told, over) {
  const unit = Math.max(width, height) / 100;
  const room = Math.max(width, height) * ROOM;
  let points = [[width / 2, -room / 2], [width / 2, height + room / 2]];
  const path = svgEl("polyline", { class: "cut waiting", "stroke-width": unit * 1.1 });
  const ends = NAMES.map((name, index) => end(name, index, unit, (at) => {
    points = index ? [points[0], at] : [at, points.at(-1)];
    path.classList.remove("waiting");
    draw();
  }, () => points.at(index ? -1 : 0)));
  const draw = () => {
    path.setAttribute("points", points.map((point) => point.map((v) => v.toFixed(1)).join(",")).join(" "));
    ends.forEach((handle, index) => handle.setAttribute("transform", `translate(${points.at(index ? -1 : 0).join(" ")})`));
    told(points);
  };
  draw();
  const sheet = svgEl("svg", { id: "crop", viewBox: `${-room} ${-room} ${width + 2 * room} ${height + 2 * room}`, role: "group", "aria-label": "Its paper, and a stroke that parts it" },
    svgEl("image", { width, height, href }), over, path, ends);
  sheet.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || event.target.closest(".end")) return;
    event.preventDefault();
    const before = points;
    const drawn = [placeOf(sheet, event)];
    followed(sheet, event, (at) => {
      const [x, y] = drawn.at(-1);
      if (Math.hypot(at[0] - x, at[1] - y) < Math.max(width, height) * FINE) return;
      drawn.push(at);
      points = drawn;
      path.classList.remove("waiting");
      draw();
    }, () => {
      const long = Math.hypot(...drawn.at(-1).map((v, i) => v - drawn[0][i])) > 3 * unit;
      if (!long) points = before; // a tap is no stroke
      draw();
    });
  });
  return sheet;
}

function end(name, index, unit, put, at) {
  const handle = svgEl("g", { class: "end", role: "button", tabindex: 0, "data-id": `end-${index}`, "aria-label": `${name} of the stroke` },
    svgEl("circle", { r: unit * 5, class: "reach" }), svgEl("circle", { r: unit * 2, "stroke-width": unit * 0.7 }));
  handle.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way) return;
    event.preventDefault();
    const step = event.shiftKey ? 0.2 : 1;
    put(at().map((v, axis) => v + way[axis] * step));
  });
  handle.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    handle.focus();
    followed(handle, event, put, () => {});
  });
  return handle;
}

/** Call `moved` with places in the drawing while the pointer that went down goes on, and `done` when it is lifted. */
function followed(thing, down, moved, done) {
  thing.setPointerCapture(down.pointerId);
  const follow = (event) => moved(placeOf(thing.ownerSVGElement ?? thing, event));
  const lift = () => {
    thing.removeEventListener("pointermove", follow);
    for (const kind of ["pointerup", "pointercancel"]) thing.removeEventListener(kind, lift);
    done();
  };
  thing.addEventListener("pointermove", follow);
  for (const kind of ["pointerup", "pointercancel"]) thing.addEventListener(kind, lift);
}

function placeOf(sheet, event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(sheet.getScreenCTM().inverse());
  return [at.x, at.y];
}
