// Optional: the figure of two curves, with the maximum and optimum of each.
"use strict";

const { made, drawn } = self.drawing;
const [MOST, LEAST] = [640, 340]; // width: as wide as there is room, so that type stays large
const [LEFT, TOP] = [60, 34];
const [LETTER, LINE] = [7.6, 18]; // about the size of the type
const STEP = 4; // between places along a curve that a name may not cover

function sizeFor(room) {
  const wide = Math.min(MOST, Math.max(LEAST, room));
  const tall = Math.round(wide * 0.72);
  return { wide, tall, right: wide - 14, foot: tall - 52 };
}

// A round step with some five to ten ticks.
function axisOf(values) {
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const rough = (most - least || 1) / 7;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((n) => n * power).find((n) => n >= rough);
  return { low: Math.floor(least / step - 0.4) * step, high: Math.ceil(most / step + 0.7) * step, step };
}

function ticks({ low, high, step }) {
  const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const count = Math.round((high - low) / step);
  return Array.from({ length: count + 1 }, (_, i) => [low + i * step, (low + i * step).toFixed(places)]);
}

// What an axis is called: the words of both standards where they differ.
function word(a, b, axis) {
  return [...new Set([a, b].map(({ axes }) => axes[axis]))].join(" / ");
}

function axes(svg, x, y, place, { right, foot }) {
  for (const [value, text] of ticks(x)) {
    const [px] = place([value, y.low]);
    svg.append(drawn("path", { class: "grid", d: `M${px} ${TOP}V${foot}` }));
    svg.append(drawn("text", { x: px, y: foot + 20, "text-anchor": "middle" }, text));
  }
  for (const [value, text] of ticks(y)) {
    const [, py] = place([x.low, value]);
    svg.append(drawn("path", { class: "grid", d: `M${LEFT} ${py}H${right}` }));
    svg.append(drawn("text", { x: LEFT - 8, y: py + 5, "text-anchor": "end" }, text));
  }
}

// Places along a line, so near each other that a name across it covers some.
function dense(way) {
  return way.slice(1).flatMap(([x, y], i) => {
    const [px, py] = way[i];
    const count = Math.ceil(Math.hypot(x - px, y - py) / STEP);
    return Array.from({ length: count }, (_, k) => [px + ((x - px) * k) / count, py + ((y - py) * k) / count]);
  });
}

function cross(one, other) {
  return one[0] < other[2] && one[2] > other[0] && one[1] < other[3] && one[3] > other[1];
}

// Where a name stands: above or below its mark, where it covers the least of the curves
// and no name that stands already; the nearest of such places.
function roomFor(text, [x, y], places, taken, { right, foot }) {
  const half = (text.length * LETTER) / 2;
  const offered = [];
  for (const up of [-16, 28, -38, 50, 72]) {
    for (const aside of [0, -half * 0.7, half * 0.7, -half * 1.25, half * 1.25]) {
      const middle = Math.min(Math.max(x + aside, LEFT + half + 4), right - half - 4);
      const box = [middle - half, y + up - LINE * 0.8, middle + half, y + up + LINE * 0.25];
      const covered = places.filter(([px, py]) => cross(box, [px, py, px, py])).length;
      const bad = taken.some((other) => cross(box, other)) || box[1] < TOP - LINE || box[3] > foot;
      offered.push([(bad ? 1000 : 0) + covered, offered.length, box]);
    }
  }
  offered.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  return offered[0][2];
}

// The marks of a curve: its peak, and the pair corrected for oversize where there is one.
function marks(one, si, place) {
  const at = ([water, dry]) => place([water, dry * si]);
  const found = [];
  if (one.peak) {
    const [x, y] = at(one.peak);
    found.push(drawn("path", { class: "peak", d: `M${x - 8} ${y}h16M${x} ${y - 8}v16` }));
  }
  if (one.peak && one.whole) {
    const [[ax, ay], [x, y]] = [at(one.peak), at(one.whole)];
    found.push(drawn("path", { class: "drop", d: `M${ax} ${ay}L${x} ${y}` }));
    found.push(drawn("path", { class: "whole", d: `M${x} ${y - 7}l7 7l-7 7l-7 -7z` }));
  }
  return found;
}

/** Both curves on one figure as wide as there is room, in their unit, else in kg/m³. */
function twoCurves(a, b, room) {
  const size = sizeFor(room);
  const { wide, tall, right, foot } = size;
  const same = a.si === b.si;
  const { si, unit } = same ? b : { si: 1, unit: "kg/m³" };
  const way = ({ line }) => line.map(([water, dry]) => [water, dry * si]);
  const tops = [a, b].flatMap((one) => (one.whole ? [[one.whole[0], one.whole[1] * si]] : []));
  const all = [...way(a), ...way(b), ...tops];
  const [x, y] = [axisOf(all.map(([water]) => water)), axisOf(all.map(([, dry]) => dry))];
  const place = ([water, dry]) => [
    LEFT + ((water - x.low) / (x.high - x.low)) * (right - LEFT),
    foot - ((dry - y.low) / (y.high - y.low)) * (foot - TOP),
  ];
  const shows = [a, b].map((one) => `${one.name}: ${one.pair}`).join("; ");
  const svg = drawn("svg", { viewBox: `0 0 ${wide} ${tall}`, role: "img", "aria-label": shows });
  svg.append(drawn("rect", { class: "ground", width: wide, height: tall }));
  axes(svg, x, y, place, size);
  svg.append(drawn("text", { x: 6, y: 18 }, `${word(a, b, 1)}, ${unit}`));
  svg.append(drawn("text", { x: (LEFT + right) / 2, y: tall - 8, "text-anchor": "middle" }, `${word(a, b, 0)}, %`));
  const ways = [a, b].map((one) => way(one).map(place));
  ways.forEach((points, i) => {
    const path = points.map((at) => at.map((n) => n.toFixed(1)).join(" ")).join("L");
    svg.append(drawn("path", { class: ["before", "after"][i], d: `M${path}` }), ...marks([a, b][i], si, place));
  });
  const named = [a, b].map((one) => {
    const [water, dry] = one.whole || one.peak || one.line[0];
    const values = same ? one.pair.replace(` ${one.unit}`, "") : one.pair;
    return [`${one.name}${one.whole ? " corrected" : ""}: ${values}`, place([water, dry * si])];
  });
  named.sort((one, other) => one[1][1] - other[1][1]); // the higher is named first
  const [places, taken] = [ways.flatMap(dense), []];
  for (const [text, at] of named) {
    const box = roomFor(text, at, places, taken, size);
    taken.push(box);
    svg.append(drawn("text", { class: "name", x: (box[0] + box[2]) / 2, y: box[3] - LINE * 0.25, "text-anchor": "middle" }, text));
  }
  return made("figure", { class: "two-figure" }, svg, made("figcaption", {}, `Full line: ${b.name}. Dashed: ${a.name}.`));
}

self.twoCurves = twoCurves;
