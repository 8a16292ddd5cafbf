// On a phone the figures of a long page are opened one by one: all but the first are a
// line each. Without a script, and on paper, all of them are open.
"use strict";

const { made } = self.drawing;
const PHONE = "(max-width: 40rem)";
const MOST = 3; // figures that stand open

function shut(figure) {
  const lid = made("summary", {});
  const block = made("details", { class: "block shut" }, lid);
  figure.replaceWith(block);
  lid.append(figure.querySelector("h2"));
  block.append(figure);
}

if (window.matchMedia(PHONE).matches) {
  for (const region of document.querySelectorAll(".region")) {
    const figures = region.querySelectorAll(":scope > figure.plot");
    if (figures.length > MOST) [...figures].slice(1).forEach(shut);
  }
}
