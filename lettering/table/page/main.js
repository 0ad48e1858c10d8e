// The light table: puts its parts on the page and listens to what happens.

import { listen, sentence, tell } from "./ask.js";
import { button, el, fill } from "./dom.js";
import { refused, settled } from "./refusals.js";
import { drawStage } from "./stage.js";
import { readyDrops } from "./drops.js";
import { readyStrokes } from "./strokes.js";
import { drawStrip } from "./strip.js";
import { table, watch, look, say, step, choose, show, trying, changed } from "./table.js";
import { showRefusals } from "./asked.js";
import { begin } from "./beginning.js";
import { linesSlip } from "./lines.js";
import { figuresSlip } from "./figures.js";
import { bookSlip } from "./book.js";
import { handSlip, onStage } from "./hand.js";
import { putAway } from "./lettered-pages.js";
import { checksSlip } from "./checks.js";
import { handOffSlip } from "./handoff.js";

const SHEETS = {
  lines: ["Lettering", linesSlip],
  figures: ["Figures", figuresSlip],
  book: ["Book", bookSlip],
  hand: ["Hand", handSlip],
  checks: ["Checks", checksSlip],
  handoff: ["Proof and hand-off", handOffSlip],
};

const SHOWN = {
  trim: "trim",
  bleed: "bleed",
  safe: "safe area",
  gutter: "gutter",
  figures: "figures",
  path: "reading path",
  quiet: "quiet map",
};

/** Where on the page a task was asked for, when that is not called as the task is. */
const PLACES = { "place-spread": "placing", "place-all": "placing" };

const at = (id) => document.getElementById(id);

function drawHead() {
  const { all } = table;
  const words = all.book && all.trouble.length ? `${all.file} cannot be read, and nothing can be changed until it is mended in an editor: ${all.trouble.join("\n")}` : "";
  if (at("trouble").textContent !== words) at("trouble").textContent = words;
  at("title").textContent = all.book?.title ?? "Light table";
  document.title = `${at("title").textContent} – light table`;
  for (const [id, label, word] of [["undo", all.undo, "Undo"], ["redo", all.redo, "Redo"]]) {
    at(id).disabled = !label;
    at(id).title = label ? `${word}: ${label}` : "";
  }
}

function drawTabs() {
  const faults = (table.all.book?.findings ?? []).filter((one) => !one.accepted && one.severity !== "note").length;
  if (at("sheets").childElementCount) return markTabs(faults);
  const tabs = Object.entries(SHEETS).map(([name, [words]]) =>
    button(words, () => choose(name), {
      role: "tab",
      id: `tab-${name}`,
      "aria-controls": "slip",
      onkeydown: (event) => turn(event, name),
    }),
  );
  fill(at("sheets"), tabs);
  markTabs(faults);
}

function markTabs(faults) {
  for (const [name, [words]] of Object.entries(SHEETS)) {
    const tab = at(`tab-${name}`);
    tab.textContent = name === "checks" && faults ? `${words} (${faults})` : words;
    tab.setAttribute("aria-selected", String(table.sheet === name));
    tab.tabIndex = table.sheet === name ? 0 : -1;
  }
  if (document.activeElement?.role === "tab") at(`tab-${table.sheet}`).focus();
  at("slip").setAttribute("aria-labelledby", `tab-${table.sheet}`);
}

function turn(event, name) {
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (!step) return;
  event.preventDefault();
  const names = Object.keys(SHEETS);
  choose(names[(names.indexOf(name) + step + names.length) % names.length]);
}

function drawShown() {
  const boxes = Object.entries(SHOWN).map(([name, words]) =>
    el("label", {}, el("input", { type: "checkbox", id: `show-${name}`, checked: table.shown[name], onchange: (event) => show(name, event.target.checked) }), words),
  );
  at("shown").replaceChildren(el("legend", {}, "Show"), ...boxes);
}

let drawnSlip = null;
let owed = false;

// What could not be drawn while something was being written is drawn when that is left.
at("slip").addEventListener("focusout", () => setTimeout(() => owed && changed("choice")));

