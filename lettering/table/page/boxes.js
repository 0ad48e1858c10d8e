// Boxes and points on the spread, mm: [x, y, width, height] and [x, y].

export const tenth = (value) => Math.round(value * 10) / 10;

/** Return a box as attributes of an SVG element. */
export function box([x, y, width, height]) {
  return { x, y, width, height };
}

/** Return a box wider by so much on every side. */
export function grown([x, y, width, height], by) {
  return [x - by, y - by, width + 2 * by, height + 2 * by];
}

/** Return a box with one corner moved; it turns over when pulled past the other. */
export function pulled([x, y, width, height], corner, [dx, dy]) {
  const x0 = corner.endsWith("w") ? x + dx : x;
  const x1 = corner.endsWith("w") ? x + width : x + width + dx;
  const y0 = corner.startsWith("n") ? y + dy : y;
  const y1 = corner.startsWith("n") ? y + height : y + height + dy;
  return [Math.min(x0, x1), Math.min(y0, y1), Math.max(1, Math.abs(x1 - x0)), Math.max(1, Math.abs(y1 - y0))];
}

/** Return a figure with all its parts moved. */
export function movedBy(figure, [x, y]) {
  const shift = (place) => place && [place[0] + x, place[1] + y, ...place.slice(2)];
  return { ...figure, box: shift(figure.box), face: shift(figure.face), mouth: shift(figure.mouth) };
}

/** Return a box moved, or made smaller, until it lies within another. */
export function within([x, y, width, height], [bx, by, bw, bh]) {
  const [w, h] = [Math.min(width, bw), Math.min(height, bh)];
  return [Math.min(Math.max(x, bx), bx + bw - w), Math.min(Math.max(y, by), by + bh - h), w, h];
}

/** Return a point moved until it lies in a box. */
export function inside([x, y], [bx, by, bw, bh]) {
  return [Math.min(Math.max(x, bx), bx + bw), Math.min(Math.max(y, by), by + bh)];
}
