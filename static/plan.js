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
