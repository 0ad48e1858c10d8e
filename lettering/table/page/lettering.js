// Bubbles and tails as what can be taken in the hand, held, let loose, and set in other rows.

import { tell } from "./ask.js";
import { box, grown } from "./boxes.js";
import { fill, svgEl } from "./dom.js";
import { isGoing, key, preview, take } from "./moving.js";
import { mmPerPx } from "./stage.js";
import { changing, lieChanged, pick, say, table, whose } from "./table.js";

export function linesOver(over) {
  if (isGoing()) return preview();
  const { spread } = table;
  const had = over.contains(document.activeElement) ? document.activeElement.dataset.id : null;
  const places = table.sheet === "figures" ? [] : spread.lines.filter((one) => one.body);
  fill(over, places.map(handle), tips(places.find((one) => one.number === table.line)));
  if (had) over.querySelector(`[data-id="${had}"]`)?.focus({ preventScroll: true });
}

function handle(line) {
  const held = line.held ? ", held" : "";
  return svgEl(
    "g",
    {
      class: `line${table.line === line.number ? " chosen" : ""}`,
      "data-id": `line-${line.number}`,
      "data-line": line.number,
      role: "button",
      tabindex: 0,
      "aria-label": `Line ${line.number}, ${whose(line)}: ${line.shown}${held}`,
      "aria-pressed": String(table.line === line.number),
      "aria-describedby": "keys",
      onfocus: () => table.line !== line.number && pick(line.number),
      onpointerdown: (event) => take(event, line, null),
      onkeydown: (event) => key(event, line, null),
    },
    svgEl("rect", { ...box(grown(line.body, 1)), rx: 3 }),
    line.held ? pin(line) : null,
  );
}

/** Return the mark of a held line: a drawing pin at its upper right. */
function pin(line) {
  const [x, y, width] = line.body;
  return svgEl("g", { class: "pin", transform: `translate(${x + width - 1} ${y + 1})` }, svgEl("circle", { r: 2.4 }), svgEl("circle", { r: 0.8, class: "hole" }));
}

function tips(line) {
  return (line?.tips ?? []).map((tip, index) =>
    svgEl(
      "g",
      {
        class: "tip",
        "data-id": `tip-${index}`,
        role: "button",
        tabindex: 0,
        "aria-label": `Tip of the tail${line.tips.length > 1 ? ` ${index + 1}` : ""} of line ${line.number}`,
        transform: `translate(${tip.join(" ")})`,
        onpointerdown: (event) => take(event, line, index),
        onkeydown: (event) => key(event, line, index),
      },
      svgEl("circle", { r: Math.max(2.2, 11 * mmPerPx()), class: "reach" }),
      svgEl("circle", { r: 1.5 }),
    ),
  );
}

export function hold(line) {
  const where = { spread: table.index, line: line.number };
  return changing(async () => {
    lieChanged(await (line.held ? tell("/api/release", where) : tell("/api/drop", where)));
    say(line.held ? `Line ${line.number} is free.` : `Line ${line.number} is held.`);
  });
}

export function stackAs(line, rows) {
  const where = { spread: table.index, line: line.number };
  return changing(async () => lieChanged(await tell("/api/drop", { ...where, rows })));
}
