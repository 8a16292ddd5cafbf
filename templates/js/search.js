// Optional: searches the whole site by whatever is typed. Without it the page Search
// has an index to be read.
"use strict";

const { folded, asked } = self.matching;
const { load, things, tests, top, columns } = self.archive;
const MOST = 12; // answers shown at once

/** How well an entry answers: its name alone, its name's beginning, its name, else. */
function rank(title, words, phrase) {
  if (title === phrase) return 0;
  if (title.startsWith(phrase)) return 1;
  if (title.includes(phrase)) return 2;
  return words.some((word) => title.includes(word)) ? 3 : 4;
}

function best(entries, typed) {
  const words = asked(typed, entries.map((one) => one.text));
  const phrase = folded(typed);
  const found = entries.filter((one) => words.every((word) => one.text.includes(word)));
  const ranked = found.map((one, i) => [rank(one.title, words, phrase), i, one]);
  ranked.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  return ranked;
}

function testAnswer({ cells }) {
  const cell = (name) => cells[columns().indexOf(name)].text;
  const about = ["Kind", "Result", "Verdict", "Class", "Soil", "Zone", "Status"];
  const said = about.map(cell).filter((text) => text !== "—");
  return { what: "Test", name: cells[0].text, about: said.join(", "), href: cells[0].href };
}

/** Answers to what was typed, best first, and how many there are in all. */
function answers(typed) {
  const other = best(things, typed);
  const some = best(tests, typed);
  const all = [
    ...other.slice(0, MOST).map(([rank, , one]) => [rank, 0, one]),
    ...some.slice(0, MOST).map(([rank, , one]) => [rank, 1, testAnswer(one)]),
  ];
  all.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const shown = all.slice(0, MOST).map((one) => one[2]);
  if (some.length > 1) {
    shown.push({
      what: "List",
      name: `All ${some.length} tests`,
      about: `with “${typed.trim()}”`,
      href: `tests/index.html?q=${encodeURIComponent(typed.trim())}`,
    });
  }
  return { shown, count: other.length + some.length };
}

function part(name, className, ...held) {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.append(...held);
  return made;
}

let made = 0;

/** A field with a list of answers below it: a combobox of the ARIA practices. */
function searchField() {
  made += 1;
  const id = `answers-${made}`;
  const label = part("label", "", "Search");
  const input = part("input", "");
  const list = part("ul", "answers");
  const status = part("p", "answer-count");
  const box = part("div", "search-field", label, input, status, list);
  let at = -1;
  let busy = true;
  input.type = "search";
  input.id = `search-${made}`;
  input.autocomplete = "off";
  input.spellcheck = false;
  label.htmlFor = input.id;
  list.id = id;
  list.hidden = true;
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", "Answers");
  status.setAttribute("role", "status");
  for (const [name, value] of [
    ["role", "combobox"],
    ["aria-expanded", "false"],
    ["aria-controls", id],
    ["aria-autocomplete", "list"],
  ]) {
    input.setAttribute(name, value);
  }

  function choose(next) {
    const options = list.children;
    if (at >= 0) options[at].setAttribute("aria-selected", "false");
    at = next;
    if (at < 0) {
      input.removeAttribute("aria-activedescendant");
      return;
    }
    options[at].setAttribute("aria-selected", "true");
    options[at].scrollIntoView({ block: "nearest" });
    input.setAttribute("aria-activedescendant", options[at].id);
  }

  function go(option) {
    location.href = option.dataset.href;
  }

  function show() {
    const typed = input.value;
    const { shown, count } = folded(typed) ? answers(typed) : { shown: [], count: 0 };
    choose(-1);
    const options = shown.map((one, i) => {
      const option = part(
        "li",
        "",
        part("span", "answer-name", one.name),
        " ",
        part("span", "answer-what", one.what),
        part("span", "answer-about", one.about),
      );
      option.id = `${id}-${i}`;
      option.dataset.href = `${top}${one.href}`;
      option.setAttribute("role", "option");
      option.setAttribute("aria-selected", "false");
      option.addEventListener("click", () => go(option));
      return option;
    });
    list.replaceChildren(...options);
    list.hidden = !options.length;
    input.setAttribute("aria-expanded", String(options.length > 0));
    const said = busy ? "Loading …" : `${count || "Nothing"} found`;
    status.textContent = folded(typed) ? said : "";
  }

  function begin() {
    load(show).then(
      () => {
        busy = false;
        show();
      },
      () => {
        status.textContent = "The data of the search could not be loaded.";
      },
    );
  }

  input.addEventListener("focus", begin, { once: true });
  input.addEventListener("input", show);
  input.addEventListener("keydown", (event) => {
    const last = list.children.length - 1;
    if (event.key === "Enter" && last >= 0) {
      event.preventDefault();
      go(list.children[Math.max(at, 0)]);
    } else if (event.key === "Escape" && input.value) {
      event.preventDefault();
      event.stopPropagation();
      input.value = "";
      show();
    } else if ((event.key === "ArrowDown" || event.key === "ArrowUp") && last >= 0) {
      event.preventDefault();
      const step = event.key === "ArrowDown" ? 1 : -1;
      const next = at + step;
      choose(next > last ? 0 : next < 0 ? last : next);
    }
  });
  return { box, input };
}

const SLASH = "search-by-slash";

function slashIsOff() {
  try {
    return localStorage.getItem(SLASH) === "no";
  } catch {
    return false; // a browser that keeps nothing
  }
}

/** A single character as a shortcut can be switched off: WCAG 2.2, 2.1.4. */
function slashChoice() {
  const box = part("input", "");
  const label = part("label", "slash", box, " The / key opens this");
  box.type = "checkbox";
  box.checked = !slashIsOff();
  box.addEventListener("change", () => {
    try {
      localStorage.setItem(SLASH, box.checked ? "yes" : "no");
    } catch {
      box.disabled = true; // it can't be kept: the choice stays as it is
    }
  });
  return label;
}

let dialog = null;

function openSearch() {
  if (!dialog) {
    const field = searchField();
    const close = part("button", "", "Close");
    close.type = "button";
    dialog = part("dialog", "search-dialog search", field.box);
    dialog.append(part("p", "search-foot", slashChoice(), " ", close));
    dialog.setAttribute("aria-label", "Search the site");
    close.addEventListener("click", () => dialog.close());
    dialog.addEventListener("click", (event) => {
      if (event.target === dialog) dialog.close(); // beside it
    });
    document.body.append(dialog);
  }
  dialog.showModal();
  const input = dialog.querySelector("input");
  input.focus();
  input.select();
}

function isTyping(target) {
  return target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName);
}

document.addEventListener("keydown", (event) => {
  const letter = event.key.toLowerCase();
  const slash = letter === "/" && !event.ctrlKey && !event.metaKey && !event.altKey;
  const command = letter === "k" && (event.ctrlKey || event.metaKey);
  if (!command && (!slash || isTyping(event.target) || slashIsOff())) return;
  event.preventDefault();
  openSearch();
});

for (const place of document.querySelectorAll(".block.search")) {
  const field = searchField();
  place.append(field.box);
  const typed = new URLSearchParams(location.search).get("q");
  if (typed) {
    field.input.value = typed;
    field.input.focus();
  }
}

for (const link of document.querySelectorAll('header.site a[href$="search/index.html"]')) {
  link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    openSearch();
  });
  link.setAttribute("aria-keyshortcuts", "/ Control+K");
}
