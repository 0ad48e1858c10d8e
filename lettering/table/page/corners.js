// A photo of a lettered page, large, with the corners of the paper to be pulled into place.

import { ask } from "./ask.js";
import { el, svgEl } from "./dom.js";
import { trying } from "./table.js";

const NAMES = ["Upper left", "Upper right", "Lower right", "Lower left"];

/** What is known of the page in the photo: { name, size, corners, own }; `own` once the hand has moved one. */
export const photo = { name: null, size: null, corners: null, own: false };

/** Look at a photo that was brought; `then` is called once its corners are known. */
export async function lookAt(name, then) {
  Object.assign(photo, { name, size: null, corners: null, own: false });
  await trying(async () => {
    const { size, corners } = await ask(`/api/page?name=${encodeURIComponent(name)}`);
    if (photo.name !== name) return;
    const [width, height] = size;
    const [x, y] = [width * 0.06, height * 0.06];
    Object.assign(photo, { size, seen: corners !== null, corners: corners ?? [[x, y], [width - x, y], [width - x, height - y], [x, height - y]] });
    then();
  });
}

/** Return the photo with its corners, for the place of the spread. */
export function photoSheet() {
  const { name, size, corners } = photo;
  if (!size) return el("p", { class: "hint" }, "Looking for the paper …");
  const [width, height] = size;
  const unit = Math.max(width, height) / 100;
  const shape = svgEl("polygon", { class: "paper-edge", "stroke-width": unit * 0.35 });
  const draw = () => shape.setAttribute("points", photo.corners.map((corner) => corner.join(",")).join(" "));
  const handles = corners.map((_, index) => corner(index, unit, draw));
  draw();
  return svgEl("svg", { id: "photo", viewBox: `0 0 ${width} ${height}`, role: "group", "aria-label": `Photo ${name}` },
    svgEl("image", { width, height, href: `/api/page/picture?name=${encodeURIComponent(name)}` }), shape, handles);
}

function corner(index, unit, draw) {
  const handle = svgEl("g", { class: "paper-corner", role: "button", tabindex: 0, "data-id": `corner-${index}`, "aria-label": `${NAMES[index]} corner of the paper` },
    svgEl("circle", { r: unit * 3, class: "reach" }), svgEl("circle", { r: unit * 1.1, "stroke-width": unit * 0.4 }));
  const put = (x, y) => {
    // A corner may lie a little outside the picture.
    const kept = (value, most) => Math.min(Math.max(value, -0.05 * most), 1.05 * most);
    photo.corners[index] = [kept(x, photo.size[0]), kept(y, photo.size[1])];
    handle.setAttribute("transform", `translate(${photo.corners[index].join(" ")})`);
    draw();
  };
  put(...photo.corners[index]);
  const mine = () => (photo.own = true);
  handle.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way) return;
    event.preventDefault();
    mine();
    const step = event.shiftKey || event.altKey ? 1 : unit;
    put(photo.corners[index][0] + way[0] * step, photo.corners[index][1] + way[1] * step);
  });
  handle.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    handle.setPointerCapture(event.pointerId);
    const follow = (moving) => {
      const at = new DOMPoint(moving.clientX, moving.clientY).matrixTransform(handle.ownerSVGElement.getScreenCTM().inverse());
      mine();
      put(at.x, at.y);
    };
    const end = () => {
      handle.removeEventListener("pointermove", follow);
      for (const kind of ["pointerup", "pointercancel"]) handle.removeEventListener(kind, end);
    };
    handle.addEventListener("pointermove", follow);
    for (const kind of ["pointerup", "pointercancel"]) handle.addEventListener(kind, end);
  });
  return handle;
}
