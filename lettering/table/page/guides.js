// Guides over the art: trim, bleed, safe area, gutter, quiet map, reading path, and what a finding measured.

import { box } from "./boxes.js";
import { fill, svgEl } from "./dom.js";
import { mmPerPx } from "./stage.js";
import { table } from "./table.js";

/** How wide a letter of what is measured is at most on average, px. */
const LETTER_PX = 7.4;

/** Draw the guides that are `shown`, as far as the spread is `seen`. */
export function drawGuides(layers, spread, shown, seen) {
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
  // The words keep their size on the screen, so what they stand on does too.
  const px = mmPerPx();
  const half = (words.length * LETTER_PX / 2 + 9) * px;
  const [left, , across] = spread.trim;
  const at = [Math.min(Math.max(x + width / 2, left + half), left + across - half), Math.max(y - 9 * px, 18 * px)];
  return svgEl("g", { class: "measured" },
    line?.body ? svgEl("rect", { ...box(line.body), class: "found-at" }) : null,
    svgEl("rect", { x: at[0] - half, y: at[1] - 14 * px, width: 2 * half, height: 20 * px, rx: 3 * px, class: "label" }),
    svgEl("text", { x: at[0], y: at[1] }, words));
}

/** Return what was measured and what was wanted, as people write it. */
export function figures({ measured, wanted, unit }) {
  const [is, should] = [measured, wanted].map((value) => Number(value.toFixed(2)));
  if (unit === "rules") return `${is} ${is === 1 ? "rule" : "rules"} not kept`;
  return `${is} ${unit}, wanted ${should} ${unit}`;
}

function line([x1, y1], [x2, y2], kind) {
  return svgEl("line", { x1, y1, x2, y2, class: kind });
}
