// The slip of the checks: every finding; a click goes there.

import { button, el } from "./dom.js";
import { figures } from "./guides.js";
import { open, table, trying } from "./table.js";

const KINDS = { error: "Error", warning: "Warning", note: "Note" };

export function checksSlip() {
  const { findings, spreads } = table.all.book;
  const waits = spreads.filter((one) => !one.ready);
  const still = findings.filter((one) => !one.accepted);
  const accepted = findings.filter((one) => one.accepted);
  return [
    el("h2", {}, "Checks"),
    el("p", {}, still.length ? `${still.length} ${still.length === 1 ? "finding" : "findings"}.` : "Nothing is found wrong."),
    waits.length ? el("section", {}, el("h3", {}, "Not lettered yet"), el("ul", { class: "findings" }, waits.map((one) => el("li", {}, go(one.index, null, one.label), el("p", {}, one.lacks.join(" ")))))) : null,
    ...groups(still),
    accepted.length ? el("details", {}, el("summary", {}, `${accepted.length} accepted`), el("ul", { class: "findings" }, accepted.map(entry))) : null,
  ];
}

function groups(findings) {
  const places = new Map();
  for (const finding of findings) {
    const label = finding.spread === null ? "The whole book" : table.all.book.spreads[finding.spread].label;
    places.set(label, [...(places.get(label) ?? []), finding]);
  }
  return [...places].map(([label, those]) => el("section", {}, el("h3", {}, label), el("ul", { class: "findings" }, those.map(entry))));
}

function entry(finding) {
  return el("li", { class: finding.severity },
    el("p", {}, el("b", {}, KINDS[finding.severity]), " ", finding.spread === null ? finding.where : go(finding.spread, finding.line, finding.line ? `line ${finding.line}` : finding.where, finding)),
    el("p", {}, finding.message.charAt(0).toUpperCase() + finding.message.slice(1)),
    finding.measured !== null && finding.wanted !== null ? el("p", { class: "measure" }, figures(finding), el("span", { class: "source" }, ` – ${finding.source}`)) : null,
    finding.accepted ? el("p", { class: "measure" }, `Accepted: ${finding.accepted}`) : null);
}

function go(index, line, words, finding = null) {
  return button(words, () => trying(async () => {
    await open(index, line, finding);
    document.querySelector(line ? `[data-id="line-${line}"]` : "#sheet")?.scrollIntoView({ block: "nearest" });
  }), { class: "go" });
}
