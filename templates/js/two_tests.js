// Draws any two tests that the address names beside each other: their curves on one
// figure, their results and differences. Each test's curve is a script, since a page on
// the disk may not fetch.
"use strict";

const SVG = "http://www.w3.org/2000/svg";
const [WIDE, TALL, LEFT, RIGHT, TOP, FOOT] = [640, 460, 60, 626, 34, 408];
let arrived = null;

window.comparedCurve = (told) => {
  arrived = told;
};

function load(id) {
  return new Promise((resolve) => {
    const script = document.createElement("script");
    script.src = `../tests/${encodeURIComponent(id)}/curve-data.js`;
    script.addEventListener("load", () => resolve(arrived));
    script.addEventListener("error", () => resolve(null));
    document.head.append(script);
  });
}

function made(name, attributes, ...children) {
  const part = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) part.setAttribute(key, value);
  part.append(...children);
  return part;
}

function drawn(name, attributes, text) {
  const part = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) part.setAttribute(key, value);
  if (text) part.textContent = text;
  return part;
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

function figure(a, b) {
  const shared = a.unit === b.unit ? a : { unit: "kg/m³", si: 1 };
  const way = ({ line }) => line.map(([w, d]) => [w, d * shared.si]);
  const all = [...way(a), ...way(b)];
  const [x, y] = [axisOf(all.map(([w]) => w)), axisOf(all.map(([, d]) => d))];
  const place = ([w, d]) => [
    LEFT + ((w - x.low) / (x.high - x.low)) * (RIGHT - LEFT),
    FOOT - ((d - y.low) / (y.high - y.low)) * (FOOT - TOP),
  ];
  const words = [a, b].map((one) => `${one.name}: ${one.results.map((pair) => pair.join(" ")).join(", ")}`);
  const svg = drawn("svg", { viewBox: `0 0 ${WIDE} ${TALL}`, role: "img", "aria-label": words.join("; ") });
  svg.append(drawn("rect", { class: "ground", width: WIDE, height: TALL }));
  for (const [value, text] of ticks(x)) {
    const [px] = place([value, 0]);
    svg.append(drawn("path", { class: "grid", d: `M${px} ${TOP}V${FOOT}` }));
    svg.append(drawn("text", { x: px, y: FOOT + 20, "text-anchor": "middle" }, text));
  }
  for (const [value, text] of ticks(y)) {
    const [, py] = place([0, value]);
    svg.append(drawn("path", { class: "grid", d: `M${LEFT} ${py}H${RIGHT}` }));
    svg.append(drawn("text", { x: LEFT - 8, y: py + 5, "text-anchor": "end" }, text));
  }
  svg.append(drawn("text", { x: 6, y: 18 }, `Dry density, ${shared.unit}`));
  svg.append(drawn("text", { x: (LEFT + RIGHT) / 2, y: TALL - 8, "text-anchor": "middle" }, "Water content, %"));
  const higher = a.peak && b.peak && a.peak[1] > b.peak[1] ? a : b;
  for (const [one, sort] of [[a, "before"], [b, "after"]]) {
    const path = way(one).map(place).map(([px, py]) => `${px.toFixed(1)} ${py.toFixed(1)}`);
    svg.append(drawn("path", { class: sort, d: `M${path.join("L")}` }));
    const top = one.peak ? [one.peak[0], one.peak[1] * shared.si] : way(one)[0];
    const [px, py] = place(top);
    if (one.peak) svg.append(drawn("path", { class: "peak", d: `M${px - 8} ${py}h16M${px} ${py - 8}v16` }));
    svg.append(drawn("text", { x: px, y: one === higher ? py - 14 : py + 26, "text-anchor": "middle" }, one.name));
  }
  return made("figure", { class: "two-figure" }, svg, made("figcaption", {}, `Full line: ${b.name}. Dashed: ${a.name}.`));
}

function parted(text) {
  const found = /^([−+-]?\d+(?:\.\d+)?)(?: (.*))?$/.exec(text || "");
  return found ? [found[1].replace("−", "-"), found[2] || ""] : null;
}

// The difference of two figures of one unit, and what it is in percent of the first.
function difference(one, other) {
  const [was, now] = [parted(one), parted(other)];
  if (!was || !now || was[1] !== now[1]) return "";
  const places = Math.max(...[was, now].map(([n]) => n.split(".")[1]?.length || 0));
  const gap = Number(now[0]) - Number(was[0]);
  const signed = (n, digits) => `${n < 0 ? "−" : "+"}${Math.abs(n).toFixed(digits)}`;
  if (now[1] === "%" || now[1] === "points") return `${signed(gap, places)} points`;
  const share = (100 * gap) / Number(was[0]);
  return `${signed(gap, places)} ${now[1]} (${signed(share, 1)} %)`;
}

function results(a, b) {
  const names = [...new Set([...a.results, ...b.results].map(([name]) => name))];
  const row = (name) => {
    const [one, other] = [a, b].map(({ results: all }) => (all.find(([n]) => n === name) || [])[1] || "");
    const cells = [[a.name, one], [b.name, other], ["Difference", difference(one, other)]];
    return made("tr", {}, made("th", { scope: "row" }, name), ...cells.map(([label, text]) => made("td", { "data-label": label }, text)));
  };
  const heads = ["Result", a.name, b.name, "Difference"].map((text) => made("th", { scope: "col" }, text));
  return made("table", {}, made("thead", {}, made("tr", {}, ...heads)), made("tbody", {}, ...names.map(row)));
}

function about(one) {
  return made("p", {}, made("a", { href: `../tests/${encodeURIComponent(one.id)}/index.html` }, one.name), `: ${one.made}; ${one.soil}`);
}

async function show(panel, a, b) {
  const found = [await load(a), await load(b)];
  panel.textContent = "";
  const lost = [a, b].filter((_, i) => !found[i]);
  if (lost.length) {
    panel.append(made("p", { class: "status stop" }, `No curve of ${lost.join(" and ")} on this site.`));
    return;
  }
  panel.append(...found.map(about), figure(...found), results(...found));
}

function start(heading) {
  const block = heading.closest(".block");
  const asked = new URLSearchParams(window.location.search);
  const inputs = ["a", "b"].map((name) => made("input", { name, required: "", autocomplete: "off", spellcheck: "false" }));
  const fields = inputs.map((input, i) => made("label", {}, ["First test ", "Second test "][i], input));
  const form = made("form", { class: "two-form" }, ...fields, made("button", {}, "Compare"));
  const panel = made("div", { "aria-live": "polite" });
  const draw = () => {
    const [a, b] = inputs.map((input) => input.value.trim());
    if (!a || !b) return;
    const query = new URLSearchParams({ a, b });
    window.history.replaceState(null, "", `?${query}`);
    show(panel, a, b);
  };
  inputs.forEach((input) => {
    input.value = asked.get(input.name) || "";
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    draw();
  });
  block.querySelector("h2").after(form);
  block.append(panel);
  draw();
}

const heading = document.getElementById("two-tests");
if (heading) start(heading);
