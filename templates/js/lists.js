// Optional: sorts and filters lists. Pages work without it.
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