/** Draw the slip, unless a field on it is being written in: it is drawn once that is left. */
function drawSlip() {
  const slip = at("slip");
  const busy = slip.contains(document.activeElement) && /^(INPUT|TEXTAREA|SELECT)$/.test(document.activeElement.nodeName) && drawnSlip === table.sheet;
  if (busy && document.activeElement.dataset.kept !== undefined) {
    owed = true;
    showRefusals(slip);
    return;
  }
  owed = false;
  const { activeElement: had } = document;
  const focused = (slip.contains(had) && (had.dataset.id ?? had.id)) || null;
  const caret = focused && had.nodeName === "INPUT" && had.type === "text" ? had.selectionStart : null;
  const top = slip.scrollTop;
  const unfolded = drawnSlip === table.sheet ? [...slip.querySelectorAll("details[open] > summary")].map((one) => one.textContent) : [];
  fill(slip, SHEETS[table.sheet][1]());
  for (const summary of slip.querySelectorAll("details > summary")) summary.parentElement.open ||= unfolded.includes(summary.textContent);
  if (drawnSlip === table.sheet) slip.scrollTop = top;
  drawnSlip = table.sheet;
  const again = focused && (slip.querySelector(`[data-id="${CSS.escape(focused)}"]`) ?? document.getElementById(focused));
  again?.focus({ preventScroll: true });
  if (again && caret !== null) again.setSelectionRange(caret, caret);
}

/** What lies in the place of the spread, if anything does. */
let lying;

watch((what) => {
  const { all } = table;
  if (!all) return;
  document.body.dataset.state = all.book ? "book" : "bare";
  document.body.dataset.alone = table.shown.alone ? "yes" : "no";
  at("alone").setAttribute("aria-pressed", String(Boolean(table.shown.alone)));
  drawHead();
  drawTabs();
  for (const name of Object.keys(SHOWN)) at(`show-${name}`).checked = Boolean(table.shown[name]);
  if (!all.book) {
    fill(at("paper"), begin());
    fill(at("strip"));
    fill(at("slip"));
    return;
  }
  if (what.has("book") || what.has("spread") || what.has("choice")) drawStrip(at("strip"));
  const other = table.sheet === "hand" ? onStage() : null;
  if (!other) drawStage(at("paper"), what);
  else if (lying !== other.known) fill(at("paper"), other.draw());
  lying = other?.known;
  drawSlip();
});

function drawTask({ task, done, total }) {
  at("task").hidden = false;
  at("task-name").textContent = task;
  at("progress").max = total || 1;
  at("progress").value = done;
}

at("alone").addEventListener("click", () => show("alone", !table.shown.alone));
at("undo").addEventListener("click", () => step("/api/undo"));
at("redo").addEventListener("click", () => step("/api/redo"));
at("cancel").addEventListener("click", () => trying(() => tell("/api/cancel")));

addEventListener("keydown", (event) => {
  const writing = /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.nodeName) && event.target.type !== "checkbox";
  if (writing || !(event.ctrlKey || event.metaKey)) return;
  const key = event.key.toLowerCase();
  if (key !== "z" && key !== "y") return;
  event.preventDefault();
  step(key === "y" || event.shiftKey ? "/api/redo" : "/api/undo");
});

let revision = 0;
listen({
  hello: () => trying(look),
  changed: ({ outside, revision: now }) => {
    if (now !== undefined) revision = now;
    if (outside === "read") say("The files were changed by another program. The change is on the table.");
    if (now === undefined || now !== table.all?.revision) trying(look);
  },
  findings: () => trying(look),
  progress: (facts) => {
    drawTask(facts);
    if (facts.done >= facts.total) setTimeout(() => (at("task").hidden = true), 400);
  },
  ended: ({ outcome, said: told, task, asked }) => {
    const said = sentence(told);
    at("task").hidden = true;
    say(outcome === "done" ? `Done: ${task}.` : said, outcome === "failed" ? "trouble" : "note");
    if (outcome === "failed") refused(PLACES[asked] ?? asked, { said });
    else settled(PLACES[asked] ?? asked);
    if (outcome === "done" && task === "gathering the page") putAway(said);
    trying(look);
  },
  gone: () => say("The table does not answer. Is it still running?", "trouble"),
});

drawShown();
readyStrokes(at("paper"));
readyDrops();
