// The slip of the lines: words, who says them and how (see manner.js), rows, held or free; a new line.

import { tell } from "./ask.js";
import { refusal, written } from "./asked.js";
import { button, choice, el } from "./dom.js";
import { hold, stackAs } from "./lettering.js";
import { companions, manner, speakers, together } from "./manner.js";
import { realSlip } from "./realsize.js";
import { changed, edit, pick, table, trying, whose } from "./table.js";

/** Rows that lines may stand in, by what they say and how. */
const offered = new Map();

export function linesSlip() {
  const { spread } = table;
  if (!spread) return [el("p", {}, "There is no spread yet.")];
  return [
    el("h2", {}, `Lines of ${spread.label}`),
    el("p", { id: "keys", class: "hint" }, "Drag a bubble, or move it with the arrow keys: 1 mm, with Shift 0.1 mm. H holds it or lets it loose."),
    el("ol", { class: "lines" }, spread.lines.map(entry)),
    newLine(spread),
    el("div", { class: "deeds" },
      button("Place this spread again", () => trying(() => tell("/api/task", { kind: "place-spread", spread: table.index }), { at: "placing" }), { disabled: !spread.ready }),
      button("Place all", () => trying(() => tell("/api/task", { kind: "place-all" }), { at: "placing" }))),
    refusal("placing"),
    realSlip(),
  ];
}

function entry(line) {
  const open = table.line === line.number;
  const head = el(
    "button",
    { type: "button", class: "who", "aria-expanded": String(open), "data-id": `entry-${line.number}`, onclick: () => pick(open ? null : line.number) },
    el("span", { class: "name" }, `${line.number}  ${whose(line)}`),
    el("span", { class: "says" }, line.shown),
    line.held ? el("span", { class: "held" }, "held") : null,
  );
  return el("li", { class: open ? "open" : "" }, head, open ? el("div", { class: "inside" }, inside(line)) : null);
}

function inside(line) {
  const seen = { spread: table.index, line: line.number, was: line.says };
  const at = `line ${table.index} ${line.number}`;
  // What is not written over may follow what this page wrote just before.
  const about = (more) => (now) => ({ ...seen, was: now.lines[line.number - 1]?.says ?? "", ...more });
  const parts = [
    written("Words", line.says, (says, place, over) => edit("words", over ? about({ says }) : { ...seen, says }, place), { rows: 3, id: "words", at: `${at} words`, spellcheck: "true" }),
    ...manner(line, about, at),
  ];
  if (line.body) {
    parts.push(rowsChoice(line), button(line.held ? "Let it loose" : "Hold it here", () => hold(line), { "data-id": "hold" }));
  }
  parts.push(button("Take the line out", () => edit("no-line", seen, { at }), { class: "away" }));
  return parts;
}

function rowsChoice(line) {
  const key = `${table.index} ${line.number} ${line.says} ${line.voice} ${line.xHeight}`;
  const group = el("fieldset", { class: "stacks" }, el("legend", {}, "Rows"));
  const draw = (every) =>
    group.append(
      ...every.map((rows, index) => {
        const same = rows.join("\n") === line.rows.join("\n");
        return el(
          "label",
          { class: "stack" },
          el("input", { type: "radio", name: "rows", checked: same, "data-id": `rows-${index}`, onchange: () => stackAs(line, rows) }),
          el("span", {}, rows.map((row) => el("span", { class: "row" }, row))),
        );
      }),
    );
  if (offered.has(key)) draw(offered.get(key));
  else {
    trying(async () => {
      const { rows } = await tell("/api/rows", { spread: table.index, line: line.number });
      if (offered.size > 200) offered.clear();
      offered.set(key, rows);
      if (group.isConnected) draw(rows);
    });
  }
  return group;
}

/** A line that is being written and is not in the book yet: the keys of who speaks, and the words. */
const draft = { who: [], says: "" };

function newLine(spread) {
  const every = speakers();
  draft.who = draft.who.filter((one) => every.some(([key]) => key === one));
  if (!draft.who.length) draft.who = [every[0][0]];
  const take = (who) => {
    draft.who = who;
    changed("choice");
  };
  const says = el("textarea", { rows: 2, id: "new-says", "data-kept": true, value: draft.says, oninput: () => (draft.says = says.value) });
  const add = async () => {
    if (await edit("new-line", { spread: spread.index, who: draft.who.join(" + "), says: draft.says }, { at: "new-line" })) {
      draft.says = "";
      changed("choice");
    }
  };
  return el("details", {}, el("summary", {}, "Another line"),
    choice("Speaker", draft.who[0], every, (who) => take([who]), { id: "new-who" }),
    companions(draft.who, (key, on) => take(together(draft.who, key, on)), "new-with"),
    el("label", { class: "field" }, el("span", {}, "Words"), says),
    button("Add it", add),
    refusal("new-line"));
}
