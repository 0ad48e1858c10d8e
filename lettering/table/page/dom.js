// Elements made of names, attributes and children; words never become markup.

const SVG = "http://www.w3.org/2000/svg";

/** Return an HTML element; `on…` attributes are listeners, false and null leave an attribute out. */
export function el(name, attributes = {}, ...children) {
  return filled(document.createElement(name), attributes, children);
}

/** Return an SVG element in the same way. */
export function svgEl(name, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, name), attributes, children);
}

function filled(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked") element[name] = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat(2).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

// The server's own drawings are the only markup that is ever read.
const drawing = globalThis.trustedTypes?.createPolicy("drawing", { createHTML: (text) => text });

/** Return the root of a drawing that the server made; what is no drawing gives an empty one. */
export function drawn(text) {
  const read = new DOMParser().parseFromString(drawing ? drawing.createHTML(text) : text, "image/svg+xml");
  const root = read.documentElement;
  return root.nodeName === "svg" ? document.importNode(root, true) : svgEl("svg");
}

/** Put `children` in the place of all that `element` holds. */
export function fill(element, ...children) {
  element.replaceChildren(...children.flat(2).filter((child) => child !== null && child !== undefined && child !== false));
}

/** Return a button that does something. */
export function button(words, onclick, attributes = {}) {
  return el("button", { type: "button", onclick, ...attributes }, words);
}

/** Return a field with its name above it; `onchange` is given the new value. */
export function field(name, value, onchange, attributes = {}) {
  const input = el(attributes.rows ? "textarea" : "input", { ...attributes, value });
  input.addEventListener("change", () => onchange(input.value, input));
  return el("label", { class: "field" }, el("span", {}, name), input);
}

/** Return a choice among `options`, pairs of value and words. */
export function choice(name, value, options, onchange, attributes = {}) {
  const select = el("select", attributes, ...options.map(([v, words]) => el("option", { value: v, selected: v === value }, words)));
  select.addEventListener("change", () => onchange(select.value));
  return el("label", { class: "field" }, el("span", {}, name), select);
}
