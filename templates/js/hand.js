// Tells of a report in hand, by its file or its code, whether it is as issued and still
// valid. The file is read here and sent nowhere.
"use strict";

const LEAST = 8; // digits of a code
const WHOLE = 64; // digits of a file's digest: a forger can match the first ones
const parts = {}; // by first digits, as loaded
let arrived = null;

function load(name) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = name;
    script.onload = () => resolve(arrived);
    script.onerror = () => reject(new Error(`${name} could not be loaded`));
    document.head.append(script);
  });
}

async function part(digest) {
  const all = (parts[""] ??= await load("data.js"));
  if (!all.digits) return all;
  const start = digest.slice(0, all.digits);
  return (parts[start] ??= await load(`data-${start}.js`));
}

function digestOfText(text) {
  return window.sha256(new TextEncoder().encode(text));
}

// Every report with a digest that begins so: how it was found, its number, what is said.
async function found(digits, kinds) {
  const { keys } = await part(digits);
  const hits = Object.keys(keys).filter((key) => key.startsWith(digits));
  const reports = [];
  for (const text of new Set(hits.map((key) => keys[key]))) {
    const [kind, ...words] = text.split(" ");
    const number = words.join(" ");
    if (!kinds.includes(kind)) continue;
    const about = (await part(digestOfText(number))).reports[number];
    reports.push({ ...about, kind, number });
  }
  return reports;
}

function element(name, text, className = "") {
  const made = document.createElement(name);
  made.textContent = text;
  if (className) made.className = className;
  return made;
}

function link(text, address) {
  const made = element("a", text);
  made.href = `../${address.split("/").map(encodeURIComponent).join("/")}`;
  return made;
}

function results(report) {
  const list = document.createElement("dl");
  for (const [name, text] of report.results) {
    const row = document.createElement("div");
    row.append(element("dt", name), element("dd", text));
    list.append(row);
  }
  return list;
}

function lines(report, sentence) {
  const about = element("p", "", "ways");
  about.append(link(`${report.number} as issued`, report.revision));
  about.append(link(`Current state of ${report.number.split(" ")[0]}`, report.test));
  return [
    element("p", report.state, `status ${report.tone}`),
    element("p", sentence),
    ...(report.why ? [element("p", report.why)] : []),
    ...(report.results.length ? [element("p", "It reports:"), results(report)] : []),
    about,
  ];
}

function issuedOn(report) {
  return `${report.number}, ${report.sort.toLowerCase()} of ${report.issued}`;
}

const SAID = {
  HTML: (report) => `This file is ${issuedOn(report)}, as issued and unchanged.`,
  PDF: (report) => `This file is ${issuedOn(report)}, as issued and unchanged.`,
  code: (report) =>
    `The code is that of ${issuedOn(report)}. A print can be altered: compare its numbers.`,
  name: (report) =>
    `${issuedOn(report)}. A number proves nothing: compare the report code and the numbers.`,
};

// What a file says of itself, so that an altered one can be told from a stranger's.
async function codesIn(bytes) {
  const text = new TextDecoder("latin1").decode(bytes);
  const codes = text.match(/sha256:[0-9a-f]{64}/g) ?? [];
  return [...new Set(codes)].map((code) => code.slice("sha256:".length));
}

async function ofFile(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  const digest = window.sha256(bytes);
  const same = await found(digest, ["HTML", "PDF"]);
  if (same.length) return same.flatMap((one) => lines(one, SAID[one.kind](one)));
  const named = [];
  for (const code of await codesIn(bytes)) named.push(...(await found(code, ["code"])));
  const shown = [];
  for (const one of named) {
    shown.push(
      element("p", `Not as issued: do not rely on ${file.name}.`, "status stop"),
      element(
        "p",
        `It prints the code of ${issuedOn(one)}, but differs from every file that was ` +
          "issued: it was altered, or saved anew by a browser or a mail program.",
      ),
      ...lines(one, "Of the report as issued:"),
    );
  }
  if (!named.length) {
    shown.push(
      element("p", `${file.name} is no report listed here.`, "status stop"),
      element("p", "It is not a report of this site, or not as it was issued."),
    );
  }
  const sum = element("p", "SHA-256 of the file: ");
  sum.append(element("code", digest));
  return [...shown, sum];
}

async function ofText(text) {
  const plain = text.toLowerCase().replace(/[\s-]/g, "");
  const digits = plain.replace(/^sha256:/, "");
  const code = /^[0-9a-f]{1,64}$/.test(digits);
  const kinds = digits.length === WHOLE ? ["HTML", "PDF", "code"] : ["code"];
  const hits = code && digits.length >= LEAST ? await found(digits, kinds) : [];
  if (!hits.length) hits.push(...(await found(digestOfText(plain), ["name"])));
  if (hits.length) return hits.flatMap((one) => lines(one, SAID[one.kind](one)));
  const why =
    code && digits.length < LEAST
      ? `Enter at least ${LEAST} digits of the code.`
      : "No report listed here has this code, digest or number.";
  return [element("p", why, "status stop")];
}

function form(block) {
  const made = document.createElement("form");
  const file = Object.assign(document.createElement("input"), {
    type: "file",
    id: "hand-file",
    accept: ".html,.htm,.pdf",
  });
  const text = Object.assign(document.createElement("input"), {
    type: "text",
    id: "hand-code",
    autocomplete: "off",
    spellcheck: false,
  });
  const check = element("button", "Check");
  const answer = element("div", "", "answer");
  answer.setAttribute("role", "status");
  const labels = [
    ["hand-file", "The file (HTML or PDF), chosen or dropped on this page"],
    ["hand-code", "or the report code printed on it"],
  ].map(([id, words]) => Object.assign(element("label", words), { htmlFor: id }));
  const line = element("p", "", "line");
  line.append(text, check);
  const note =
    "The file is read in this browser and sent nowhere. The first 8 digits of the code " +
    "are enough; a file’s SHA-256 must be whole. A report’s number works, too.";
  made.append(labels[0], file, labels[1], line, element("p", note, "note"));
  block.querySelector("h2").after(made, answer);
  return { made, file, text, answer };
}

function start(block) {
  const { made, file, text, answer } = form(block);
  let asked = 0;
  async function tell(finding) {
    asked += 1;
    const mine = asked;
    let said;
    try {
      said = await finding;
    } catch (error) {
      said = [element("p", `${error.message}: compare by the list below.`, "status stop")];
    }
    if (mine !== asked) return;
    answer.replaceChildren(...said);
    answer.firstChild.scrollIntoView({ block: "nearest" });
  }
  made.addEventListener("submit", (event) => {
    event.preventDefault();
    if (text.value.trim()) tell(ofText(text.value));
  });
  file.addEventListener("change", () => {
    if (file.files.length) tell(ofFile(file.files[0]));
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    if (event.dataTransfer.files.length) tell(ofFile(event.dataTransfer.files[0]));
  });
  // report-in-hand/index.html#4f2a91c077de asks by itself.
  function askedByAddress() {
    if (location.hash.length <= LEAST) return;
    text.value = location.hash.slice(1);
    tell(ofText(text.value));
  }
  window.addEventListener("hashchange", askedByAddress);
  askedByAddress();
}

window.reportsInHand = (data) => {
  arrived = data;
};
const block = document.querySelector(".hand");
if (block) start(block);
