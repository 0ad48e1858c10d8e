// The slip of the hand: lettered pages brought and read, every letter with its paper, a sentence tried.

import { ask, bring, tell } from "./ask.js";
import { button, drawn, el, field, fill, svgEl } from "./dom.js";
import { fileButton } from "./drops.js";
import { lookAt, photo } from "./corners.js";
import { changed, edit, say, table, trying } from "./table.js";

const hand = { seen: null, revision: -1, char: null, takes: [], page: null, reading: "", xHeight: "", paper: "", sentence: "", sides: null };

export function handSlip() {
  if (hand.revision !== table.all.revision) load();
  const { seen } = hand;
  return [el("h2", {}, seen?.name ? `The hand ${seen.name}` : "The hand"), seen ? lacking(seen) : el("p", {}, "Looking …"), pages(), seen?.there ? trial() : null, seen?.there ? letters(seen) : null];
}

async function load() {
  hand.revision = table.all.revision;
  await trying(async () => {
    hand.seen = await ask("/api/hand");
    if (hand.char) hand.takes = hand.seen.there ? await ask(`/api/hand/takes?char=${encodeURIComponent(hand.char)}`) : [];
    changed("choice");
  });
}

function lacking(seen) {
  if (seen.lacks.length) return el("p", { class: "waits" }, `${seen.there ? "The book needs, and the hand lacks" : "There is no hand yet. The book needs"}: ${seen.lacks.join(" ")}`);
  const parts = [el("p", {}, "The hand has every letter of the book.")];
  if (seen.few.length) parts.push(el("p", { class: "hint" }, `More takes would help: ${seen.few.map((one) => `${one.char} (${one.has} of ${one.wants})`).join(", ")}.`));
  if (seen.pairs.length) parts.push(el("p", { class: "hint" }, `Pairs worth lettering: ${seen.pairs.join("  ")}`));
  return el("div", {}, parts);
}

function pages() {
  const parts = [fileButton(hand.page ? "Another lettered page" : "Bring a lettered page", "image/*,.heic,.pdf", takePage, "page-file"), el("p", { class: "hint" }, "A scan or a photo of paper with your lettering.")];
  if (hand.page) {
    parts.push(
      el("p", { class: "hint" }, photo.seen ? "If it is a photo: pull the corners to those of the paper where they are not." : "If it is a photo: pull the corners to those of the paper. A scan needs none."),
      el("p", {}, `${hand.page} is here. What does it say?`),
      field("Reading, a row of lettering a row of text", hand.reading, (value) => (hand.reading = value), { rows: 6, id: "reading", "data-kept": true, spellcheck: "false" }),
      el("div", { class: "pair" },
        field("Height of an x on paper, when it is a scan without ppi", hand.xHeight, (value) => (hand.xHeight = value), { id: "x-height", placeholder: "6mm", "data-kept": true }),
        field("Size of the paper, when it is a photo", hand.paper, (value) => (hand.paper = value), { id: "paper-size", placeholder: "A4", "data-kept": true })),
      el("p", { class: "hint" }, "A printed sheet carries its own reading: leave it empty."),
      el("div", { class: "deeds" }, button("Gather its letters", gather), button("Put the page away", putAway)),
    );
  }
  return el("section", { "aria-label": "Lettered pages" }, parts);
}

async function takePage(file) {
  await trying(async () => {
    say(`Taking ${file.name} …`);
    hand.page = (await bring("page", file)).kept;
    say(`${hand.page} is kept.`);
    lookAt(hand.page, () => changed("choice"));
    changed("choice");
  });
}

/** Put the photo away; its letters are in the hand now, or it is not wanted. */
export function putAway() {
  hand.page = null;
  hand.reading = "";
  photo.name = null;
  changed("spread", "choice");
}

function gather() {
  return trying(() => tell("/api/task", { kind: "gather", page: hand.page, reading: hand.reading, xHeight: hand.xHeight, paper: hand.paper, corners: photo.own ? photo.corners : null }));
}

function trial() {
  const shown = el("div", { class: "tried" });
  const draw = async () => {
    if (!hand.sentence.trim()) return fill(shown);
    const seen = await trying(() => tell("/api/hand/try", { says: hand.sentence }));
    if (seen) fill(shown, drawn(seen.svg));
  };
  const input = el("input", { id: "sentence", value: hand.sentence, maxlength: 200 });
  input.addEventListener("input", () => {
    hand.sentence = input.value;
    draw();
  });
  if (hand.sentence) draw();
  return el("section", { "aria-label": "Try a sentence" }, el("label", { class: "field" }, el("span", {}, "Try a sentence"), input), shown);
}

function letters(seen) {
  return el("section", { "aria-label": "Letters" }, el("h3", {}, "Letters"),
    hand.char && hand.takes.length ? takes() : null,
    el("div", { class: "letters" }, seen.characters.map((one) =>
      el("button", { type: "button", "data-id": `char-${one.char}`, "aria-pressed": String(hand.char === one.char), "aria-label": `${one.char}, ${one.takes} ${one.takes === 1 ? "take" : "takes"}`, onclick: () => openChar(one.char) }, outline(one.first), el("small", {}, String(one.takes))))));
}

