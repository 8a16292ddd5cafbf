// How what somebody typed is compared with what stands on a page: blanks, hyphens,
// case and accents are forgiven: t180 finds AASHTO T 180, and borrowpit1 borrow pit 1.
"use strict";

const PLAIN = /^[\x00-\x7f]*$/; // most texts, and much quicker to fold

function folded(said) {
  // Signs of our own texts: what follows would make the same of them, more slowly.
  const text = said.replace(/³/g, "3").replace(/²/g, "2").replace(/[—−·°±]/g, "");
  if (PLAIN.test(text)) return text.toLowerCase().replace(/[^a-z0-9.\n]+/g, "");
  return text.normalize("NFKD").toLowerCase().replace(/[^\p{L}\p{N}.\n]+/gu, "");
}

/** Words that must all be found; a phrase that any of `texts` has is one word. */
function asked(typed, texts) {
  const phrase = folded(typed);
  if (!phrase) return [];
  if (texts.some((text) => text.includes(phrase))) return [phrase];
  return typed.split(/\s+/).map(folded).filter(Boolean);
}

/** Numbers by their value, then texts, then nothing. */
function sortKey(text) {
  const number = /^[-−]?[0-9.]+(?=$|[\s ])/.exec(text);
  return number
    ? [0, Number(number[0].replace("−", "-")), text]
    : [text === "—" ? 2 : 1, 0, text];
}

function compare(a, b) {
  for (let i = 0; i < a.length; i += 1) {
    if (a[i] < b[i]) return -1;
    if (a[i] > b[i]) return 1;
  }
  return 0;
}

self.matching = { folded, asked, sortKey, compare };
