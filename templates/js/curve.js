// Optional: reads values off the curves of a figure. Pages work without it.
"use strict";

const { drawn } = self.drawing;
const WIDE = 400; // size of a figure, in points
const TALL = 320;
const NEAR = 12; // pixels from a point within which it is meant
const STEP = 0.1; // of the arrow keys [%]
const PAUSE = 300; // before a reading by pointer is said aloud [ms]

function between(low, value, high) {
  return Math.min(Math.max(value, low), high);
}

// Density of a curve at a water content, along the straight lines that are drawn.
function densityAt(line, water) {
  const i = between(1, line.findIndex(([w]) => w >= water), line.length - 1);
  const [[w0, d0], [w1, d1]] = [line[i - 1], line[i]];
  return w1 === w0 ? d1 : d0 + ((d1 - d0) * (water - w0)) / (w1 - w0);
}

// Degree of saturation w Gs / e, with the void ratio e = Gs ρw / ρd - 1. [%]
function saturation(curve, water, density) {
  if (!curve || !curve.gravity) return null;
  const voids = (curve.gravity * curve.water) / density - 1;
  return voids > 0 ? (water * curve.gravity) / voids : null;
}

class Instrument {
  constructor(figure) {
    const data = figure.dataset;
    this.figure = figure;
    this.data = data;
    this.curves = JSON.parse(data.curves || "[]");
    this.points = JSON.parse(data.points || "[]");
    this.image = figure.querySelector("img");
    this.spot = null;
    this.build();
    this.findRows();
    this.listen();
  }

  number(name) {
    return Number(this.data[name]);
  }

  // Points of the figure, from its upper left corner, and back.
  place(x, y) {
    const n = (name) => this.number(name);
    const across = (x - n("x0")) / (n("x1") - n("x0"));
    const up = (y - n("y0")) / (n("y1") - n("y0"));
    return [
      (n("left") + across * (n("right") - n("left"))) * WIDE,
      (n("bottom") + up * (n("top") - n("bottom"))) * TALL,
    ];
  }

  values(px, py) {
    const n = (name) => this.number(name);
    const across = (px / WIDE - n("left")) / (n("right") - n("left"));
    const up = (py / TALL - n("bottom")) / (n("top") - n("bottom"));
    return [n("x0") + across * (n("x1") - n("x0")), n("y0") + up * (n("y1") - n("y0"))];
  }

  build() {
    const stage = document.createElement("div");
    this.over = drawn("svg", { viewBox: `0 0 ${WIDE} ${TALL}`, class: "over", "aria-hidden": "true" });
    this.reader = document.createElement("div");
    this.reading = document.createElement("p");
    this.cross = drawn("g", { class: "cross" });
    stage.className = "stage";
    this.over.append(this.cross);
    this.reader.className = "reader";
    this.reader.tabIndex = 0;
    this.reader.setAttribute("role", "slider");
    this.reader.setAttribute("aria-label", `Read values off the figure: ${this.data.xname}`);
    this.reader.setAttribute("aria-valuemin", this.data.x0);
    this.reader.setAttribute("aria-valuemax", this.data.x1);
    this.reader.setAttribute("aria-valuenow", this.data.x0);
    this.reading.className = "reading";
    this.reading.textContent = this.hint();
    this.reader.setAttribute("aria-valuetext", this.reading.textContent);
    this.image.replaceWith(stage);
    stage.append(this.image, this.over, this.reader);
    stage.after(this.reading);
  }

  hint() {
    const keys = this.curves.length ? "arrow keys, Home, End and P (peak)" : "arrow keys";
    return `To read it: point at it, or use the ${keys}.`;
  }

