// The spread, large: art, bubbles and lettering as they will print, and over them what the hand may take.

import { drawn, el, fill, svgEl } from "./dom.js";
import { ask, bring } from "./ask.js";
import { linesOver } from "./lettering.js";
import { figuresOver, readyStrokes } from "./figures.js";
import { look, say, show, table, trying } from "./table.js";

/** Room round the spread in which handles may reach out, mm. */
const ROOM = 1;
/** Width of a bank card, ISO/IEC 7810 ID-1, mm. */
export const CARD_MM = 85.6;

let sheet = null;
let layers = {};

export function readyStage(paper) {
  paper.addEventListener("dragover", (event) => event.preventDefault());
  paper.addEventListener("drop", (event) => {
    event.preventDefault();
    const [file] = event.dataTransfer.files;
    if (file && table.spread) dropArt(file);
  });
  readyStrokes(paper);
}

export async function dropArt(file) {
  await trying(async () => {
    say(`Taking ${file.name} …`);
    const { kept } = await bring("art", file, { spread: table.index });
    await look();
    say(`${kept} is the art of ${table.spread.label}.`);
  });
}

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
  }
  const [x, y, width, height] = shown.bleed ? grown(spread.trim, spread.bleed) : spread.trim;
  sheet.setAttribute("viewBox", [x - ROOM, y - ROOM, width + 2 * ROOM, height + 2 * ROOM].join(" "));
  sheet.setAttribute("aria-label", spread.label);
  realSize(width + 2 * ROOM, height + 2 * ROOM);
  if (fresh || what.has("spread")) drawPrint(spread);
  drawGuides(spread, shown, [x, y, width, height]);
  figuresOver(layers.places);
  linesOver(layers.hands);
  lacks(spread);
  drawBeside(paper, spread);
}

let former = "";

/** Show a former round of the spread below it, at the same size. */
async function drawBeside(paper, spread) {
  const wanted = table.beside ? `${table.beside} ${spread.index} ${spread.artStamp}` : "";
  if (wanted === former && Boolean(wanted) === Boolean(paper.querySelector("#former"))) return;
  former = wanted;
  paper.querySelector("#former")?.remove();
  if (!wanted) return;
  const name = table.beside;
  const seen = await trying(() => ask(`/api/spreads/${spread.index}/round/${encodeURIComponent(name)}`));
  if (former !== wanted || !seen) return;
  const print = drawn(seen.svg);
  const [x, y, width, height] = spread.trim;
  const art = spread.art && spread.artStamp ? svgEl("image", { ...box(grown(spread.trim, spread.bleed)), preserveAspectRatio: "none", href: `/api/spreads/${spread.index}/art?px=1600&v=${spread.artStamp}` }) : svgEl("rect", { ...box(spread.trim), class: "bare" });
  const beside = svgEl("svg", { viewBox: [x, y, width, height].join(" "), role: "img", "aria-label": `${spread.label} in the round ${name}` }, art, print.querySelector("#former-bubbles"), print.querySelector("#former-lettering"));
  paper.querySelector("#former")?.remove();
  paper.append(el("figure", { id: "former" }, beside, el("figcaption", {}, `${name}, as it was sent`)));
}

