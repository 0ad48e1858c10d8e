// One letter on its paper, large, in the place of the spread: named, split by a stroke, joined with its neighbour.

import { ask } from "./ask.js";
import { button, el, svgEl } from "./dom.js";
import { address, changeHand, cropOf, hand, load, whence } from "./hand-state.js";
import { strokeOn } from "./stroke.js";
import { changed, say, table, trying } from "./table.js";

/** The drawing that is looked at: what is known of it, and of which state of the hand; and which was asked for last. */
export const letter = { seen: null, asked: null, revision: -1, stroke: null, changing: false };

export function lookAtLetter(take) {
  return letter.seen?.name === take.name ? close() : showLetter(take);
}

function showLetter(take) {
  return trying(async () => {
    letter.asked = take.name;
    const seen = await ask(address("/letter", { take: take.name }));
    if (letter.asked !== take.name) return;
    Object.assign(letter, { seen, revision: table.all.revision });
    changed("choice");
  });
}

/** See whether the letter is there still after a change, by this page or another. */
export async function lookAgain() {
  if (!letter.seen || letter.changing || letter.revision === table.all.revision) return;
  letter.revision = table.all.revision;
  const had = letter.seen;
  const seen = await ask(address("/letter", { take: had.name })).catch(() => null);
  const same = seen && ["char", "page", "row", "place", "aside"].every((part) => seen[part] === had[part]);
  if (letter.seen === had && !same) close();
}

function close() {
  letter.seen = letter.asked = null;
  changed("spread", "choice");
}

/** Change the letter; then the next doubtful one is looked at if this was one, else the spread again. */
async function make(kind, fields, done) {
  const { seen } = letter;
  const place = hand.seen.aside.findIndex((one) => one.name === seen.name);
  letter.changing = true;
  if (await changeHand(kind, fields)) {
    say(done);
    await load();
    const aside = hand.seen?.aside ?? [];
    if (letter.seen !== seen);
    else if (place >= 0 && aside.length) await showLetter(aside[place % aside.length]);
    else close();
  }
  letter.changing = false;
}

/** Return the letter on its paper, for the place of the spread. */
export function letterSheet() {
  const { seen } = letter;
  return el("section", { id: "letter", "aria-label": `${seen.char || "Ink"} on its paper` },
    el("div", { class: "whence" },
      el("p", {}, seen.aside ? `Set aside: ${seen.aside}. ` : "", `From ${whence(seen)}.`, seen.px ? " The red line is its outline." : "", " Is it two letters? Draw a stroke between them."),
      button("Back to the spread", close, { "data-id": "letter-close" })),
    strokeOn(cropOf(seen), seen.size, (stroke) => (letter.stroke = stroke), traced(seen)),
    el("div", { class: "mending" }, isPart(seen), splitPart(seen), joinPart(seen)));
}

/** Return the outline that was traced, where it lies on the paper; null when that was not kept. */
function traced({ px, size, drawn: { d, box: [x, y, width, height] } }) {
  const place = `translate(${size.map((v) => v / 2).join(" ")}) scale(${px}) translate(${-x - width / 2} ${-y - height / 2})`;
  return px && svgEl("path", { class: "traced", d, transform: place });
}

function naming(words, value, id) {
  const input = el("input", { id, value, size: 3, maxlength: 4, autocomplete: "off", spellcheck: "false" });
  return { input, label: el("label", { class: "naming" }, el("span", {}, words), input) };
}

function isPart(seen) {
  const several = seen.letters.length > 1;
  const { input, label } = naming("It is", several ? "" : seen.char, "letter-is");
  const name = () => make("rename-take", { take: seen.name, char: input.value }, `It is ${input.value} now.`);
  return el("fieldset", {}, el("legend", {}, "One letter"), label,
    el("div", { class: "deeds" },
      button(seen.aside ? "Use it" : "Name it so", name, { "data-id": "letter-name" }),
      button("Drop it", () => make("drop-take", { take: seen.name }, "Dropped."), { class: "away", "data-id": "letter-drop" })));
}

function splitPart(seen) {
  const [a, ...others] = seen.letters.length > 1 ? seen.letters : [""];
  const first = naming("Left of the stroke", a, "split-first");
  const second = naming("Right of it", others.join(""), "split-second");
  const split = () => make("split-take", { take: seen.name, stroke: letter.stroke, first: first.input.value, second: second.input.value }, "Split in two.");
  return el("fieldset", {}, el("legend", {}, "Two letters"), first.label, second.label, el("div", { class: "deeds" }, button("Split it", split, { "data-id": "letter-split" })));
}

function joinPart(seen) {
  const beside = [["before", seen.before], ["after", seen.after]].filter(([, one]) => one?.crop);
  if (!beside.length) return null;
  const { input, label } = naming("Joined it is", "", "join-as");
  return el("fieldset", {}, el("legend", {}, "Half a letter"), label,
    el("div", { class: "deeds" }, beside.map(([side, one]) =>
      button(["Join ", el("img", { src: cropOf(one), alt: one.char || "ink" }), ` ${side} it`], () => make("join-takes", { take: seen.name, other: one.name, char: input.value }, "Joined into one."), { "data-id": `join-${side}` }))));
}
