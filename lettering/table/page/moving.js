// A bubble on the move: dragged, nudged with the arrow keys, its tail turned; it is seen as it would print there.

import { tell } from "./ask.js";
import { drawn } from "./dom.js";
import { hold } from "./lettering.js";
import { drawnLine, layer, mmPerPx, onPage } from "./stage.js";
import { changed, changing, lieChanged, say, table, trying, writtenFirst } from "./table.js";

/** Steps of the arrow keys, mm; the small one with Shift. */
const STEP = 1;
const SMALL = 0.1;
/** How long after the last key a nudged bubble is left where it is, ms. */
const REST = 450;

/** What is being moved, see `begun`. */
let going = null;
/** Every move that is not written yet. */
const moves = new Set();
let rest = null;

/** Whether something on this spread is on the move, so that nothing must be drawn anew under it. */
export const isGoing = () => Boolean(going?.live && going.spread === table.index);

/** Take a bubble, or the tip of one of its tails, by the pointer. */
export function take(event, line, tip) {
  if (event.button !== 0 || !table.spread.ready) return;
  event.preventDefault();
  const target = event.currentTarget;
  const from = onPage(event);
  const mine = begun(line, tip);
  table.line = line.number;
  target.setPointerCapture(event.pointerId);
  const follow = (move) => {
    if (going !== mine) return;
    const [x, y] = onPage(move);
    if (!mine.live && Math.hypot(x - from[0], y - from[1]) < 3 * mmPerPx()) return;
    mine.live = true;
    shift([x - from[0], y - from[1]]);
    preview();
  };
  const end = () => {
    target.removeEventListener("pointermove", follow);
    for (const kind of ["pointerup", "pointercancel"]) target.removeEventListener(kind, end);
    if (mine.live) leave();
    else {
      forget(mine);
      changed("choice");
      layer("hands").querySelector(`[data-id="${tip === null ? `line-${line.number}` : `tip-${tip}`}"]`)?.focus({ preventScroll: true });
    }
  };
  target.addEventListener("pointermove", follow);
  for (const kind of ["pointerup", "pointercancel"]) target.addEventListener(kind, end);
}

/** Move it with the arrow keys; H holds it or lets it loose. */
export function key(event, line, tip) {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
  if (way && !event.ctrlKey && !event.metaKey) {
    event.preventDefault();
    const by = event.shiftKey || event.altKey ? SMALL : STEP;
    if (!going || going.number !== line.number || going.tip !== tip) begun(line, tip);
    going.live = true;
    shift([going.moved[0] + way[0] * by, going.moved[1] + way[1] * by]);
    preview();
    clearTimeout(rest);
    rest = setTimeout(leave, REST);
  } else if (tip === null && (event.key === "h" || event.key === "H")) {
    hold(line);
  }
}

/** Begin to move a line that is drawn, or one of its tips, from where it is by now: the last move may not be written. */
function begun(drawnAs, tip) {
  leave();
  const { number } = drawnAs;
  const last = [...moves].filter((one) => one.spread === table.index && one.number === number);
  const now = table.spread.lines.find((one) => one.number === number);
  const centre = last.findLast((one) => one.to)?.to ?? now.centre;
  const tips = last.findLast((one) => one.aim)?.aim ?? now.tips;
  going = { spread: table.index, number, tip, drawnAs, centre, tips, was: now.centre, moved: [0, 0], to: null, aim: null, live: false, leaving: false, asking: false };
  moves.add(going);
  return going;
}

function forget(move) {
  moves.delete(move);
  if (going === move) going = null;
}

/** Move what is going by so many mm from where it began. */
function shift([x, y]) {
  const round = (value) => Math.round(value * 100) / 100;
  going.moved = [x, y];
  if (going.tip === null) going.to = [round(going.centre[0] + x), round(going.centre[1] + y)];
  else going.aim = going.tips.map((at, index) => (index === going.tip ? [round(at[0] + x), round(at[1] + y)] : at));
}

function wish({ spread, number, to, aim }) {
  return { spread, line: number, ...(to ? { to } : {}), ...(aim ? { tips: aim } : {}) };
}

/** Ask how it looks there; while one answer is awaited only the last wish is kept. */
export async function preview() {
  if (going.asking) {
    going.again = true;
    return;
  }
  const mine = going;
  mine.asking = true;
  do {
    mine.again = false;
    const began = performance.now();
    const seen = await trying(() => tell("/api/move", wish(mine)));
    if (seen && going === mine && isGoing()) {
      draw(seen);
      performance.measure("move", { start: began, end: performance.now() });
    }
  } while (mine.again && going === mine);
  mine.asking = false;
}

function draw(seen) {
  const fresh = drawn(seen.svg);
  for (const name of ["bubbles", "lettering"]) {
    for (const group of fresh.querySelectorAll(`#${name} > g`)) layer(name).querySelector(`[id="${group.id}"]`)?.replaceWith(group);
  }
  const now = seen.lines.find((one) => one.number === going.number);
  const from = ({ centre }) => `translate(${now.centre[0] - centre[0]} ${now.centre[1] - centre[1]})`;
  layer("lettering").querySelector(`[id="lettering-${going.number}"]`)?.setAttribute("transform", from(drawnLine(going.number)));
  layer("hands").querySelector(`[data-line="${going.number}"]`)?.setAttribute("transform", from(going.drawnAs));
  now.tips.forEach((tip, index) => layer("hands").querySelector(`[data-id="tip-${index}"]`)?.setAttribute("transform", `translate(${tip.join(" ")})`));
  tellBroken(seen.broken, going.number);
}

/** Say beside the spread, and mark on the bubble, which rules it breaks where it is. */
function tellBroken(broken, number) {
  document.getElementById("lacks").textContent = allInWords(broken, number);
  layer("hands").querySelector(`[data-line="${number}"]`)?.classList.toggle("breaks", broken.length > 0);
}

const RULES = {
  safe: "leaves the safe area",
  gutter: "lies in the gutter",
  figure: "covers a figure",
  "keep-clear": "covers a place to keep clear",
  overlap: "overlaps a bubble",
  tail: "has a tail that crosses something",
  order: "is read out of order",
};

/** Return what a line breaks as one sentence, each rule once. */
function allInWords(broken, number) {
  const rules = new Map(broken.map((one) => [one.rule, one]));
  const parts = [...rules.values()].map(({ rule, detail }) => `${RULES[rule] ?? `breaks the rule ${rule}`}${detail ? ` (${detail})` : ""}`);
  return parts.length ? `Line ${number} ${parts.join(", ")}.` : "";
}

writtenFirst(leave);

/** Leave the line where it is: it is held now, and the others settle. */
async function leave() {
  clearTimeout(rest);
  const mine = going;
  if (!mine?.live || mine.leaving) return;
  mine.leaving = true;
  await changing(async () => {
    let left;
    do {
      const wished = wish(mine);
      left = JSON.stringify(wished);
      const spread = await tell("/api/drop", { ...wished, was: mine.was });
      // What moved by this was not moved by another program.
      for (const one of moves) if (one.spread === spread.index) one.was = spread.lines[one.number - 1].centre;
      lieChanged(spread);
      if (spread.broken.length) say(allInWords(spread.broken, spread.broken[0].lines[0]));
      // A key that was pressed meanwhile has moved it on.
    } while (going === mine && JSON.stringify(wish(mine)) !== left);
    forget(mine);
  });
  forget(mine);
  changed("spread", "choice");
}
