// What lies on the table now, and who draws it when it changes.

import { ask, tell, Refused } from "./ask.js";
import { refused, settled } from "./refusals.js";

export const table = {
  /** The whole book in brief, as /api/book tells it. */
  all: null,
  /** The spread that is looked at, in full. */
  spread: null,
  /** Its figures and places to keep clear as the server has them, while a hand changes them here. */
  served: null,
  index: 0,
  /** Number of the line that is chosen. */
  line: null,
  /** The finding that is looked at. */
  finding: null,
  /** The figure that is chosen: { who, number }, or { clear: number }. */
  figure: null,
  /** What the next stroke on the art draws, see figures.js. */
  stroke: null,
  /** The former round that is seen beside the spread. */
  beside: null,
  sheet: "lines",
  shown: remembered(),
};

const watchers = new Set();

/** Have `draw` called whenever the table changes; it is told what did: "book", "spread", "choice". */
export function watch(draw) {
  watchers.add(draw);
}

// Nothing is drawn anew under a finger that is down: its press would be lost with what it pressed.
let pressed = false;
let waiting = new Set();
const lifting = [];
addEventListener("pointerdown", () => (pressed = true), true);
for (const kind of ["pointerup", "pointercancel"]) addEventListener(kind, () => setTimeout(lift), true);
// The browser does not always tell that a finger was lifted: over a menu of its own, or outside its window.
addEventListener("pointermove", ({ buttons }) => pressed && !buttons && lift(), true);

function lift() {
  pressed = false;
  for (const lifted of lifting.splice(0)) lifted();
  if (waiting.size) changed();
}

/** Draw nothing anew while a file is held over the page: what it is dropped on would be gone. */
export function keepStill(still) {
  if (still) pressed = true;
  else lift();
}

const released = () => new Promise((lifted) => lifting.push(lifted));

export function changed(...what) {
  for (const one of what) waiting.add(one);
  if (pressed) return;
  const now = waiting;
  waiting = new Set();
  for (const draw of watchers) draw(now);
}

const saidAt = () => document.getElementById("said");
let fading;

/** Say a sentence to all, also to those who do not see. */
export function say(words, kind = "note") {
  const at = saidAt();
  at.textContent = words;
  at.dataset.kind = kind;
  clearTimeout(fading);
  fading = setTimeout(() => (at.textContent = ""), kind === "trouble" ? 12000 : 8000);
}

/**
 * Do something that the server may refuse, and say so when it does: to all, and `at` its place on the page.
 *
 * What was `typed` there stays there.
 */
export async function trying(deed, { at = null, typed } = {}) {
  try {
    const given = await deed();
    if (at && settled(at)) changed("choice");
    return given;
  } catch (error) {
    if (!(error instanceof Refused) && !(error instanceof TypeError)) throw error;
    const said = error instanceof Refused ? error.message : "The table does not answer. Is it still running?";
    if (at) {
      refused(at, { said, status: error.status, typed });
      changed("choice");
    }
    // What stands beside its place need not be shown twice.
    say(said, at && document.querySelector(`[data-refused="${CSS.escape(at)}"]`)?.checkVisibility() ? "heard" : "trouble");
    if (error.status === 409 || error.status === 423) await look();
    return null;
  }
}

let looking = null;
let again = false;
/** The spread that was asked for last; it lies on the table once it has come. */
let wanted = 0;

/** Read book and spread anew; one at a time, and once more when asked meanwhile. */
export function look() {
  if (underway) return Promise.resolve();
  if (looking) {
    again = true;
    return looking;
  }
  looking = (async () => {
    do {
      again = false;
      const before = wanted;
      const all = await ask("/api/book");
      const spreads = all.book?.spreads ?? [];
      const index = Math.max(0, Math.min(before, spreads.length - 1));
      const spread = spreads.length ? await ask(`/api/spreads/${index}`) : null;
      if (underway) return;
      // What she holds stays as it is until she lets go; another spread may have been asked for meanwhile.
      if (pressed || wanted !== before) {
        if (pressed) await released();
        again = true;
      } else {
        wanted = index;
        Object.assign(table, { all, index });
        lie(spread);
      }
    } while (again);
    changed("book", "spread");
  })().finally(() => (looking = null));
  return looking;
}

