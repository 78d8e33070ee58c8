// @ts-check
// Letters that act as keys, and the list of them. They act only while no field
// has the caret, and a reader can switch them off for good (WCAG 2.1.4).

const kept = "shaftbook:keys";

/** @param {{say: () => void}} status  says the last results again */
export function attachKeys(status) {
  const dialog = /** @type {HTMLDialogElement|null} */ (document.querySelector(".js-keys"));
  const on = /** @type {HTMLInputElement|null} */ (dialog?.querySelector(".js-keys-on") ?? null);
  if (!dialog || !on) return;
  on.checked = read() !== "off";
  on.addEventListener("change", () => {
    try {
      localStorage.setItem(kept, on.checked ? "on" : "off");
    } catch {
      // The choice then lasts as long as the page.
    }
  });
  document.querySelector(".js-keys-open")?.addEventListener("click", () => open(dialog));
  document.addEventListener("keydown", (event) => {
    if (!on.checked && event.key.length === 1) return;
    if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing || dialog.open) return;
    if (isTyped(event.target) && !/^F\d/.test(event.key)) return; // a function key types nothing
    const act = acts[event.key];
    if (act?.(dialog, status, event)) event.preventDefault();
  });
}

/**
 * Shows the list with the focus on its button. An autofocus attribute would
 * do it too, but browsers look at one when the page is loaded as well, and
 * complain where something has the focus already.
 * @param {HTMLDialogElement} dialog
 */
function open(dialog) {
  dialog.showModal();
  /** @type {HTMLElement|null} */ (dialog.querySelector(".js-keys-close"))?.focus();
}

function read() {
  try {
    return localStorage.getItem(kept);
  } catch {
    return null;
  }
}

/** Whether letters mean text where the focus is. @param {EventTarget|null} target */
function isTyped(target) {
  if (!(target instanceof HTMLElement)) return false;
  if (target instanceof HTMLInputElement) return !["range", "radio", "checkbox", "button", "submit"].includes(target.type);
  return target.isContentEditable || target.matches("textarea, select");
}

/** @typedef {(dialog: HTMLDialogElement, status: {say: () => void}, event: KeyboardEvent) => boolean} Act  tells whether it acted */

/**
 * Adds keys of one kind of page. Keys that are no letters act also when letters
 * are switched off.
 * @param {Record<string, Act>} more
 */
export function addKeys(more) {
  Object.assign(acts, more);
}

/** @type {Record<string, Act>} */
const acts = {
  "?": (dialog) => {
    open(dialog);
    return true;
  },
  c: () => go(".cell, .exercise", 1),
  C: () => go(".cell, .exercise", -1),
  s: () => go(".js-slider input[type=range]", 1),
  S: () => go(".js-slider input[type=range]", -1),
  t: () => {
    const text = /** @type {HTMLDetailsElement|null|undefined} */ (cell()?.querySelector(".js-text"));
    if (text) text.open = true;
    return Boolean(text);
  },
  n: () => {
    const steps = /** @type {HTMLDetailsElement[]} */ ([...(cell()?.querySelectorAll(".steps") ?? [])]);
    const open = steps.some((s) => !s.open);
    for (const s of steps) s.open = open;
    return steps.length > 0;
  },
  r: (_, status) => {
    status.say();
    return true;
  },
};

/** The cell with the focus, or the first one in the window. */
function cell() {
  const own = document.activeElement?.closest(".cell");
  if (own) return own;
  return [...document.querySelectorAll(".cell")].find((c) => c.getBoundingClientRect().bottom > 0) ?? null;
}

/**
 * What has the focus, if it can be seen. The list of keys keeps the focus for a
 * moment after it was closed, until the browser draws the page again.
 */
function focused() {
  const at = document.activeElement;
  return at && at !== document.body && at.checkVisibility() ? at : null;
}

/**
 * Moves the focus to the next place of a kind, from the focus or, if nothing
 * has it, from the top of the window.
 * @param {string} kind a selector @param {1|-1} step
 */
function go(kind, step) {
  const places = /** @type {HTMLElement[]} */ ([...document.querySelectorAll(kind)])
    .filter((place) => place.checkVisibility({ visibilityProperty: true }));
  const from = focused();
  const isAfter = (/** @type {Element} */ place) => {
    if (!from) return place.getBoundingClientRect().top > 0;
    return Boolean(from.compareDocumentPosition(place) & Node.DOCUMENT_POSITION_FOLLOWING);
  };
  const isBefore = (/** @type {Element} */ place) => {
    if (!from) return place.getBoundingClientRect().top < 0;
    return Boolean(from.compareDocumentPosition(place) & Node.DOCUMENT_POSITION_PRECEDING) && !place.contains(from);
  };
  const next = step > 0 ? places.find(isAfter) : places.findLast(isBefore);
  if (!next) return false;
  if (!next.matches("input")) next.tabIndex = -1;
  next.focus();
  next.scrollIntoView({ block: "nearest" });
  return true;
}
