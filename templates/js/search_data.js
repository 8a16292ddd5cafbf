// What the site is searched by: scripts of data in search/, loaded when first asked
// for. Scripts, because a page opened from the disk may not read another file.
"use strict";

const { folded } = self.matching;
const own = document.currentScript.src;
const top = own.slice(0, own.lastIndexOf("/") + 1);
const told = new Map(); // name of a file of data: whom to tell of it
const things = [];
const tests = [];
let columns = [];
const waiting = new Set(); // whom to tell whenever a file has come
const FRAME_MS = 20; // a browser draws within it
let begun = null;

/** A text of the data with the address that it leads to, ready to be compared. */
function entry(said) {
  const [text, href] = Array.isArray(said) ? said : [said, ""];
  return { text, href, folded: folded(text) };
}

function readThings(rows) {
  for (const [what, name, about, href, words] of rows) {
    const title = folded(name);
    const rest = [what, about, words].map(folded).join("\n");
    things.push({ what, name, about, href, title, text: `${title}\n${rest}` });
  }
}

function readTests(data) {
  const shared = data.shared.map(entry);
  for (const row of data.tests) {
    const own = []; // texts of this test alone, made ready together: its id is the first
    let text = "";
    const cells = row.map((one) => {
      if (typeof one !== "number") {
        own.push(one);
        return { text: one, href: "" };
      }
      text += `\n${shared[one].folded}`;
      return shared[one];
    });
    cells[0].href = `tests/${encodeURIComponent(own[0])}/index.html`;
    const mark = cells.pop().text;
    const folds = folded(own.join("\n"));
    const title = folds.slice(0, folds.indexOf("\n"));
    tests.push({ cells, mark, text: folds + text, title });
  }
}

self.archiveData = (name, data) => {
  if (data.things && name !== "data") readThings(data.things);
  if (data.shared) readTests(data);
  told.get(name)(data);
};

function loaded(name) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    told.set(name, resolve);
    script.src = `${top}search/${name}.js`;
    script.addEventListener("error", () => reject(new Error(`${name} is missing`)));
    document.head.append(script);
  });
}

/** Load the files of some names at once; `tell` is called whenever one has come. */
function all(names) {
  return Promise.all(names.map((name) => loaded(name).then(tell)));
}

function tell() {
  for (const more of waiting) more();
}

/** Load what is no test first: little, so that its answers are drawn before the rest. */
async function loadAll() {
  const data = await loaded("data");
  columns = data.columns;
  await all(data.things);
  await new Promise((drawn) => setTimeout(drawn, FRAME_MS));
  await all(data.tests);
}

/** Load everything once; `more` is called whenever a file of it has come. */
async function load(more) {
  waiting.add(more);
  begun ??= loadAll();
  await begun;
}

self.archive = { load, things, tests, top, columns: () => columns };
