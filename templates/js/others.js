// Optional: lays other curves of the same soil over a figure. Pages work without it.
"use strict";

const { made, drawn, told } = self.drawing;
const DASHES = ["none", "7 3", "2 3", "9 3 2 3"];

// The curves are in SI: the figure's own curve says what makes its unit of kg/m³.
function laid(instrument, test, number, clip) {
  const { si } = instrument.curves[0];
  const place = ([water, dry]) => instrument.place(water, dry * si);
  const path = test.line.map(place).map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`);
  const group = drawn("g", { class: "other", "clip-path": `url(#${clip})` });
  group.append(drawn("path", { d: `M${path.join("L")}`, "stroke-dasharray": DASHES[number % DASHES.length] }));
  if (test.whole && test.peak) {
    const [[ax, ay], [bx, by]] = [place(test.peak), place(test.whole)];
    group.append(drawn("path", { d: `M${ax} ${ay}L${bx} ${by}`, "stroke-dasharray": "1 3" }));
  }
  const [x, y] = freest(instrument, test.line.map(place));
  group.append(drawn("text", { x, y, "text-anchor": "middle" }, test.id));
  return group;
}

// Of a few places along a curve, inside the axes, the one farthest from what is there:
// points, peak, and the names of other curves.
function freest(instrument, way) {
  const n = (name) => instrument.number(name);
  const [left, foot] = instrument.place(n("x0"), n("y0"));
  const [right, top] = instrument.place(n("x1"), n("y1"));
  const taken = instrument.points.map(([, w, d]) => instrument.place(w, d));
  const { peak } = instrument.curves[0];
  if (peak) taken.push(instrument.place(...peak));
  for (const text of instrument.over.querySelectorAll(".other text")) {
    taken.push([Number(text.getAttribute("x")), Number(text.getAttribute("y"))]);
  }
  const clear = ([x, y]) => Math.min(...taken.map(([a, b]) => Math.hypot((a - x) / 2, b - y)));
  const offered = way
    .flatMap(([x, y]) => [[x, y - 7], [x, y + 16]])
    .filter(([x, y]) => x > left + 30 && x < right - 30 && y > top + 12 && y < foot - 4);
  const [x, y] = way[Math.floor(way.length / 2)];
  return offered.sort((a, b) => clear(b) - clear(a))[0] || [x, y - 7];
}

function isInside(instrument, test) {
  const { si } = instrument.curves[0];
  const n = (name) => instrument.number(name);
  return test.line.some(([w, d]) => w >= n("x0") && w <= n("x1") && d * si >= n("y0") && d * si <= n("y1"));
}

function clipFor(instrument, id) {
  const [left, foot] = instrument.place(instrument.number("x0"), instrument.number("y0"));
  const [right, top] = instrument.place(instrument.number("x1"), instrument.number("y1"));
  const clip = drawn("clipPath", { id });
  clip.append(drawn("rect", { x: left, y: top - 14, width: right - left, height: foot - top + 14 }));
  return clip;
}

function choice(instrument, test, top, number, clip, compared) {
  const box = made("input", { type: "checkbox" });
  const inside = isInside(instrument, test);
  const words = `${test.name}, ${test.made}: ${test.pair}${inside ? "" : " (outside the axes of this figure)"}`;
  const link = made("a", { href: `${top}tests/${test.id}/index.html`, "aria-label": `Open ${test.id}` }, "open");
  let shown = null;
  box.disabled = !inside;
  box.addEventListener("change", () => {
    if (box.checked) {
      shown = laid(instrument, test, number, clip);
      instrument.over.prepend(shown);
    } else if (shown) shown.remove();
  });
  const pair = new URLSearchParams({ a: instrument.data.test, b: test.id });
  const label = `Compare with ${test.id}`;
  const beside = made("a", { href: `${top}compare/index.html?${pair}`, "aria-label": label }, "compare");
  return made("li", {}, made("label", {}, box, ` ${words}`), ...(compared ? [beside] : []), link);
}

async function fill(panel, instrument, addresses) {
  const own = instrument.data.test;
  const clip = `inside-${own}`;
  const seen = new Set([own]);
  let number = 0;
  panel.textContent = "";
  instrument.over.prepend(clipFor(instrument, clip));
  for (const address of addresses) {
    const soil = await told(address, "figureCurves");
    const tests = (soil ? soil.tests : []).filter(({ id, line }) => !seen.has(id) && line.length > 1);
    if (!tests.length) continue;
    const top = address.replace(/[^/]+\/[^/]+\/curves\.js$/, "");
    const list = made("ul", {});
    const compared = soil.tests.some(({ id }) => id === own); // it stands, as they do
    for (const test of tests) {
      seen.add(test.id);
      list.append(choice(instrument, test, top, number, clip, compared));
      number += 1;
    }
    const left = soil.left ? ` (${soil.left} earlier ones are not offered)` : "";
    panel.append(made("p", {}, `Of ${soil.of}${left}`), list);
  }
  if (!number) panel.append(made("p", {}, "There is no other curve of this soil."));
}

for (const figure of document.querySelectorAll("figure[data-others]")) {
  const { instrument } = figure;
  if (!instrument || !instrument.curves.length) continue;
  const details = made("details", { class: "others" }, made("summary", {}, "Lay other curves of this soil over it"));
  const panel = made("div", { role: "group", "aria-label": "Other curves of this soil" }, "Loading …");
  details.append(panel);
  details.addEventListener("toggle", () => fill(panel, instrument, figure.dataset.others.split(" ")), { once: true });
  figure.append(details);
}
