// Draws any two tests that the address names beside each other: their results with the
// differences, their curves on one figure. Each test's curve is a script of its own.
"use strict";

const { folded } = self.matching;
const { made, told } = self.drawing;
const FAR = 2; // letters by which an id may be mistyped
const MOST = 8; // ids offered instead

// Letters put in, left out or changed that make one text of another (Levenshtein).
function apart(one, other) {
  let row = Array.from({ length: other.length + 1 }, (_, i) => i);
  for (let i = 0; i < one.length; i += 1) {
    const next = [i + 1];
    for (let k = 0; k < other.length; k += 1) {
      next.push(Math.min(next[k] + 1, row[k + 1] + 1, row[k] + (one[i] === other[k] ? 0 : 1)));
    }
    row = next;
  }
  return row[other.length];
}

// Whether a text has these letters in their order, as "embankment" has those of "ebk".
function inOrder(letters, text) {
  let from = 0;
  return [...letters].every((letter) => {
    from = text.indexOf(letter, from) + 1;
    return from > 0;
  });
}

/** The one test that was meant; else those that are near, and whether each was meant. */
function meant(typed, ids) {
  if (ids.includes(typed)) return { id: typed };
  const asked = folded(typed);
  const same = ids.filter((id) => folded(id) === asked);
  const some = same.length || !asked ? same : ids.filter((id) => folded(id).includes(asked));
  if (some.length === 1) return { id: some[0] };
  if (some.length) return { near: some, any: true };
  const far = ids
    .map((id) => [apart(folded(id), asked), id])
    .filter(([letters, id]) => letters <= FAR || (asked && inOrder(asked, folded(id))));
  return { near: far.sort((a, b) => a[0] - b[0]).map(([, id]) => id), any: false };
}

function parted(text) {
  const found = /^([−+-]?\d+(?:\.\d+)?)(?: (.*))?$/.exec(text || "");
  return found ? [found[1].replace("−", "-"), found[2] || ""] : null;
}

// Figures in lbf/ft³ and in lb/ft³ are numerically equal.
function asMass(unit) {
  return unit.replace("lbf", "lb");
}