  // Rows of the table beside it that are its points.
  findRows() {
    const region = this.figure.closest(".region");
    this.rows = new Map();
    for (const row of region ? region.querySelectorAll("tr[data-point]") : []) {
      const number = Number(row.dataset.point);
      const spot = this.meant(number);
      if (!spot || !this.isBeside(row)) continue;
      this.rows.set(number, row);
      row.addEventListener("pointerenter", () => this.show(spot));
      row.addEventListener("pointerleave", () => this.rest());
      row.addEventListener("focusin", () => this.show(spot));
      row.addEventListener("focusout", () => this.rest());
      const head = row.querySelector("th");
      if (head.querySelector("a")) continue;
      const button = document.createElement("button");
      button.type = "button";
      button.className = "point-button";
      button.append(...head.childNodes);
      button.setAttribute("aria-label", `Point ${number}: show on the figure`);
      button.addEventListener("click", () => this.show(spot)); // also by touch
      head.append(button);
    }
  }

  // What a numbered row is of: a point, or one curve of several.
  meant(number) {
    const point = this.points.findIndex(([n]) => n === number);
    if (point >= 0) return { point };
    const curve = number - 1;
    return this.curves.length > 1 && this.curves[curve] ? this.top(curve) : null;
  }

  top(curve) {
    const { line, peak } = this.curves[curve];
    return peak ? { curve, water: peak[0], peak: true } : { curve, water: line[line.length - 1][0] };
  }

  // Whether a row stands after this figure and before the next.
  isBeside(row) {
    const before = [...this.figure.parentElement.querySelectorAll("figure")].filter(
      (other) => other.compareDocumentPosition(row) & Node.DOCUMENT_POSITION_FOLLOWING,
    );
    return before[before.length - 1] === this.figure || !before.length;
  }

