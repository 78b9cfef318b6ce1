// The page of a pour: minutes that run down, and times that stay at the present minute until somebody types.
// Everything also works without this file: the page then shows the minutes of when it was loaded.

const two = (number) => String(number).padStart(2, "0");

// -- minutes left -------------------------------------------------------------------------------------------
const countDown = () => {
  for (const place of document.querySelectorAll("[data-until]")) {
    const minutes = Math.round((new Date(place.dataset.until) - Date.now()) / 60000);
    place.textContent = minutes >= 0 ? `${minutes} min` : `${-minutes} min over`;
  }
};

// -- now ------------------------------------------------------------------------------------------------------
// The server wrote the present minute by the clock of the site; what has gone by since is added to it.
const loaded = Date.now();
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

const tick = () => {
  countDown();
  keepUp();
};
tick();
setInterval(tick, 15000);
