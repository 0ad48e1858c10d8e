// The spread, large: art, bubbles and lettering as they will print, and over them what the hand may take.

import { drawBeside } from "./beside.js";
import { box, grown } from "./boxes.js";
import { drawn, el, fill, svgEl } from "./dom.js";
import { drawGuides } from "./guides.js";
import { linesOver } from "./lettering.js";
import { figuresOver } from "./places.js";
import { realSize } from "./realsize.js";
import { changed, table } from "./table.js";

/** Room round the spread in which handles may reach out, mm. */
const ROOM = 1;

let sheet = null;
/** Words and handles on the spread keep their size on the screen, so they are drawn anew when that changes. */
const asLarge = new ResizeObserver(() => requestAnimationFrame(() => table.spread && changed("choice")));
let layers = {};
/** The spread whose bubbles and lettering are drawn. */
let printed = null;

/** Draw the spread that is looked at; only what changed is drawn anew. */
export function drawStage(paper, what) {
  const { spread, shown } = table;
  if (!spread) return;
  const fresh = !sheet?.isConnected;
  if (fresh) {
    layers = {};
    const names = ["art", "quiet", "under", "bubbles", "lettering", "guides", "places", "hands"];
    sheet = svgEl("svg", { id: "sheet", role: "group", "aria-label": "Spread" }, names.map((name) => (layers[name] = svgEl("g", { class: name }))));
    fill(paper, sheet, el("p", { id: "lacks" }));
    asLarge.observe(sheet);
  }
  const [x, y, width, height] = shown.bleed ? grown(spread.trim, spread.bleed) : spread.trim;
  sheet.setAttribute("viewBox", [x - ROOM, y - ROOM, width + 2 * ROOM, height + 2 * ROOM].join(" "));
  sheet.setAttribute("aria-label", spread.label);
  realSize(sheet, width + 2 * ROOM, height + 2 * ROOM);
  if (fresh || what.has("spread")) drawPrint(spread);
  drawGuides(layers, spread, shown, [x, y, width, height]);
  sheet.style.setProperty("--px", `${mmPerPx()}px`);
  figuresOver(layers.places);
  linesOver(layers.hands);
  lacks(spread);
  drawBeside(paper, spread);
}

function drawPrint(spread) {
  printed = spread;
  const media = grown(spread.trim, spread.bleed);
  const px = Math.min(4000, Math.ceil(sheet.clientWidth * devicePixelRatio) || 1600);
  const shown = Math.ceil(px / 400) * 400;
  fill(layers.art, spread.art && spread.artStamp
    ? svgEl("image", { ...box(media), preserveAspectRatio: "none", href: `/api/spreads/${spread.index}/art?px=${shown}&v=${spread.artStamp}` })
    : svgEl("rect", { ...box(media), class: "bare" }));
  const print = spread.svg ? drawn(spread.svg) : null;
  take(print, "bubbles");
  take(print, "lettering");
}

/** Put one layer of a drawing that the server made on the sheet. */
function take(print, name) {
  fill(layers[name], print?.querySelector(`#${name}`) ?? null);
}

export function layer(name) {
  return layers[name];
}

/** Return a line of the spread as it is drawn, which may be a little older than what lies on the table. */
export function drawnLine(number) {
  return printed.lines.find((one) => one.number === number);
}

/** Show a drawing of the server in the place of the spread's own until it is drawn again. */
export function showInstead(svg) {
  const print = drawn(svg);
  take(print, "bubbles");
  take(print, "lettering");
}

function lacks(spread) {
  const words = spread.ready ? "" : spread.lacks.join(" ");
  document.getElementById("lacks").textContent = words;
}

/** Return where a pointer is on the page, mm. */
export function onPage(event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(sheet.getScreenCTM().inverse());
  return [at.x, at.y];
}

/** Return how many mm a pixel of the screen is. */
export function mmPerPx() {
  return 1 / sheet.getScreenCTM().a;
}
