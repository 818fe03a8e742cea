// Puts the wall in place as it comes, and lets its seconds run between.
"use strict";
const wall = document.getElementById("wall");
const lost = document.getElementById("lost");
let read = performance.now();

function two(number) { return String(number).padStart(2, "0"); }

// The same as `told` in kiosk/office/app.py.
function told(count, seconds) {
  const whole = count === "down" || count === "clock" ? Math.ceil(seconds) : Math.floor(seconds);
  const sign = count === "over" ? "+" : "";
  if (whole >= 3600) return `${sign}${Math.floor(whole / 3600)}:${two(Math.floor(whole / 60) % 60)} h`;
  if (whole >= 100 || count === "clock") return `${sign}${Math.floor(whole / 60)}:${two(whole % 60)}`;
  return `${sign}${whole}`;
}

function tick() {
  const gone = (performance.now() - read) / 1000;
  for (const each of wall.querySelectorAll("[data-seconds]")) {
    const { count, seconds } = each.dataset;
    const down = count === "down" || count === "clock";
    const text = told(count, Math.max(0, Number(seconds) + (down ? -gone : gone)));
    each.textContent = text;
    each.dataset.unit = text.includes(":") ? "" : "s";
  }
}

const source = new EventSource("/wall/live");
source.onmessage = event => {
  wall.innerHTML = event.data;
  read = performance.now();
  lost.hidden = true;
  tick();
};
source.onerror = () => { lost.hidden = false; };
setInterval(tick, 200);
