// Optional: the list of all tests, asked for some of them. What was asked stands in the
// page's address, so that a view can be sent and the way back leads to the one before.
"use strict";

const { folded, asked, sortKey, compare } = self.matching;
const FIRST = 200; // rows drawn at once

const CHOICES = ["Kind", "Standard", "Class", "Zone", "Verdict", "Project", "Status"];

function part(name, className, ...held) {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.append(...held);
  return made;
}

function labelled(text, field) {
  const label = part("label", "", text);
  label.htmlFor = field.id;
  return part("span", "asked", label, field);
}

function key(name) {
  return name.toLowerCase();
}

/** Where a choice stands in the data of a test: a standard alone is behind the cells. */
function place(names, name) {
  return name === "Standard" ? names.length + 1 : names.indexOf(name);
}

/** A status without its revision: "issued r1, changed since" is issued. */
function sort(name, text) {
  return name === "Status" ? text.replace(/ r\d.*$/, "") : text;
}

function makeFinder(block) {
  const { load, tests, top } = self.archive;
  const table = block.querySelector("table");
  const body = table.tBodies[0];
  const headings = Array.from(table.tHead.rows[0].cells);
  const names = headings.map((heading) => heading.textContent.trim());
  const listed = Array.from(body.rows);
  const curves = new Map(); // drawn on this page, by the test's id
  for (const row of listed) {
    const curve = row.cells[0].querySelector("svg");
    if (curve) curves.set(row.cells[0].textContent.trim(), curve);
  }

  // The fields
  const fields = new Map();
  const bar = part("form", "finder-bar");
  const fold = part("details", "", part("summary", "", "Filter and sort"));
  const room = part("div", "choices");
  fold.append(room);
  const chosen = [...new URLSearchParams(location.search).keys()].some((one) => one !== "q");
  fold.open = matchMedia("(min-width: 40.01rem)").matches || chosen;
  bar.setAttribute("role", "search");
  bar.setAttribute("aria-label", "Tests");
  function add(name, field, text) {
    field.id = `find-${key(name)}`;
    field.name = key(name);
    fields.set(key(name), field);
    (name === "q" ? bar : room).append(labelled(text, field));
    return field;
  }
  const typed = add("q", part("input"), "Any words");
  typed.type = "search";
  for (const name of CHOICES) add(name, part("select"), name).append(new Option("any", ""));
  for (const [name, text] of [["from", "Tested from"], ["to", "to"]]) {
    add(name, part("input"), text).type = "date";
  }
  const order = add("sort", part("select"), "Sort by");
  order.append(new Option("as listed", ""));
  for (const name of names) {
    order.append(new Option(name, name), new Option(`${name}, down`, `-${name}`));
  }
  const clear = part("button", "", "Clear");
  const count = part("span", "count");
  clear.type = "button";
  count.setAttribute("role", "status");
  bar.append(fold, part("p", "found", clear, count));
  block.querySelector("h2").after(bar);
  const more = part("button", "more-rows", "");
  more.type = "button";
  more.hidden = true;
  block.append(more);
  const parts = block.querySelector("nav.parts");

  function question() {
    const asks = new URLSearchParams();
    for (const [name, field] of fields) if (field.value) asks.set(name, field.value);
    return asks;
  }

  function fillChoices() {
    for (const name of CHOICES) {
      const select = fields.get(key(name));
      const column = place(names, name);
      const found = new Map();
      for (const test of tests) {
        const text = sort(name, test.cells[column].text);
        if (text !== "—" && text) found.set(text, (found.get(text) || 0) + 1);
      }
      const kept = select.value;
      select.replaceChildren(new Option("any", ""));
      for (const text of [...found.keys()].sort()) {
        select.append(new Option(`${text} (${found.get(text)})`, text));
      }
      if (kept && !found.has(kept)) select.append(new Option(kept, kept));
      select.value = kept;
      select.closest(".asked").hidden = found.size < 2 && !kept;
    }
  }

  function matching(asks) {
    const day = names.indexOf("Tested");
    const words = asked(asks.get("q") || "", tests.map((test) => test.text));
    const chosen = CHOICES.filter((name) => asks.get(key(name))).map((name) => [
      place(names, name),
      name,
      folded(asks.get(key(name))),
    ]);
    const from = asks.get("from") || "";
    const to = asks.get("to") || "9999";
    return tests.filter(({ cells, text }) => {
      if (!words.every((word) => text.includes(word))) return false;
      for (const [column, name, value] of chosen) {
        if (folded(sort(name, cells[column].text)) !== value) return false;
      }
      const on = cells[day].text;
      if (!asks.has("from") && !asks.has("to")) return true;
      return on !== "—" && from <= on && on <= to;
    });
  }

  function inOrder(found, sorted) {
    const down = sorted.startsWith("-");
    const column = names.indexOf(down ? sorted.slice(1) : sorted);
    for (const heading of headings) heading.removeAttribute("aria-sort");
    if (column < 0) return found;
    headings[column].setAttribute("aria-sort", down ? "descending" : "ascending");
    const keyed = found.map((test) => [sortKey(test.cells[column].text), test]);
    keyed.sort((a, b) => (down ? compare(b[0], a[0]) : compare(a[0], b[0])));
    return keyed.map((pair) => pair[1]);
  }

  function drawn({ cells, mark }) {
    const row = part("tr", mark && `is-${mark}`);
    names.forEach((name, i) => {
      const { text, href } = cells[i];
      const cell = part(i ? "td" : "th", text === "—" ? "e" : text.length <= 18 ? "s" : "");
      if (i) cell.dataset.label = name;
      else cell.scope = "row";
      if (href) {
        const link = part("a", "", text);
        link.href = top + href;
        cell.append(link);
      } else {
        cell.append(text);
      }
      const curve = i ? null : curves.get(text);
      if (curve) cell.append(curve.cloneNode(true));
      row.append(cell, "\n"); // as written: on a phone a row runs on
    });
    return row;
  }

  function show(found, most) {
    body.replaceChildren(...found.slice(0, most).map(drawn));
    more.hidden = found.length <= most;
    more.textContent = `Show all ${found.length}`;
    more.onclick = () => show(found, found.length);
  }

  function answer() {
    const asks = question();
    const nothing = ![...asks.keys()].length;
    clear.hidden = nothing;
    if (parts) parts.hidden = !nothing;
    if (nothing) {
      count.textContent = "";
      more.hidden = true;
      inOrder([], "");
      body.replaceChildren(...listed);
      return;
    }
    const found = inOrder(matching(asks), asks.get("sort") || "");
    count.textContent = `${found.length} of ${tests.length}`;
    show(found, FIRST);
  }

  let ready = null;
  function begin() {
    ready ??= load(() => {}).then(
      () => {
        fillChoices();
        answer();
      },
      () => {
        count.textContent = "The data of the list could not be loaded.";
      },
    );
    return ready;
  }

  // The address: a choice is a step back; letters typed one after another are one.
  let typing = false;
  function keep(asNew) {
    const asks = question().toString();
    const address = `${location.pathname}${asks ? `?${asks}` : ""}`;
    if (asNew) history.pushState(null, "", address);
    else history.replaceState(null, "", address);
  }
  function read() {
    const asks = new URLSearchParams(location.search);
    for (const [name, field] of fields) {
      const value = asks.get(name) || "";
      if (field.tagName === "SELECT" && value) {
        const options = Array.from(field.options, (option) => option.value);
        const same = options.find((one) => folded(one) === folded(value));
        if (same === undefined) field.append(new Option(value, value));
        field.value = same ?? value;
      } else {
        field.value = value;
      }
    }
    typing = false;
  }
  bar.addEventListener("submit", (event) => event.preventDefault());
  bar.addEventListener("focusin", begin);
  bar.addEventListener("input", (event) => {
    const letters = event.target === typed;
    keep(!(letters && typing));
    typing = letters;
    begin().then(answer);
  });
  typed.addEventListener("change", () => {
    typing = false;
  });
  clear.addEventListener("click", () => {
    for (const field of fields.values()) field.value = "";
    keep(true);
    answer();
    typed.focus();
  });
  addEventListener("popstate", () => {
    read();
    begin().then(answer);
  });
  headings.forEach((heading, column) => {
    const button = part("button", "sort", ...heading.childNodes);
    button.type = "button";
    heading.append(button);
    button.addEventListener("click", () => {
      order.value = `${order.value === names[column] ? "-" : ""}${names[column]}`;
      keep(true);
      begin().then(answer);
    });
  });
  read();
  clear.hidden = true;
  if (location.search) begin();
}

for (const block of document.querySelectorAll(".list.finder")) {
  if (block.querySelector("table")) makeFinder(block);
}
