// The slip of the hand: whose it is, what the book lacks, its pages, doubts, letters, and a sentence tried.

import { choice, el } from "./dom.js";
import { photo, photoSheet } from "./corners.js";
import { choosePerson, hand, load } from "./hand-state.js";
import { letter, letterSheet, lookAgain } from "./letter.js";
import { lackingPart, pagesPart } from "./lettered-pages.js";
import { doubtsPart, lettersPart } from "./takes.js";
import { trialPart } from "./trial.js";

export function handSlip() {
  load();
  lookAgain();
  const { seen } = hand;
  if (!seen) return [el("h2", {}, "The hand"), el("p", {}, "Looking …")];
  return [
    el("h2", {}, seen.name ? `The hand ${seen.name}` : "The hand"),
    seen.hands.length > 1 ? choice("Whose hand", hand.whose, seen.hands.map(({ whose, name }) => [whose, name]), choosePerson, { id: "whose" }) : null,
    lackingPart(seen),
    pagesPart(seen),
    ...(seen.there ? [doubtsPart(seen), trialPart(), lettersPart(seen)] : []),
  ];
}

/** Return what lies in the place of the spread while the hand is looked at, and by what it is known; or null. */
export function onStage() {
  if (letter.seen) return { known: letter.seen, draw: letterSheet };
  return photo.name ? { known: photo.size, draw: photoSheet } : null;
}
