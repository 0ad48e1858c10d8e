// The hand that is looked at: whose it is, what it holds, and what is done to it.

import { ask } from "./ask.js";
import { changed, edit, table, trying } from "./table.js";

export const hand = {
  /** The key of the character whose hand it is; nothing for the book's own. */
  whose: "",
  /** What it holds, as /api/hand tells it. */
  seen: null,
  revision: -1,
  /** The character whose takes are shown, and its takes. */
  char: null,
  takes: [],
};

/** Return an address about this hand; what is asked for again after a change is looked up anew. */
export function address(part, query = {}) {
  return `/api/hand${part}?${new URLSearchParams({ whose: hand.whose, ...query })}`;
}

/** Return where the crop of a take is; another picture under its name has another address. */
export function cropOf(take) {
  return address("/crop", { take: take.name, v: take.crop });
}

/** Where a letter was drawn, in words. */
export function whence(take) {
  return take.page ? `${take.page}, row ${take.row}, place ${take.place}` : "page not known";
}

let loading = null;

/** Look the hand up anew when anything was changed since; only what was asked for last is taken. */
export function load() {
  if (hand.revision === table.all.revision) return loading;
  const { revision } = table.all;
  hand.revision = revision;
  const { whose } = hand;
  loading = trying(async () => {
    const seen = await ask(address(""));
    if (hand.revision !== revision || hand.whose !== whose) return;
    hand.seen = seen;
    await loadTakes();
  });
  return loading;
}

export async function choosePerson(whose) {
  Object.assign(hand, { whose, seen: null, revision: -1, char: null, takes: [] });
  changed("choice");
}

export function openChar(char) {
  Object.assign(hand, { char: hand.char === char ? null : char, takes: [] });
  return trying(loadTakes);
}

async function loadTakes() {
  const { char, seen } = hand;
  const takes = char && seen.there ? await ask(address("/takes", { char })) : [];
  if (hand.char !== char || hand.seen !== seen) return;
  hand.takes = takes;
  changed("choice");
}

/** Change the hand; `fields` say what, see hand_edits.py. */
export function changeHand(kind, fields) {
  return edit(kind, { whose: hand.whose, ...fields });
}
