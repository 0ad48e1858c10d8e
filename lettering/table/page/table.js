// What lies on the table now, and who draws it when it changes.

import { ask, tell, Refused } from "./ask.js";

export const table = {
  /** The whole book in brief, as /api/book tells it. */
  all: null,
  /** The spread that is looked at, in full. */
  spread: null,
  index: 0,
  /** Number of the line that is chosen. */
  line: null,
  /** The figure that is chosen: { who, number }, or { clear: number }. */
  figure: null,
  /** What the next stroke on the art draws, see figures.js. */
  stroke: null,
  sheet: "lines",
  shown: remembered(),
};

const watchers = new Set();

/** Have `draw` called whenever the table changes; it is told what did: "book", "spread", "choice". */
export function watch(draw) {
  watchers.add(draw);
}

export function changed(...what) {
  for (const draw of watchers) draw(new Set(what));
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

/** Do something that the server may refuse, and say so when it does. */
export async function trying(deed) {
  try {
    return await deed();
  } catch (error) {
    if (!(error instanceof Refused) && !(error instanceof TypeError)) throw error;
    say(error instanceof Refused ? error.message : "The table does not answer. Is it still running?", "trouble");
    if (error.status === 409 || error.status === 423) await look();
    return null;
  }
}

let looking = null;
let again = false;

/** Read book and spread anew; one at a time, and once more when asked meanwhile. */
export function look() {
  if (looking) {
    again = true;
    return looking;
  }
  looking = (async () => {
    do {
      again = false;
      table.all = await ask("/api/book");
      const spreads = table.all.book?.spreads ?? [];
      table.index = Math.max(0, Math.min(table.index, spreads.length - 1));
      table.spread = spreads.length ? await ask(`/api/spreads/${table.index}`) : null;
    } while (again);
    changed("book", "spread");
  })().finally(() => (looking = null));
  return looking;
}

export async function open(index, line = null) {
  table.index = index;
  table.line = line;
  table.figure = null;
  table.spread = await ask(`/api/spreads/${index}`);
  changed("spread", "choice");
}

/** Change the book file; `fields` say what, see edits.py. */
export async function edit(kind, fields) {
  return trying(async () => {
    await tell("/api/edit", { kind, ...fields });
    await look();
    return true;
  });
}

export function choose(sheet) {
  table.sheet = sheet;
  table.stroke = null;
  changed("choice");
}

export function pick(line) {
  table.line = line;
  changed("choice");
}

export function show(name, on) {
  table.shown[name] = on;
  localStorage.setItem("shown", JSON.stringify(table.shown));
  changed("choice");
}

function remembered() {
  try {
    return { trim: false, bleed: false, safe: false, gutter: false, figures: false, path: false, quiet: false, ...JSON.parse(localStorage.getItem("shown") ?? "{}") };
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
