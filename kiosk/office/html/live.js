// Puts the wall in place as it comes, and lets its seconds run between.
"use strict";
const wall = document.getElementById("wall");
const lost = document.getElementById("lost");
let read = performance.now();

function two(number) { return String(number).padStart(2, "0"); }

// The same as `clock_text` in kiosk/office/pages.py.
function clock_text(count, seconds) {
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
    const text = clock_text(count, Math.max(0, Number(seconds) + (down ? -gone : gone)));
    each.textContent = text;
    each.dataset.unit = text.includes(":") ? "" : "s";
  }
}

// The board tells the wall every 15 s at the latest. A line that is dead without saying so (a cable
// pulled, a board asleep) brings no error: what is not heard for longer is lost, and asked for again.
// A browser's machine that slept for hours has lost it too, and its seconds may have stood still
// meanwhile: only the hour tells, by how much later the next look comes.
const SILENT = 40, AGAIN = 10, ASLEEP = 5;  // seconds
let source, heard, looked = Date.now();

function listen() {
  if (source) source.close();
  source = new EventSource("/wall/live");
  heard = performance.now();
  source.onmessage = event => {
    const at = wall.contains(document.activeElement) && document.activeElement.getAttribute("href");
    wall.innerHTML = event.data;
    if (at) wall.querySelector(`a[href="${CSS.escape(at)}"]`)?.focus({ preventScroll: true });
    read = heard = performance.now();
    lost.hidden = true;
    tick();
  };
  source.onerror = () => { lost.hidden = false; };
}

listen();
setInterval(() => {
  const slept = !document.hidden && Math.abs(Date.now() - looked) > ASLEEP * 1000;
  looked = Date.now();
  tick();
  if (!slept && (performance.now() - heard) / 1000 < (lost.hidden ? SILENT : AGAIN)) return;
  lost.hidden = false;
  listen();
}, 200);
