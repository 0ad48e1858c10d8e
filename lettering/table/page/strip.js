// The strip of all spreads, small, with what the checks found on each.

import { el, fill } from "./dom.js";
import { open, openBeside, table, trying } from "./table.js";

const MARKS = { error: "errors", warning: "warnings" };

export function drawStrip(strip) {
  const had = strip.contains(document.activeElement) ? table.index : null;
  fill(strip, el("ul", {}, table.all.book.spreads.map(thumbnail)));
  if (had !== null) strip.querySelector("[aria-current]")?.focus({ preventScroll: true });
}

function thumbnail(spread) {
  const found = spread.ready ? counted(spread.counts) : "not lettered yet";
  const current = spread.index === table.index;
  return el(
    "li",
    { "data-spread": spread.index },
    el(
      "button",
      {
        type: "button",
        "aria-current": current ? "true" : null,
        onclick: () => trying(() => open(spread.index)),
        onkeydown: (event) => step(event),
      },
      el("img", { src: `/api/spreads/${spread.index}/thumbnail?v=${spread.stamp}`, alt: "", loading: "lazy", class: spread.pages.length > 1 ? "two" : "one" }),
      el("span", { class: "label" }, spread.label),
      el("span", { class: `found ${spread.ready ? "" : "waits"}`, "aria-hidden": "true" }, found ? mark(spread) : ""),
      el("span", { class: "unseen" }, ` ${found || "no findings"}`),
    ),
  );
}

function counted(counts) {
  return Object.entries(MARKS)
    .filter(([kind]) => counts[kind])
    .map(([kind, words]) => `${counts[kind]} ${counts[kind] === 1 ? words.slice(0, -1) : words}`)
    .join(", ");
}

function mark(spread) {
  if (!spread.ready) return "…";
  return [spread.counts.error && `${spread.counts.error} !`, spread.counts.warning && `${spread.counts.warning} ?`].filter(Boolean).join("  ");
}

function step(event) {
  const steps = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (!steps) return;
  event.preventDefault();
  trying(() => openBeside(steps));
}