  listen() {
    for (const kind of ["pointermove", "pointerdown"]) {
      this.reader.addEventListener(kind, (event) => this.point(event));
    }
    this.reader.addEventListener("pointerleave", () => this.rest());
    this.reader.addEventListener("blur", () => this.rest());
    this.reader.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      const next = this.after(event.key, event.shiftKey);
      if (!next) return;
      event.preventDefault();
      this.show(next, true);
    });
  }

  // What a pointer means: a point of the test if one is near, else the nearest curve.
  point(event) {
    const box = this.over.getBoundingClientRect();
    const px = ((event.clientX - box.left) / box.width) * WIDE;
    const py = ((event.clientY - box.top) / box.height) * TALL;
    const scale = box.width / WIDE;
    const far = this.points.map(([, x, y]) => {
      const [ax, ay] = this.place(x, y);
      return Math.hypot(ax - px, ay - py) * scale;
    });
    const nearest = far.indexOf(Math.min(...far));
    if (nearest >= 0 && far[nearest] < NEAR) {
      this.show({ point: nearest });
      return;
    }
    const [x, y] = this.values(px, py);
    if (!this.curves.length) {
      this.show({ free: this.inside([x, y]) });
      return;
    }
    const gaps = this.curves.map(({ line }) => {
      const water = between(line[0][0], x, line[line.length - 1][0]);
      const [ax, ay] = this.place(water, densityAt(line, water));
      return Math.hypot(ax - px, ay - py);
    });
    this.show({ curve: gaps.indexOf(Math.min(...gaps)), water: x });
  }

  inside([x, y]) {
    const n = (name) => this.number(name);
    return [between(n("x0"), x, n("x1")), between(n("y0"), y, n("y1"))];
  }

  // What a key leads to; nothing for a key of the browser's.
  after(key, far) {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const way = ways[key];
    if (!this.curves.length) return way && { free: this.moved(way) };
    const now = this.spot || {};
    const curve = now.curve || 0;
    const { line, peak } = this.curves[curve];
    const ends = [line[0][0], line[line.length - 1][0]];
    if (key === "Home") return { curve, water: ends[0] };
    if (key === "End") return { curve, water: ends[1] };
    if (key.toLowerCase() === "p" && peak) return { curve, water: peak[0], peak: true };
    if (!way) return null;
    if (way[1]) return this.neighbour(way[1]);
    const start = this.water() ?? (peak ? peak[0] - way[0] * STEP : ends[0]);
    const tenth = Math.round(start / STEP) * STEP; // each step reads a whole tenth
    return { curve, water: between(ends[0], tenth + way[0] * STEP * (far ? 10 : 1), ends[1]) };
  }

  moved([across, up]) {
    const n = (name) => this.number(name);
    const [x, y] = (this.spot && this.spot.free) || [(n("x0") + n("x1")) / 2, (n("y0") + n("y1")) / 2];
    return this.inside([x + (across * (n("x1") - n("x0"))) / 100, y + (up * (n("y1") - n("y0"))) / 100]);
  }

  water() {
    if (!this.spot) return null;
    return this.spot.point === undefined ? this.spot.water : this.points[this.spot.point][1];
  }

  // The next point, or the next curve on a figure of several.
  neighbour(way) {
    const now = this.spot || {};
    const steps = (count, from) => (from === undefined ? (way > 0 ? 0 : count - 1) : between(0, from + way, count - 1));
    if (this.points.length) return { point: steps(this.points.length, now.point) };
    return this.top(steps(this.curves.length, now.curve));
  }

  show(spot, byKey = false) {
    this.spot = spot;
    const at = this.at(spot);
    const text = this.words(spot, at);
    this.reading.textContent = text;
    this.mark(at, spot);
    if (spot.point !== undefined) this.light(this.points[spot.point][0]);
    else this.light(this.curves.length > 1 ? spot.curve + 1 : null);
    clearTimeout(this.waiting);
    const say = () => {
      this.reader.setAttribute("aria-valuenow", at[0].toFixed(1));
      this.reader.setAttribute("aria-valuetext", text);
    };
    if (byKey) say();
    else this.waiting = setTimeout(say, PAUSE);
  }

  at(spot) {
    if (spot.point !== undefined) return this.points[spot.point].slice(1);
    if (spot.free) return spot.free;
    const { line, peak } = this.curves[spot.curve];
    if (spot.peak) return peak;
    const water = between(line[0][0], spot.water, line[line.length - 1][0]);
    return [water, densityAt(line, water)];
  }

  words(spot, [x, y]) {
    const { xunit, yunit } = this.data;
    const curve = this.curves[spot.curve || 0];
    const parts = [`${y.toFixed(this.number("ydecimals"))} ${yunit} at ${x.toFixed(1)} ${xunit}`];
    const full = saturation(curve, x, y);
    if (full !== null && !spot.free) parts.push(`saturation ${full.toFixed(0)} %`);
    if (curve && curve.maximum && !spot.free) {
      const share = (100 * y) / Number(curve.maximum);
      parts.push(`${share.toFixed(1)} % of the ${curve.of}, ${curve.maximum} ${yunit}`);
    }
    const lead = spot.point !== undefined ? `Point ${this.points[spot.point][0]}` : curve && curve.name;
    const what = spot.peak ? (lead ? `${lead}, peak` : "Peak") : lead;
    const text = parts.join("; ");
    return what ? `${what}: ${text}` : text;
  }

  mark([x, y], spot) {
    const [px, py] = this.place(x, y);
    const [left, foot] = this.place(this.number("x0"), this.number("y0"));
    const parts = spot.point === undefined
      ? [
          drawn("path", { d: `M${left} ${py}H${px}V${foot}` }),
          drawn("circle", { cx: px, cy: py, r: 4 }),
        ]
      : [drawn("circle", { cx: px, cy: py, r: 8.5, class: "lit" })];
    if (this.curves.length > 1 && spot.curve !== undefined) {
      const way = this.curves[spot.curve].line.map(([w, d]) => this.place(w, d).map((n) => n.toFixed(1)).join(" "));
      parts.unshift(drawn("path", { d: `M${way.join("L")}`, class: "whole" }));
    }
    this.cross.replaceChildren(...parts);
  }

  light(number) {
    for (const [one, row] of this.rows) row.classList.toggle("lit", one === number);
  }

  // The last reading stays to be read; its marks go.
  rest() {
    if (document.activeElement === this.reader) return;
    this.cross.replaceChildren();
    this.light(null);
  }
}

for (const figure of document.querySelectorAll("figure[data-left]")) {
  figure.instrument = new Instrument(figure);
}