async function openChar(char) {
  await trying(async () => {
    hand.char = hand.char === char ? null : char;
    hand.takes = hand.char ? await ask(`/api/hand/takes?char=${encodeURIComponent(char)}`) : [];
    changed("choice");
  });
}

/** Return a letter on its baseline, all at one size: 0 is the baseline, the room is that of b and p together. */
function outline({ d, box: [x, , width] }) {
  const across = Math.max(width + 1, 7);
  return svgEl("svg", { viewBox: `${x + width / 2 - across / 2} -9 ${across} 13`, class: "letter", "aria-hidden": "true" }, svgEl("path", { d }));
}

function takes() {
  return el("ol", { class: "takes", "aria-label": `Takes of ${hand.char}` }, hand.takes.map((take, index) => {
    const rename = el("input", { value: take.char, size: 2, "aria-label": `Character that take ${index + 1} is`, "data-kept": true, "data-id": `name-${take.name}` });
    rename.addEventListener("change", () => edit("rename-take", { take: take.name, char: rename.value }));
    return el("li", {},
      hand.sides === take.name ? sides(take) : null,
      el("div", { class: "seen" }, take.crop ? el("img", { src: `/api/hand/crop?take=${encodeURIComponent(take.name)}&v=${table.all.revision}`, alt: `${take.char} on ${take.page}, row ${take.row}, place ${take.place}` }) : null, outline(take.drawn)),
      el("label", { class: "is" }, "is ", rename),
      button(index ? "Prefer" : "Usual", () => edit("prefer-take", { take: take.name }), { disabled: index === 0, "aria-label": `Prefer take ${index + 1}`, "data-id": `prefer-${take.name}` }),
      button("Sides", () => {
        hand.sides = hand.sides === take.name ? null : take.name;
        changed("choice");
      }, { "aria-expanded": String(hand.sides === take.name), "aria-label": `Sides of take ${index + 1}`, "data-id": `sides-${take.name}` }),
      button("Drop", () => edit("drop-take", { take: take.name }), { class: "away", "aria-label": `Drop take ${index + 1}`, "data-id": `drop-${take.name}` }));
  }));
}

/** The neighbour that shows how a letter stands: straight on both sides. */
const NEIGHBOURS = ["n", "H", "l"];
const STEP = 0.1;

/** Return a take between two neighbours, with its two sides to be dragged. */
function sides(take) {
  const beside = hand.seen.characters.find((one) => one.char === NEIGHBOURS.find((char) => hand.seen.characters.some((c) => c.char === char))) ?? hand.seen.characters[0];
  const by = [0, 0];
  const first = svgEl("path", { d: beside.first.d });
  const own = svgEl("path", { d: take.drawn.d });
  const last = svgEl("path", { d: beside.first.d });
  const [left, right] = ["Left", "Right"].map((name, index) => side(`${name} side of this take`, `side-${index}`, (step) => {
    by[index] += index ? step : -step;
    place();
  }, () => edit("sides", { take: take.name, by })));
  const place = () => {
    first.setAttribute("transform", `translate(${-by[0] - beside.advance} 0)`);
    own.setAttribute("transform", "translate(0 0)");
    last.setAttribute("transform", `translate(${take.advance + by[1]} 0)`);
    left.setAttribute("transform", `translate(${-by[0]} 0)`);
    right.setAttribute("transform", `translate(${take.advance + by[1]} 0)`);
  };
  place();
  const room = beside.advance + 1;
  return svgEl("svg", { class: "sides", viewBox: `${-room} -9.5 ${take.advance + 2 * room} 13.5`, role: "group", "aria-label": "Sides, with neighbours" }, first, own, last, left, right);
}

function side(name, id, move, keep) {
  const handle = svgEl("g", { class: "side", role: "button", tabindex: 0, "aria-label": name, "data-id": id }, svgEl("rect", { x: -1, y: -9, width: 2, height: 12.5 }), svgEl("line", { x1: 0, x2: 0, y1: -9, y2: 3.5 }));
  handle.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (way) {
      event.preventDefault();
      move(way * STEP);
    } else if (event.key === "Enter") keep();
  });
  handle.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    handle.setPointerCapture(event.pointerId);
    const scale = 1 / handle.ownerSVGElement.getScreenCTM().a;
    let at = event.clientX;
    const follow = (moving) => {
      move((moving.clientX - at) * scale);
      at = moving.clientX;
    };
    const end = () => {
      handle.removeEventListener("pointermove", follow);
      for (const kind of ["pointerup", "pointercancel"]) handle.removeEventListener(kind, end);
      keep();
    };
    handle.addEventListener("pointermove", follow);
    for (const kind of ["pointerup", "pointercancel"]) handle.addEventListener(kind, end);
  });
  return handle;
}
