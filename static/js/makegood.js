/* What makes the pages pleasanter; none of it is needed. All names of htmx's events are in this file. */
"use strict";

const live = () => document.getElementById("live");

function say(words) {
  const region = live();
  if (region) region.textContent = words;
}

/* Requests that did not come through. The form still holds what was typed. */
function sayWhatFailed(event) {
  const response = event.detail?.ctx?.response ?? event.detail?.xhr;
  const status = response?.status ?? 0;
  if (status >= 400 && status < 500) return; // the reply itself says what is wrong, and is on the page
  if (status >= 200 && status < 400) return say("The answer came but could not be shown. Load the page again to see it.");
  say(
    status >= 500
      ? "The register failed and may not have kept this. What you typed is still here: try again."
      : "No answer from the register. What you typed is still here: try again when there is a signal.",
  );
}

document.addEventListener("htmx:response:error", sayWhatFailed);
document.addEventListener("htmx:error", sayWhatFailed);
document.addEventListener("htmx:before:request", () => say(""));

/* After a refused form comes back, its summary takes focus, so that nobody has to look for the fault. */
function focusTheProblem(root) {
  const summary = root.querySelector?.("[data-error-summary]");
  if (summary && summary !== document.activeElement) summary.focus();
}

document.addEventListener("htmx:after:swap", () => focusTheProblem(document));

/* What a swap brought, in a few words for a screen reader: the region was there before, so it speaks. */
document.addEventListener("htmx:after:swap", () => {
  const region = document.querySelector("[data-said]");
  if (region) region.textContent = [...document.querySelectorAll("[data-say]")].map((one) => one.textContent.trim()).join(". ");
});

/* A second tap on a button does not send a second time. Coming back to the page makes it ready again. */
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (form.dataset.sent) return event.preventDefault();
  form.dataset.sent = "yes";
  setTimeout(() => delete form.dataset.sent, 10000); // no answer came: it may be tried again
});
window.addEventListener("pageshow", () => {
  for (const form of document.forms) delete form.dataset.sent;
});

/* "/" goes to the search box, unless somebody is writing. */
document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest?.("input, textarea, select, [contenteditable]")) return;
  const box = document.getElementById("search");
  if (!box) return;
  event.preventDefault();
  box.focus();
  box.select();
});

/* The search box of every page: hits under it as somebody types. Focus stays in the box (the ARIA combobox pattern), so no
   swap can take it away; the arrow keys mark a hit, Enter opens it, Escape closes. Without this file Enter searches. */
function searchAsYouType(box, list, said) {
  const options = () => [...list.querySelectorAll("[role=option]")];
  const marked = () => list.querySelector("[aria-selected=true]");
  let isDismissed = false;

  function mark(option) {
    marked()?.setAttribute("aria-selected", "false");
    option?.setAttribute("aria-selected", "true");
    option?.scrollIntoView({ block: "nearest" });
    if (option) box.setAttribute("aria-activedescendant", option.id);
    else box.removeAttribute("aria-activedescendant");
  }
  function fit() { // down to where a phone's keyboard begins, with a strip left free to tap beside it
    const screen = window.visualViewport;
    if (list.hidden || !screen) return;
    const room = screen.offsetTop + screen.height - list.getBoundingClientRect().top - 48;
    list.style.maxHeight = `${Math.max(room, 160)}px`;
  }
  function show(isOpen) {
    list.hidden = !isOpen;
    box.setAttribute("aria-expanded", String(isOpen));
    if (isOpen) fit();
    else mark(null);
  }
  function swapped() {
    mark(null);
    const found = options().length;
    show(found > 0 && !isDismissed && document.activeElement === box && box.value.trim() !== "");
    if (!list.hidden) said.textContent = found > 1 ? `${found - 1} ${found === 2 ? "hit" : "hits"}. Arrow keys go through them.` : "No hits.";
  }
  function step(event) {
    if (list.hidden) {
      if (!options().length || box.value.trim() === "") return;
      isDismissed = false;
      show(true);
    }
    event.preventDefault();
    const all = options();
    const at = all.indexOf(marked()) + (event.key === "ArrowDown" ? 1 : -1);
    mark(at < 0 && marked() ? null : all.at(at < 0 ? -1 : at) ?? null);
  }

  const roles = { role: "combobox", "aria-expanded": "false", "aria-controls": list.id, "aria-autocomplete": "list" };
  for (const [name, value] of Object.entries(roles)) box.setAttribute(name, value);
  document.addEventListener("htmx:after:swap", (event) => {
    if (event.target === list || event.detail?.ctx?.target === list) swapped();
  });
  box.addEventListener("input", () => {
    isDismissed = false;
    mark(null);
    if (box.value.trim() === "") show(false);
  });
  box.addEventListener("keydown", (event) => {
    if (event.isComposing) return;
    if (event.key === "ArrowDown" || event.key === "ArrowUp") return step(event);
    if (event.key === "Enter" && !list.hidden && marked()) {
      event.preventDefault();
      marked().click();
    } else if (event.key === "Escape" && !list.hidden) {
      event.preventDefault(); // the first one closes the list, the next empties the box
      isDismissed = true;
      show(false);
    }
  });
  box.form.addEventListener("focusout", (event) => {
    if (event.relatedTarget && !list.contains(event.relatedTarget) && event.relatedTarget !== box) show(false);
  });
  document.addEventListener("click", (event) => {
    if (!box.form.contains(event.target)) show(false);
  });
  window.visualViewport?.addEventListener("resize", fit);
  window.addEventListener("pagehide", () => show(false));
}
const hitList = document.getElementById("search-hits");
if (hitList) searchAsYouType(document.getElementById("search"), hitList, document.getElementById("search-said"));

