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
addEventListener("pointerdown", () => (pressed = true), true);
for (const kind of ["pointerup", "pointercancel"]) {
  addEventListener(
    kind,
    () =>
      setTimeout(() => {
        pressed = false;
        if (waiting.size) changed();
      }),
    true,
  );
}

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
  fading = setTimeout(() => (at.textContent = ""), kind === "trouble" ? 12000 : 5000);
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
      const all = await ask("/api/book");
      const spreads = all.book?.spreads ?? [];
      const index = Math.max(0, Math.min(table.index, spreads.length - 1));
      const spread = spreads.length ? await ask(`/api/spreads/${index}`) : null;
      if (underway) return;
      Object.assign(table, { all, index });
      lie(spread);
    } while (again);
    changed("book", "spread");
  })().finally(() => (looking = null));
  return looking;
}

export async function open(index, line = null, finding = null) {
  table.index = index;
  table.finding = finding;
  table.line = line;
  table.figure = null;
  lie(await ask(`/api/spreads/${index}`));
  changed("spread", "choice");
}

/** Let a spread lie on the table as the server told it. */
export function lie(spread) {
  table.spread = spread;
  table.served = spread && structuredClone({ figures: spread.figures, keepClear: spread.keepClear });
}

let last = Promise.resolve();
/** Changes of this page that have not come back yet; until they have, what is looked up is old. */
let underway = 0;

/**
 * Change the book file; `fields` say what, see edits.py, or are a function that says it once the changes before it
 * are written; one that asks for it is given the spread as it is then.
 *
 * `place` is where on the page it was asked for, and what was typed there, see `trying`.
 */
export function edit(kind, fields, place) {
  underway += 1;
  last = last.then(async () => {
    const done = await trying(async () => {
      const given = typeof fields === "function" ? fields(fields.length ? await ask(`/api/spreads/${table.index}`) : null) : fields;
      return tell("/api/edit", { kind, ...given });
    }, place);
    underway -= 1;
    await trying(look);
    return done !== null;
  });
  return last;
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
