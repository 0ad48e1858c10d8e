// A former round of the spread, beside it.

import { ask } from "./ask.js";
import { box, grown } from "./boxes.js";
import { drawn, el, svgEl } from "./dom.js";
import { table, trying } from "./table.js";

let former = "";

/** Show a former round of the spread below it, at the same size. */
export async function drawBeside(paper, spread) {
  const wanted = table.beside ? `${table.beside} ${spread.index} ${spread.artStamp}` : "";
  if (wanted === former && Boolean(wanted) === Boolean(paper.querySelector("#former"))) return;
  former = wanted;
  paper.querySelector("#former")?.remove();
  if (!wanted) return;
  const name = table.beside;
  const seen = await trying(() => ask(`/api/spreads/${spread.index}/round/${encodeURIComponent(name)}`));
  if (former !== wanted || !seen) return;
  const print = drawn(seen.svg);
  const [x, y, width, height] = spread.trim;
  const art = spread.art && spread.artStamp ? svgEl("image", { ...box(grown(spread.trim, spread.bleed)), preserveAspectRatio: "none", href: `/api/spreads/${spread.index}/art?px=1600&v=${spread.artStamp}` }) : svgEl("rect", { ...box(spread.trim), class: "bare" });
  const beside = svgEl("svg", { viewBox: [x, y, width, height].join(" "), role: "img", "aria-label": `${spread.label} in the round ${name}` }, art, print.querySelector("#former-bubbles"), print.querySelector("#former-lettering"));
  paper.querySelector("#former")?.remove();
  paper.append(el("figure", { id: "former" }, beside, el("figcaption", {}, `${name}, as it was sent`)));
}