/* An open account menu closes on Escape and on a tap elsewhere. */
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  const menu = document.querySelector("details.account[open]");
  if (!menu) return;
  menu.open = false;
  menu.querySelector("summary").focus();
});
document.addEventListener("click", (event) => {
  const menu = document.querySelector("details.account[open]");
  if (menu && !menu.contains(event.target)) menu.open = false;
});

/* A frame that has nothing to scroll is no stop for the Tab key. */
const frames = new ResizeObserver((entries) => {
  for (const { target } of entries) {
    if (target.scrollWidth > target.clientWidth) target.tabIndex = 0;
    else target.removeAttribute("tabindex");
  }
});
function watchFrames() {
  for (const frame of document.querySelectorAll(".table-frame")) frames.observe(frame);
}
watchFrames();
document.addEventListener("htmx:after:swap", watchFrames);

/* Photographs: shown before they go, and made smaller, for a hangar's thin signal. */
const LONG_SIDE = 2400;
const QUALITY = 0.85;

async function shrink(file) {
  if (!file.type.startsWith("image/") || file.type === "image/svg+xml" || file.type === "image/gif") return file;
  try {
    const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = LONG_SIDE / Math.max(picture.width, picture.height);
    if (scale >= 1) return file;
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(picture.width * scale);
    canvas.height = Math.round(picture.height * scale);
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    picture.close();
    const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
    if (!blob || blob.size >= file.size) return file;
    return new File([blob], file.name.replace(/\.[^.]+$/, "") + ".jpg", { type: "image/jpeg", lastModified: file.lastModified });
  } catch {
    return file; // a kind this browser cannot open: the register will judge the original
  }
}

function show(group) {
  const list = group.querySelector("[data-photo-previews]");
  if (!list) return;
  for (const image of list.querySelectorAll("img")) URL.revokeObjectURL(image.src);
  list.replaceChildren();
  for (const input of group.querySelectorAll("input[type=file]")) {
    for (const file of input.files) {
      const item = document.createElement("li");
      const image = document.createElement("img");
      const size = document.createElement("span");
      image.src = URL.createObjectURL(file);
      image.alt = "";
      image.addEventListener("error", () => image.remove());
      size.textContent = `${file.name}, ${(file.size / 1e6).toFixed(1)} MB`;
      item.append(image, size);
      list.append(item);
    }
  }
}

document.addEventListener("change", async (event) => {
  const input = event.target;
  const group = input.closest?.("[data-photo-input]");
  if (!group || input.type !== "file") return;
  show(group);
  const chosen = Array.from(input.files);
  const smaller = await Promise.all(chosen.map(shrink));
  const still = chosen.length === input.files.length && chosen.every((file, at) => file === input.files[at]);
  if (!still || smaller.every((file, at) => file === chosen[at])) return; // chosen anew meanwhile, or nothing to gain
  try {
    const basket = new DataTransfer();
    smaller.forEach((file) => basket.items.add(file));
    input.files = basket.files;
    show(group);
  } catch {
    // an old browser that cannot hand files back: the originals go
  }
});

/* Sheets for paper offer the printer. */
for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
