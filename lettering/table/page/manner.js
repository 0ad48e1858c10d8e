// Who says a line and how: alone or together, from where, joined to the line before; a caption's frame, a sound's way.

import { refusal, written } from "./asked.js";
import { choice, el } from "./dom.js";
import { called, edit, table } from "./table.js";

const VOICES = [["plain", "plain"], ["thought", "thought"], ["whisper", "whisper"], ["shout", "shout"]];
const SIDES = [["", "in the picture"], ["left", "off to the left"], ["right", "off to the right"], ["top", "off above"], ["bottom", "off below"]];
const FRAMES = [["", "soft corners"], ["straight", "straight corners"], ["none", "no frame"]];
const COURSES = [["", "straight rows"], ["arc", "an arc"], ["wave", "a wave"], ["rising", "rising"], ["shrinking", "shrinking"]];
const UNSPOKEN = [["caption", "Caption"], ["sound", "Sound"]];

/** Return all who may say a line, by key. */
export function speakers() {
  return [...table.all.book.cast.map((one) => [one.key, one.name]), ...UNSPOKEN];
}

/** Return `who` with one more who speaks, or one fewer. */
export function together(who, key, on) {
  const others = who.filter((one) => one !== key);
  return on ? [...others, key] : others;
}

/** Return with whom the first of `who` speaks, each to be ticked; nothing where nobody else is there. */
export function companions(who, take, id) {
  const others = table.all.book.cast.filter((one) => one.key !== who[0]);
  if (!others.length || UNSPOKEN.some(([key]) => key === who[0])) return null;
  return el("fieldset", { class: "together" }, el("legend", {}, "Together with"), others.map(({ key, name }) =>
    el("label", {}, el("input", { type: "checkbox", "data-id": `${id}-${key}`, checked: who.includes(key), onchange: (event) => take(key, event.target.checked) }), name)));
}

/** Return what can be set of a line besides its words; `about(more)` says which line it is, see lines.js. */
export function manner(line, about, at) {
  const { index } = table;
  const first = line.who[0] ?? line.voice;
  const set = (name) => (value) => edit("line-field", about({ name, value }), { at });
  const says = (change) => edit("speaker", (now) => {
    const who = now.lines[line.number - 1]?.who ?? [];
    return about({ who: change(who).join(" + ") })(now);
  }, { at });
  const parts = [
    choice("Speaker", first, speakers(), (key) => says((who) => (table.all.book.cast.some((one) => one.key === key) ? [key, ...who.slice(1).filter((one) => one !== key)] : [key])), { id: "speaker" }),
    line.who.length ? companions(line.who, (key, on) => says((who) => together(who, key, on)), "with") : null,
  ];
  if (line.who.length) {
    parts.push(
      choice("Voice", line.voice, VOICES, set("voice"), { id: "voice" }),
      choice("Where", line.off ?? "", SIDES, set("off"), { id: "off" }),
      figureChoice(line, set("from")),
      jointChoice(line, set("joint")));
  } else if (line.voice === "caption") {
    parts.push(choice("Frame", line.frame === "soft" ? "" : line.frame, FRAMES, set("frame"), { id: "frame" }));
  } else {
    const way = Array.isArray(line.along) ? [["points", "a way of its own"]] : [];
    parts.push(choice("Runs along", way.length ? "points" : line.along ?? "", [...way, ...COURSES], set("along"), { id: "along" }));
  }
  parts.push(refusal(at));
  if (line.voice === "sound") parts.push(outlineField(line, about, `sound outline ${index} ${line.number}`));
  return parts;
}

/** Return from which of several figures of the speaker the words come. */
function figureChoice(line, take) {
  const count = table.spread.figures.filter((one) => one.who === line.who[0]).length;
  if (line.who.length > 1 || line.off || Math.max(count, line.from) < 2) return null;
  const every = Array.from({ length: Math.max(count, line.from) }, (_, k) => [k ? String(k + 1) : "", `${called(line.who[0])} ${k + 1}`]);
  return choice("Figure", line.from > 1 ? String(line.from) : "", every, take, { id: "from" });
}

/** Return how the bubble meets that of the line before; nothing where there is none. */
function jointChoice(line, take) {
  const before = table.spread.lines[line.number - 2];
  if (!before?.who.length && !line.joint) return null;
  const same = before?.who.join() === line.who.join();
  const every = [["", "apart"], ...(same || line.joint === "neck" ? [["neck", "joined by a neck"]] : []), ["touching", "touching it"]];
  return choice("To the bubble before", line.joint ?? "", every, take, { id: "joint" });
}

function outlineField(line, about, at) {
  const send = (value, place) => edit("line-field", about({ name: "outline", value: value.trim() }), place);
  return written("Outline of the letters, mm", line.outline ? String(line.outline) : "", send, { id: "outline", at, inputmode: "decimal", placeholder: "none: the letters are black" });
}
