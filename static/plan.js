// The plan page: what the server found wrong stands beside its field, closed legs show their line, the page knows
// which leg is open. Without this file the same is shown after every button.

const apply = (holder) => {
  const live = JSON.parse(holder.dataset.live || "{}");
  for (const box of document.querySelectorAll("#plan-form [data-at]")) {
    const said = live.errors?.[box.dataset.at] ?? [];
    const slot = document.getElementById(`${box.dataset.at}-error`);
    const input = document.getElementById(box.dataset.at);
    if (!slot || slot.textContent.trim() === said.join("")) continue;
    slot.replaceChildren(
      ...said.map((sentence) => {
        const line = document.createElement("p");
        line.textContent = sentence;
        return line;
      }),
    );
    box.classList.toggle("has-error", said.length > 0);
    if (input?.matches("input, select")) {
      if (said.length) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
  }
  for (const [id, line] of Object.entries(live.summaries ?? {})) {
    const shown = document.getElementById(`sum-${id}`);
    if (shown && shown.textContent !== line) shown.textContent = line;
    const wrong = document.getElementById(`wrong-${id}`);
    if (wrong) wrong.hidden = !Object.keys(live.errors).some((at) => at === id || at.startsWith(`${id}-`));
  }
  for (const [id, text] of Object.entries(live.placeholders ?? {})) {
    const input = document.getElementById(id);
    if (input) input.placeholder = text;
  }
  for (const unit of document.querySelectorAll("#plan-form .bare")) unit.textContent = live.bare;
};

// -- what leans on a name shows it as it is called now; the server carries it along --------------------------------
const rename = () => {
  const now = { legs: {}, walks: {} };
  for (const was of document.querySelectorAll("#plan-form [data-was]")) {
    const path = was.name.replace(/_was$/, "");
    const typed = document.getElementsByName(`${path}name`)[0]?.value.trim();
    if (was.value && typed) now[path.includes(".legs.") ? "legs" : "walks"][was.value] ??= typed;
  }
  for (const list of document.querySelectorAll("#plan-form select")) {
    const kind = /(_on\.leg|^closure\.\d+\.legs\.\d+)$/.test(list.name) ? "legs" : /^closure\.\d+\.walk$/.test(list.name) ? "walks" : "";
    if (!kind) continue;
    for (const line of list.options) if (now[kind][line.value]) line.textContent = now[kind][line.value];
  }
};
document.addEventListener("input", (event) => {
  if (event.target.matches?.('#plan-form input[name^="walks."][name$=".name"]')) rename();
});

document.addEventListener("htmx:oobAfterSwap", (event) => {
  if (event.detail.target.id === "plan-live") {
    const holder = document.getElementById("plan-live");
    if (holder) apply(holder);
  }
});

// -- which leg is open ------------------------------------------------------------------------------------
document.addEventListener(
  "toggle",
  (event) => {
    const open = document.getElementById("plan-open");
    const leg = event.target.dataset?.leg;
    if (!open || !leg) return;
    if (event.target.open) open.value = leg;
    else if (open.value === leg || open.value.startsWith(`${leg}.`)) open.value = "";
  },
  { capture: true },
);

// Legs share a name, so that one is open at a time; new ones come while the old ones are still there and arrive closed.
document.addEventListener("htmx:afterSwap", (event) => {
  if (event.detail.target.id !== "plan") return;
  const at = document.getElementById("plan-open")?.value.match(/^walks\.\d+\.legs\.\d+/);
  const leg = at && document.querySelector(`[data-leg="${at[0]}"]`);
  if (!leg) return;
  leg.open = true;
  leg.querySelector("[autofocus]")?.focus();
});

// -- a sentence leads to its field, also into a folded leg -----------------------------------------------------
document.addEventListener("click", (event) => {
  const link = event.target.closest?.('a[href^="#at-"]');
  const target = link && document.getElementById(link.hash.slice(1));
  if (!target) return;
  event.preventDefault();
  for (let fold = target.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  if (target.matches("details")) target.open = true;
  const field = target.matches("input, select, fieldset") ? target : target.querySelector("summary") ?? target;
  field.scrollIntoView({ block: "center" });
  (field.matches("fieldset") ? field.querySelector("input:checked, input[type=radio], input[type=text]") ?? field : field).focus();
});