/** Look at another spread of the book, and at a line or a finding there. */
export async function open(index, line = null, finding = null) {
  wanted = index;
  const spread = await ask(`/api/spreads/${index}`);
  if (wanted !== index) return;
  Object.assign(table, { index, line, finding, figure: null });
  lie(spread);
  changed("spread", "choice");
}

/** Look at the spread so many further on than the one that was asked for last. */
export function openBeside(steps) {
  return table.all.book.spreads[wanted + steps] ? open(wanted + steps) : null;
}

/** Let a spread lie on the table as the server told it. */
function lie(spread) {
  table.spread = spread;
  table.served = spread && structuredClone({ figures: spread.figures, keepClear: spread.keepClear });
}

/** Let a spread lie there as it came back from a change, if it is looked at still. */
export function lieChanged(spread) {
  if (spread.index !== table.index) return;
  lie(spread);
  changed("spread", "choice");
}

let last = Promise.resolve();
/** Changes of this page that have not come back yet; until they have, what is looked up is old. */
let underway = 0;

/** Change the book once all that was changed before is written: in the order in which she did it. */
function inTurn(deed) {
  underway += 1;
  const turn = last.then(deed).finally(() => (underway -= 1));
  last = turn.catch(() => {});
  return turn;
}

const nudged = [];

/** Have `write` called before anything else changes: it writes what the arrow keys moved, if they only just rest. */
export function writtenFirst(write) {
  nudged.push(write);
}

/** Do in its turn what changes the book and what the server may refuse, see `trying`; then look at it anew. */
export async function changing(deed, place) {
  for (const write of nudged) write();
  const given = await inTurn(() => trying(deed, place));
  await trying(look);
  return given;
}

/**
 * Change the book file; `fields` say what, see edits.py, or are a function that says it once the changes before it
 * are written; one that asks for it is given the spread as it is then.
 *
 * `place` is where on the page it was asked for, and what was typed there, see `trying`; `written` is called as soon
 * as it is written, before the next change.
 */
export async function edit(kind, fields, place, written = () => {}) {
  const { index } = table;
  const done = await changing(async () => {
    const given = typeof fields === "function" ? fields(fields.length ? await ask(`/api/spreads/${index}`) : null) : fields;
    const all = await tell("/api/edit", { kind, ...given });
    written();
    return all;
  }, place);
  return done !== null;
}

/** Undo or redo, by its address, and look at the spread that it was on. */
export function step(path) {
  return changing(async () => {
    const { spread } = await tell(path);
    wanted = spread ?? wanted;
  });
}

export function choose(sheet) {
  if (table.shown.alone) show("alone", false);
  table.sheet = sheet;
  table.stroke = null;
  table.finding = null;
  changed("choice");
}

export function pick(line) {
  table.line = line;
  table.finding = null;
  changed("choice");
}

export function show(name, on) {
  table.shown[name] = on;
  localStorage.setItem("shown", JSON.stringify(table.shown));
  changed("choice");
}

function remembered() {
  try {
    return { trim: false, bleed: false, safe: false, gutter: false, figures: false, path: false, quiet: false, alone: false, ...JSON.parse(localStorage.getItem("shown") ?? "{}") };
  } catch {
    return {};
  }
}

/** Return how a character is called. */
export function called(key) {
  return table.all.book.cast.find((one) => one.key === key)?.name ?? key;
}

/** Return who says a line. */
export function whose(line) {
  if (line.who.length) return line.who.map(called).join(" and ");
  return line.voice === "sound" ? "Sound" : "Caption";
}
