// What the other scripts draw with: parts of a page and of a figure, other scripts' data.
"use strict";

const SVG = "http://www.w3.org/2000/svg";

function made(name, attributes, ...children) {
  const part = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) part.setAttribute(key, value);
  part.append(...children);
  return part;
}

function drawn(name, attributes, ...children) {
  const part = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) part.setAttribute(key, value);
  part.append(...children);
  return part;
}

/** What a script of data hands to the function `receiver`; null where there is none. A
    script, not a request: a page on the disk may not fetch. */
function told(address, receiver) {
  return new Promise((resolve) => {
    const script = document.createElement("script");
    let arrived = null;
    script.src = address;
    script.addEventListener("load", () => resolve(arrived));
    script.addEventListener("error", () => resolve(null));
    waiting.set(script.src, (data) => {
      arrived = data;
    });
    window[receiver] ??= (data) => waiting.get(document.currentScript.src)(data);
    document.head.append(script);
  });
}

const waiting = new Map(); // address of a script: whom to tell what it hands over

self.drawing = { made, drawn, told };
