// A sentence tried in the hand that is looked at.

import { tell } from "./ask.js";
import { drawn, el, fill } from "./dom.js";
import { hand } from "./hand-state.js";
import { trying } from "./table.js";

let sentence = "";

export function trialPart() {
  const shown = el("div", { class: "tried" });
  const draw = async () => {
    if (!sentence.trim()) return fill(shown);
    const asked = sentence;
    const seen = await trying(() => tell("/api/hand/try", { says: asked, whose: hand.whose }));
    if (seen && asked === sentence) fill(shown, drawn(seen.svg));
  };
  const input = el("input", { id: "sentence", value: sentence, maxlength: 200 });
  input.addEventListener("input", () => {
    sentence = input.value;
    draw();
  });
  if (sentence) draw();
  return el("section", { "aria-label": "Try a sentence" }, el("label", { class: "field" }, el("span", {}, "Try a sentence"), input), shown);
}