function drawPrint(spread) {
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

/** Show a drawing of the server in the place of the spread's own until it is drawn again. */
export function showInstead(svg) {
  const print = drawn(svg);
  take(print, "bubbles");
  take(print, "lettering");
}

function drawGuides(spread, shown, seen) {
  const parts = [];
  const [x, y, width, height] = spread.trim;
  if (spread.fold !== null) parts.push(line([spread.fold, seen[1]], [spread.fold, seen[1] + seen[3]], "fold"));
  if (shown.trim) parts.push(svgEl("rect", { ...box(spread.trim), class: "trim" }));
  if (shown.bleed && !shown.trim) parts.push(svgEl("rect", { ...box(spread.trim), class: "trim faint" }));
  if (shown.safe) parts.push(svgEl("rect", { ...box(spread.safe), class: "safe" }));
  if (shown.gutter && spread.gutter) parts.push(svgEl("rect", { ...box(spread.gutter), class: "gutter" }));
  const [way, marks] = shown.path ? readingPath(spread) : [null, null];
  fill(layers.under, way);
  fill(layers.guides, parts, marks, measured(spread));
  fill(layers.quiet, shown.quiet && spread.art && spread.artStamp
    ? svgEl("image", { ...box([x, y, width, height]), preserveAspectRatio: "none", href: `/api/spreads/${spread.index}/quiet?v=${spread.artStamp}` })
    : null);
}

function readingPath(spread) {
  const middles = spread.lines.filter((one) => one.body).map((one) => [one.body[0] + one.body[2] / 2, one.body[1] + one.body[3] / 2]);
  const d = middles.length ? `M${middles.map((point) => point.join(" ")).join("L")}` : "";
  const marks = spread.lines.filter((one) => one.body).map(({ number, body: [bx, by] }) => svgEl("g", {}, svgEl("circle", { cx: bx + 1, cy: by + 1, r: 4 }), svgEl("text", { x: bx + 1, y: by + 2.7 }, String(number))));
  return [svgEl("path", { d, class: "way" }), svgEl("g", { class: "steps" }, marks)];
}

/** Return what was measured for the finding that is looked at, written on the art where it was found. */
function measured(spread) {
  const { finding } = table;
  if (!finding || finding.spread !== spread.index) return null;
  const line = spread.lines.find((one) => one.number === finding.line);
  const [x, y, width] = line?.body ?? spread.trim;
  const words = finding.measured === null || finding.wanted === null ? finding.code : figures(finding);
  const half = words.length * 1.5 + 3;
  const [left, , across] = spread.trim;
  const at = [Math.min(Math.max(x + width / 2, left + half), left + across - half), Math.max(y - 3, 7)];
  return svgEl("g", { class: "measured" },
    line?.body ? svgEl("rect", { ...box(line.body), class: "found-at" }) : null,
    svgEl("rect", { x: at[0] - half, y: at[1] - 5.6, width: 2 * half, height: 8, rx: 1.5 }),
    svgEl("text", { x: at[0], y: at[1] }, words));
}

/** Return what was measured and what was wanted, as people write it. */
export function figures({ measured: is, wanted, unit }) {
  return `${Number(is.toFixed(2))} for ${Number(wanted.toFixed(2))} ${unit}`;
}

function lacks(spread) {
  const words = spread.ready ? "" : spread.lacks.join(" ");
  document.getElementById("lacks").textContent = words;
}

/** Make the spread as large as it will print, when that is asked for and the screen was measured. */
function realSize(width, height) {
  const scale = Number(localStorage.getItem("pxPerMm"));
  const real = table.shown.real && scale > 0;
  sheet.parentElement.classList.toggle("real", Boolean(real));
  sheet.style.width = real ? `${width * scale}px` : "";
  sheet.style.height = real ? `${height * scale}px` : "";
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

export function box([x, y, width, height]) {
  return { x, y, width, height };
}

function grown([x, y, width, height], by) {
  return [x - by, y - by, width + 2 * by, height + 2 * by];
}

function line([x1, y1], [x2, y2], kind) {
  return svgEl("line", { x1, y1, x2, y2, class: kind });
}

export function realSlip() {
  const measured = Number(localStorage.getItem("pxPerMm"));
  const card = el("div", { class: "card", "aria-hidden": "true" });
  const width = measured > 0 ? measured * CARD_MM : 320;
  card.style.width = `${width}px`;
  card.style.height = `${(width * 53.98) / CARD_MM}px`;
  const slide = el("input", { type: "range", id: "card", min: 160, max: 900, step: 1, value: width, "data-kept": true });
  slide.addEventListener("input", () => {
    card.style.width = `${slide.value}px`;
    card.style.height = `${(slide.value * 53.98) / CARD_MM}px`;
    localStorage.setItem("pxPerMm", String(slide.value / CARD_MM));
    if (table.shown.real) show("real", true);
  });
  return el("details", {}, el("summary", {}, "Real size"),
    el("p", {}, "Hold a bank card to the screen and pull until the drawn one is as wide."),
    el("label", { class: "field" }, el("span", {}, "Width of the card"), slide), card,
    el("label", { class: "check" }, el("input", { type: "checkbox", id: "real", checked: Boolean(table.shown.real), onchange: (event) => show("real", event.target.checked) }), "Show the spread as large as it prints"));
}
