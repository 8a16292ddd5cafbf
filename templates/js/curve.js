// Optional: reads values off a curve. Pages work without it.
"use strict";

const STEPS = { ArrowLeft: [-0.01, 0], ArrowRight: [0.01, 0], ArrowUp: [0, 0.01], ArrowDown: [0, -0.01] };

// The figure is a picture: a place on it is converted to water content and density by the
// ends of its axes, given in the data of the figure.
function readOff(figure) {
  const data = figure.dataset;
  const at = (name) => Number(data[name]);
  const image = figure.querySelector("img");
  const reading = document.createElement("p");
  reading.className = "reading";
  reading.textContent = "Hover, tap or use the arrow keys to read values.";
  reading.setAttribute("role", "status");
  figure.append(reading);
  let spot = [0.5, 0.5];
  const show = (across, up) => {
    if (across < 0 || across > 1 || up < 0 || up > 1) return;
    spot = [across, up];
    const x = at("x0") + across * (at("x1") - at("x0"));
    const y = at("y0") + up * (at("y1") - at("y0"));
    reading.textContent = `${y.toFixed(at("ydecimals"))} ${data.yunit} at ${x.toFixed(1)} ${data.xunit}`;
  };
  const read = (event) => {
    const box = image.getBoundingClientRect();
    show(
      ((event.clientX - box.left) / box.width - at("left")) / (at("right") - at("left")),
      ((event.clientY - box.top) / box.height - at("bottom")) / (at("top") - at("bottom")),
    );
  };
  image.tabIndex = 0;
  image.addEventListener("keydown", (event) => {
    const step = STEPS[event.key];
    if (!step) return;
    event.preventDefault();
    show(spot[0] + step[0], spot[1] + step[1]);
  });
  image.addEventListener("pointermove", read);
  image.addEventListener("pointerdown", read);
}

for (const figure of document.querySelectorAll("figure[data-left]")) readOff(figure);
