// Optional: a figure as PNG, saved or copied for pasting. Pages work without it: the SVG
// is among the files.
"use strict";

const { told } = self.drawing;
const WIDE = 1600; // of the picture [pixels]

function pictureOf(text) {
  const [, wide, tall] = /<svg[^>]* width="(\d+)" height="(\d+)"/.exec(text);
  const size = [WIDE, Math.round((WIDE * tall) / wide)];
  const large = text.replace(/ width="\d+" height="\d+"/, ` width="${size[0]}" height="${size[1]}"`);
  const image = new Image(...size);
  return new Promise((resolve, reject) => {
    image.addEventListener("load", () => resolve([image, size]));
    image.addEventListener("error", reject);
    image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(large)}`;
  });
}

// CRC-32 of a chunk (PNG, third edition, annex D).
function checksum(bytes) {
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let i = 0; i < 8; i += 1) sum = sum & 1 ? (sum >>> 1) ^ 0xedb88320 : sum >>> 1;
  }
  return (sum ^ 0xffffffff) >>> 0;
}

// A text chunk in UTF-8 (PNG, third edition, 11.3.3.4 iTXt).
function textChunk(keyword, text) {
  const body = new TextEncoder().encode(`iTXt${keyword}\0\0\0\0\0${text}`);
  const chunk = new Uint8Array(body.length + 8);
  const view = new DataView(chunk.buffer);
  view.setUint32(0, body.length - 4);
  chunk.set(body, 4);
  view.setUint32(body.length + 4, checksum(body));
  return chunk;
}

const AFTER_HEADER = 33; // signature and IHDR

async function png(address) {
  // The drawing comes as a script: a page on the disk may show a picture file, and may
  // not read it back.
  const figure = await told(address, "figurePicture");
  if (!figure) throw new Error(address);
  const [image, [wide, tall]] = await pictureOf(figure.svg);
  const canvas = document.createElement("canvas");
  canvas.width = wide;
  canvas.height = tall;
  canvas.getContext("2d").drawImage(image, 0, 0, wide, tall);
  const plain = await new Promise((resolve) => canvas.toBlob(resolve, "image/png"));
  const bytes = new Uint8Array(await plain.arrayBuffer());
  const texts = [
    ["Title", figure.title],
    ["Description", figure.shows],
    ["Software", "buildsite"],
  ].map((pair) => textChunk(...pair));
  const parts = [bytes.slice(0, AFTER_HEADER), ...texts, bytes.slice(AFTER_HEADER)];
  return new Blob(parts, { type: "image/png" });
}

function save(blob, name) {
  const link = document.createElement("a");
  const address = URL.createObjectURL(blob);
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}

function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}

for (const figure of document.querySelectorAll("figure[data-picture]")) {
  const address = figure.dataset.picture;
  const file = new URL(address, location.href).pathname.split("/").slice(-2);
  const name = `${file[0]}-${file[1].replace(".svg.js", "")}.png`;
  const tools = document.createElement("p");
  const said = document.createElement("span");
  const tell = (text) => {
    said.textContent = text;
  };
  const failed = () => tell("This browser made no picture. The SVG is among the files.");
  tools.className = "tools";
  said.setAttribute("role", "status");
  tools.append(
    button("Save as PNG", () =>
      png(address).then((blob) => {
        save(blob, name);
        tell(`Saved as ${name}.`);
      }, failed),
    ),
  );
  if (navigator.clipboard && window.ClipboardItem) {
    tools.append(
      button("Copy picture", () =>
        navigator.clipboard
          .write([new ClipboardItem({ "image/png": png(address) })])
          .then(() => tell("Copied, to be pasted."), failed),
      ),
    );
  }
  tools.append(said);
  figure.append(tools);
}
