// Optional: sorts and filters lists, reads values off a curve. Pages work without it.
"use strict";

function cellText(row, column) {
  return row.cells[column].textContent.trim();
}

function sortKey(text) {
  const number = /^-?[0-9.]+(?=$|[\s ])/.exec(text);
  return number ? [0, Number(number[0]), text] : [text === "—" ? 2 : 1, 0, text];
}

function compare(a, b) {
  for (let i = 0; i < a.length; i += 1) {
    if (a[i] < b[i]) return -1;
    if (a[i] > b[i]) return 1;
  }
  return 0;
}

function sortBy(table, column, heading) {
  const down = heading.getAttribute("aria-sort") === "ascending";
  const body = table.tBodies[0];
  const rows = Array.from(body.rows, (row) => [sortKey(cellText(row, column)), row]);
  rows.sort((a, b) => (down ? compare(b[0], a[0]) : compare(a[0], b[0])));
  for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
  heading.setAttribute("aria-sort", down ? "descending" : "ascending");
  body.append(...rows.map((pair) => pair[1]));
}

function makeSortable(table) {
  Array.from(table.tHead.rows[0].cells).forEach((heading, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "sort";
    button.append(...heading.childNodes);
    heading.append(button);
    button.addEventListener("click", () => sortBy(table, column, heading));
  });
}

function makeFilter(block, table) {
  const rows = Array.from(table.tBodies[0].rows);
  if (rows.length < 8) return;
  const bar = document.createElement("p");
  const label = document.createElement("label");
  const input = document.createElement("input");
  const count = document.createElement("span");
  bar.className = "filter";
  input.type = "search";
  input.id = `filter-${block.querySelector("h2").id}`;
  label.htmlFor = input.id;
  label.textContent = "Filter";
  count.setAttribute("role", "status");
  input.addEventListener("input", () => {
    const phrase = input.value.toLowerCase().trim();
    const texts = rows.map((row) => row.textContent.toLowerCase());
    // As typed if any row has it so ("lift 7"), else every word anywhere in the row.
    const together = texts.some((text) => text.includes(phrase));
    const words = together ? [phrase] : phrase.split(/\s+/);
    let shown = 0;
    for (const [i, row] of rows.entries()) {
      row.hidden = !words.every((word) => texts[i].includes(word));
      shown += row.hidden ? 0 : 1;
    }
    count.textContent = input.value ? `${shown} of ${rows.length}` : "";
  });
  bar.append(label, input, count);
  block.querySelector("h2").after(bar);
}

for (const block of document.querySelectorAll(".list")) {
  const table = block.querySelector("table");
  if (table) {
    makeSortable(table);
    makeFilter(block, table);
  }
}

const STEPS = { ArrowLeft: [-0.01, 0], ArrowRight: [0.01, 0], ArrowUp: [0, 0.01], ArrowDown: [0, -0.01] };

// The figure is a picture: a place on it is converted to water content and density by the
// ends of its axes, given in the data of the figure.
function readOff(figure) {
  const data = figure.dataset;
  const at = (name) => Number(data[name]);
  const image = figure.querySelector("img");
  const reading = document.createElement("p");
  reading.className = "reading";
  reading.textContent = "Hover, tap or use the arrow keys to read values.";
  reading.setAttribute("role", "status");
  figure.append(reading);
  let spot = [0.5, 0.5];
  const show = (across, up) => {
    if (across < 0 || across > 1 || up < 0 || up > 1) return;
    spot = [across, up];
    const x = at("x0") + across * (at("x1") - at("x0"));
    const y = at("y0") + up * (at("y1") - at("y0"));
    reading.textContent = `${y.toFixed(at("ydecimals"))} ${data.yunit} at ${x.toFixed(1)} ${data.xunit}`;
  };
  const read = (event) => {
    const box = image.getBoundingClientRect();
    show(
      ((event.clientX - box.left) / box.width - at("left")) / (at("right") - at("left")),
      ((event.clientY - box.top) / box.height - at("bottom")) / (at("top") - at("bottom")),
    );
  };
  image.tabIndex = 0;
  image.addEventListener("keydown", (event) => {
    const step = STEPS[event.key];
    if (!step) return;
    event.preventDefault();
    show(spot[0] + step[0], spot[1] + step[1]);
  });
  image.addEventListener("pointermove", read);
  image.addEventListener("pointerdown", read);
}

for (const figure of document.querySelectorAll("figure[data-left]")) readOff(figure);
