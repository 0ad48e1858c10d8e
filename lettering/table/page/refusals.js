// What was refused, by the place on the page where it was asked for; it stays until it is settled there.

/** By place: { said, status, typed }. */
const refusals = new Map();

export const refusalOf = (at) => refusals.get(at);

export function refused(at, refusal) {
  refusals.set(at, refusal);
}

export function settled(at) {
  return refusals.delete(at);
}
