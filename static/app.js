// What the pages need beyond HTML: a time on each record, a warning before typed work is lost, focus on the first
// error, a look at a photo before it is sent. Every form also works without this file.

const cookie = (name) =>
  document.cookie.split("; ").find((part) => part.startsWith(`${name}=`))?.slice(name.length + 1);

/** The token of this session: the cookie is newer than the page after logging in elsewhere. */
export const csrfToken = () =>
  cookie("csrftoken") ?? document.querySelector('meta[name="csrf-token"]')?.content ?? "";

/** An id for a new record; null where the browser makes none (plain http), then the server's id stays. */
export const newId = () => (globalThis.crypto?.randomUUID ? crypto.randomUUID() : null);

// -- records: their time on the device and their own id ------------------------------------------------
const stamp = (form) => {
  for (const input of form.querySelectorAll('input[name="device_at"]')) input.value = new Date().toISOString();
};

// A form that comes back by the browser's Back button and is changed makes another record, not the same one again.
const renew = (form) => {
  const input = form.querySelector('input[name="client_id"]');
  const id = newId();
  if (input && id) input.value = id;
};

// On the way down, so that htmx reads the form after it is stamped.
const sending = (event) => {
  const form = event.target;
  stamp(form);
  form.dataset.sent = "yes";
  delete form.dataset.changed;
};
document.addEventListener("submit", sending, { capture: true });

document.addEventListener("input", (event) => {
  const form = event.target.form;
  if (!form || form.method !== "post") return;
  if (form.dataset.sent) {
    delete form.dataset.sent;
    renew(form);
  }
  form.dataset.changed = "yes";
});

// -- typed but not sent: forms marked data-unsaved --------------------------------------------------------
window.addEventListener("beforeunload", (event) => {
  if (document.querySelector("form[data-unsaved][data-changed]")) event.preventDefault();
});

// -- htmx --------------------------------------------------------------------------------------------------
document.addEventListener("htmx:configRequest", (event) => {
  const { verb, headers, parameters } = event.detail;
  if (verb === "get") return;
  headers["X-CSRFToken"] = csrfToken();
  if (parameters.device_at !== undefined) parameters.device_at = new Date().toISOString();
});

document.addEventListener("htmx:afterRequest", (event) => {
  const form = event.detail.elt.closest("form");
  if (!event.detail.successful && form && event.detail.elt === form) form.dataset.changed = "yes";
});

document.addEventListener("htmx:sendError", () =>
  say("The server could not be reached. Nothing was sent; try again when there is signal."),
);
document.addEventListener("htmx:responseError", (event) => {
  const { status } = event.detail.xhr;
  if (status === 403) say("Your login has ended or your role does not go with this. Load the page again.");
  else if (status === 413 || status === 400) say("That was too large or could not be read. Nothing was saved.");
  else say("The server could not do that. Nothing more was saved; load the page again.");
});

/** One sentence in the page's message area. */
export const say = (sentence) => {
  const area = document.getElementById("messages");
  if (!area) return;
  const line = document.createElement("p");
  line.className = "message error";
  line.textContent = sentence;
  area.replaceChildren(line);
};

// -- errors: the summary, else the first wrong input, has the focus ---------------------------------------
const focusError = (root) =>
  (root.querySelector("[data-errors]") ?? root.querySelector('[aria-invalid="true"]'))?.focus();

document.addEventListener("htmx:afterSwap", (event) => {
  if (event.detail.requestConfig?.elt?.closest("form")?.hasAttribute("data-live")) return;
  // Swapped as a whole, the old target is no longer on the page; what came instead is.
  const { target } = event.detail;
  focusError(target.isConnected ? target : event.target);
});
focusError(document);

// -- photos: seen before they are sent ---------------------------------------------------------------------
document.addEventListener("change", (event) => {
  const box = event.target.closest("[data-photo]");
  const file = event.target.files?.[0];
  const preview = box?.querySelector(".photo-preview");
  if (!preview) return;
  preview.replaceChildren();
  if (!file) return;
  const words = document.createElement("span");
  const size = file.size / 1024 / 1024;
  words.textContent = `${file.name}, ${size.toFixed(1)} MB`;
  if (size > Number(box.dataset.most)) {
    words.textContent += `: too large, at most ${box.dataset.most} MB is kept. Choose a smaller picture.`;
    words.className = "error";
  }
  if (file.type.startsWith("image/")) {
    const image = new Image();
    image.alt = "The photo as it will be sent";
    image.onload = image.onerror = () => URL.revokeObjectURL(image.src);
    image.src = URL.createObjectURL(file);
    preview.append(image);
  }
  preview.append(words);
});

// -- paper shows what the screen folds away ------------------------------------------------------------------
window.addEventListener("beforeprint", () => {
  for (const details of document.querySelectorAll("main details:not([open])")) {
    details.open = true;
    details.dataset.opened = "for-print";
  }
});
window.addEventListener("afterprint", () => {
  for (const details of document.querySelectorAll('details[data-opened="for-print"]')) {
    details.open = false;
    delete details.dataset.opened;
  }
});
