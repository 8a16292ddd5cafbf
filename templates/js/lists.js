// Optional: sorts and filters lists. Pages work without it.
"use strict";

const { folded, asked, sortKey, compare } = self.matching;

function cellText(row, column) {
  return row.cells[column].textContent.trim();
}

function sortBy(table, column, down) {
  const body = table.tBodies[0];
  const headings = table.tHead.rows[0].cells;
  const rows = Array.from(body.rows, (row) => [sortKey(cellText(row, column)), row]);
  rows.sort((a, b) => (down ? compare(b[0], a[0]) : compare(a[0], b[0])));
  for (const other of headings) other.removeAttribute("aria-sort");
  headings[column].setAttribute("aria-sort", down ? "descending" : "ascending");
  body.append(...rows.map((pair) => pair[1]));
}

function makeSortable(table) {
  Array.from(table.tHead.rows[0].cells).forEach((heading, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "sort";
    button.append(...heading.childNodes);
    heading.append(button);
    button.addEventListener("click", () => {
      sortBy(table, column, heading.getAttribute("aria-sort") === "ascending");
    });
  });
}

/** On a phone the headings are not shown: columns are chosen from a list. */
function sortChoice(table, id) {
  const headings = Array.from(table.tHead.rows[0].cells);
  const part = document.createElement("span");
  const label = document.createElement("label");
  const select = document.createElement("select");
  const turn = document.createElement("button");
  part.className = "sort-by";
  select.id = `sort-${id}`;
  label.htmlFor = select.id;
  label.textContent = "Sort by";
  select.append(new Option("as listed", ""));
  headings.forEach((heading, column) => {
    select.append(new Option(heading.textContent.trim(), column));
  });
  turn.type = "button";
  turn.textContent = "Turn round";
  turn.disabled = true;
  const listed = Array.from(table.tBodies[0].rows);
  select.addEventListener("change", () => {
    turn.disabled = select.value === "";
    if (select.value !== "") {
      sortBy(table, Number(select.value), false);
    } else {
      for (const heading of headings) heading.removeAttribute("aria-sort");
      table.tBodies[0].append(...listed);
    }
  });
  turn.addEventListener("click", () => {
    const column = Number(select.value);
    const up = headings[column].getAttribute("aria-sort") === "ascending";
    sortBy(table, column, up);
  });
  part.append(label, " ", select, " ", turn);
  return part;
}

/** A row's text to be matched: cells stay apart, and links with the rest. */
function rowText(row) {
  const cells = Array.from(row.cells, (cell) => folded(cell.textContent));
  return [...cells, folded(row.dataset.words || "")].join("\n");
}

function filterBox(block, table) {
  const rows = Array.from(table.tBodies[0].rows);
  const part = document.createElement("span");
  const label = document.createElement("label");
  const input = document.createElement("input");
  const count = document.createElement("span");
  let texts = null;
  input.type = "search";
  input.id = `filter-${block.querySelector("h2").id}`;
  label.htmlFor = input.id;
  label.textContent = "Filter";
  count.setAttribute("role", "status");
  input.addEventListener("input", () => {
    texts ??= rows.map(rowText);
    // As typed if any row has it so ("lift 7"), else every word anywhere in the row.
    const words = asked(input.value, texts);
    let shown = 0;
    for (const [i, row] of rows.entries()) {
      row.hidden = !words.every((word) => texts[i].includes(word));
      shown += row.hidden ? 0 : 1;
    }
    count.textContent = words.length ? `${shown} of ${rows.length}` : "";
  });
  part.className = "filter-by";
  part.append(label, " ", input, " ", count);
  return part;
}

const FEW = 8; // rows that are taken in at a glance: no filter
const PAIR = 2; // rows that nobody sorts

for (const block of document.querySelectorAll(".list:not(.finder)")) {
  const table = block.querySelector("table");
  if (!table) continue;
  makeSortable(table);
  const rows = table.tBodies[0].rows.length;
  if (rows <= PAIR) continue;
  const heading = block.querySelector("h2");
  const bar = document.createElement("p");
  bar.className = "filter";
  if (rows >= FEW) bar.append(filterBox(block, table));
  bar.append(sortChoice(table, heading.id));
  heading.after(bar);
}

/** A link to a row of a folded table opens it, also where the browser does not. */
function unfold() {
  const fold = document.querySelector(":target")?.closest("details");
  if (!fold || fold.open) return;
  fold.open = true;
  document.querySelector(":target").scrollIntoView();
}
addEventListener("hashchange", unfold);
unfold();