function signed(value, places) {
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(places)}`;
}

// The difference of two figures, and what it is in percent of the first: of densities in
// two units the percentage alone. `a` and `b` are the tests.
function difference([a, one], [b, other]) {
  const [was, now] = [parted(one), parted(other)];
  if (!was || !now) return "—";
  if (asMass(was[1]) !== asMass(now[1])) {
    if (was[1] !== a.unit || now[1] !== b.unit) return "—";
    const [first, second] = [was[0] / a.si, now[0] / b.si]; // kg/m³
    return `${signed((100 * (second - first)) / first, 1)} %`;
  }
  const places = Math.max(...[was, now].map(([n]) => n.split(".")[1]?.length || 0));
  const gap = Number(now[0]) - Number(was[0]);
  if (!Number(gap.toFixed(places))) return "none";
  if (now[1] === "%" || now[1] === "points") return `${signed(gap, places)} points`;
  const share = (100 * gap) / Number(was[0]);
  return `${signed(gap, places)} ${now[1]} (${signed(share, 1)} %)`;
}

// Results by their names: standards have other words for the same.
function results(a, b) {
  const names = [...new Set([...a.results, ...b.results].map(([name]) => name))];
  const row = (name) => {
    const both = [a, b].map((one) => one.results.find(([other]) => other === name) || [name, "", "—"]);
    const words = [...new Set(both.map(([, word]) => word).filter(Boolean))].join(" / ");
    const [one, other] = both.map(([, , text]) => text);
    const cells = [[a.name, one], [b.name, other], ["Difference", difference([a, one], [b, other])]];
    return made("tr", {}, made("th", { scope: "row" }, words), ...cells.map(([label, text]) => made("td", { "data-label": label }, text)));
  };
  const heads = ["Result", a.name, b.name, "Difference"].map((text) => made("th", { scope: "col" }, text));
  return made("table", {}, made("thead", {}, made("tr", {}, ...heads)), made("tbody", {}, ...names.map(row)));
}

function about(one) {
  return made("p", {}, made("a", { href: `../tests/${encodeURIComponent(one.id)}/index.html` }, one.name), `: ${one.made}; ${one.soil}`);
}

// What is said of an id that is no test's: those that are near lead on.
function unfound(typed, { near, any }, addressOf) {
  const lead = any ? `“${typed}” may be any of ${near.length} tests` : `No test “${typed}” with a curve is here`;
  const links = near.slice(0, MOST).map((id) => made("a", { href: addressOf(id) }, id));
  const rest = near.length > MOST ? [` and ${near.length - MOST} more`] : [];
  const some = links.flatMap((link, i) => (i ? [", ", link] : [any ? ": " : ". Near it: ", link]));
  return made("p", {}, lead, ...some, ...rest, ".");
}

class TwoTests {
  constructor(block) {
    const field = (name) => made("input", { name, required: "", autocomplete: "off", spellcheck: "false", autocapitalize: "characters" });
    this.inputs = ["a", "b"].map(field);
    const labels = this.inputs.map((input, i) => made("label", {}, ["First test ", "Second test "][i], input));
    this.form = made("form", { class: "two-form" }, ...labels, made("button", {}, "Compare"));
    this.said = made("div", { role: "status", id: "two-said" });
    this.panel = made("div", { class: "two-panel" });
    block.querySelector("h2").after(this.form, this.said, this.panel);
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.draw(true);
    });
    window.addEventListener("popstate", () => this.read());
    this.read();
  }

  // What the address asks for.
  read() {
    const asked = new URLSearchParams(window.location.search);
    for (const input of this.inputs) input.value = asked.get(input.name) || "";
    this.draw(false);
  }

  address(values) {
    return `?${new URLSearchParams(Object.entries(values).filter(([, id]) => id))}`;
  }

  async draw(byHand) {
    const typed = this.inputs.map((input) => input.value.trim());
    this.panel.replaceChildren();
    this.said.replaceChildren();
    for (const input of this.inputs) input.removeAttribute("aria-invalid");
    if (!typed.some(Boolean)) return;
    this.ids ??= told("tests.js", "comparedTests");
    const ids = (await this.ids) || [];
    const found = typed.map((text) => (text ? meant(text, ids) : { id: "" }));
    const [a, b] = found.map(({ id }, i) => (id === undefined ? typed[i] : id));
    const wrong = this.inputs.filter((input, i) => {
      input.value = [a, b][i];
      if (found[i].id !== undefined) return false;
      const other = (id) => this.address(i ? { a, b: id } : { a: id, b });
      this.said.append(unfound(typed[i], found[i], other));
      input.setAttribute("aria-invalid", "true");
      return true;
    });
    if (byHand && wrong.length) wrong[0].focus();
    if (wrong.length || !a || !b) return;
    const address = this.address({ a, b });
    if (byHand && address !== window.location.search) window.history.pushState(null, "", address);
    await this.show(a, b);
  }

  async show(a, b) {
    if (a === b) {
      this.said.replaceChildren(made("p", {}, `Both are ${a}: name another test.`));
      return;
    }
    const load = (id) => told(`../tests/${encodeURIComponent(id)}/curve-data.js`, "comparedCurve");
    const tests = [await load(a), await load(b)];
    if (this.inputs[0].value !== a || this.inputs[1].value !== b) return; // asked anew meanwhile
    const lost = [a, b].filter((_, i) => !tests[i]);
    if (lost.length) {
      this.said.replaceChildren(made("p", {}, `The curve of ${lost.join(" and ")} could not be loaded.`));
      return;
    }
    this.said.replaceChildren(made("p", {}, `From ${tests[0].name} to ${tests[1].name}:`));
    this.panel.replaceChildren(results(...tests), ...tests.map(about), self.twoCurves(...tests, this.panel.clientWidth));
  }
}

const heading = document.getElementById("two-tests");
if (heading) new TwoTests(heading.closest(".block"));
