// The page of a pour: minutes that run down, a truck that grows old, the level that rises while one is being placed,
// and times that stay at the present minute until somebody types. Everything also works without this file: the page
// then shows the numbers of when it was loaded.
import { pourAt } from "./pour_sum.js";

const loaded = Date.now();
const two = (number) => String(number).padStart(2, "0");

// -- minutes left -------------------------------------------------------------------------------------------
const countDown = () => {
  for (const place of document.querySelectorAll("[data-until]")) {
    const minutes = Math.round((new Date(place.dataset.until) - Date.now()) / 60000);
    place.textContent = minutes >= 0 ? `${minutes} min` : `${-minutes} min over`;
  }
};

// -- a truck's age ------------------------------------------------------------------------------------------
// At each of its alarms (minutes left) a truck is marked, told once and felt once.
const told = new Set();
const watchAges = () => {
  for (const place of document.querySelectorAll("[data-alarms]")) {
    const left = (new Date(place.querySelector("[data-until]").dataset.until) - Date.now()) / 60000;
    const reached = place.dataset.alarms.split(" ").map(Number).filter((alarm) => left <= alarm);
    place.dataset.state = ["", "soon", "late"][reached.length];
    const alarm = `${place.dataset.truck} ${reached.length}`;
    if (!reached.length || told.has(alarm)) continue;
    told.add(alarm);
    const alarms = document.querySelector("#pour-alarm");
    const minutes = Math.round(left);
    const said = minutes >= 0 ? `${minutes} min left to discharge` : `${-minutes} min over its time to discharge`;
    if (alarms) alarms.textContent = `Truck ${place.dataset.truck}: ${said}.`;
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(300);
  }
};

// -- the pour while a truck is being placed -------------------------------------------------------------------
const data = JSON.parse(document.querySelector("#pour-data")?.textContent ?? "null");
const isPlacing = data?.loads.some((load) => load.decision === "accepted" && load.started && !load.ended);
// To the inch, half away from nothing: concrete does not lie truer.
const feet = (inches) => {
  const whole = Math.round(Math.abs(inches));
  return `${inches < 0 && whole ? "-" : ""}${Math.floor(whole / 12)}'-${whole % 12}"`;
};
const clock = (iso, minutes) => {
  const [hour, minute] = iso.slice(11, 16).split(":").map(Number);
  const now = (hour * 60 + minute + minutes) % 1440;
  return `${Math.floor(now / 60) % 12 || 12}:${two(now % 60)} ${now < 720 ? "am" : "pm"}`;
};
const goOn = () => {
  if (!isPlacing) return;
  const gone = Date.now() - loaded;
  const state = pourAt(data, Date.parse(data.now) + gone);
  if (!state) return;
  const said = {
    now: clock(data.now, Math.floor(gone / 60000)),
    level: state.level === null ? "" : feet(state.level),
    left: state.left.toFixed(1),
    placed: state.placed.toFixed(1),
  };
  for (const place of document.querySelectorAll("[data-live]")) place.textContent = said[place.dataset.live];
};

// -- now ------------------------------------------------------------------------------------------------------
// The server wrote the present minute by the clock of the site; what has gone by since is added to it.
const begun = new Map();
for (const input of document.querySelectorAll('input[data-now="yes"]')) {
  const [hours, minutes] = input.value.split(":").map(Number);
  if (Number.isInteger(hours) && Number.isInteger(minutes)) begun.set(input, hours * 60 + minutes);
}
const keepUp = () => {
  const gone = Math.floor((Date.now() - loaded) / 60000);
  for (const [input, minute] of begun) {
    const now = (minute + gone) % 1440;
    input.value = `${two(Math.floor(now / 60))}:${two(now % 60)}`;
  }
};
document.addEventListener("input", (event) => begun.delete(event.target));

// -- a link to something folded away opens it --------------------------------------------------------------------
const unfold = () => {
  const place = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
  if (place instanceof HTMLDetailsElement) place.open = true;
};
unfold();
addEventListener("hashchange", unfold);
document.addEventListener("click", (event) => {
  if (event.target.closest?.('a[href^="#"]')) setTimeout(unfold);
});

const tick = () => {
  countDown();
  watchAges();
  goOn();
  keepUp();
};
tick();
setInterval(tick, 15000);
