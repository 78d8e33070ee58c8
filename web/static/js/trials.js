// @ts-check
// Trials of a slider: each value that the reader stops at is written into the statement
// “trials of … for n”, and so into its table, and is kept as the text is. What the table
// says comes from the server, which also says which change to the text adds the value
// that the slider is at. A stop is a slider that was let go, a number that was entered,
// or, with the keys, Enter or leaving the slider.

/**
 * @typedef {import("./cell.js").Cell} Cell
 */

const stepKeys = new Set(["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight", "PageUp", "PageDown", "Home", "End"]);

export class Trials {
  /**
   * @param {HTMLElement} root the lesson
   * @param {(id: string) => Cell|undefined} cellOf
   * @param {(sentence: string) => void} say
   */
  constructor(root, cellOf, say) {
    this.root = root;
    this.cellOf = cellOf;
    this.say = say;
    /** @type {Map<string, {value: number, rows: Set<string>}>} by name: where it stopped, and the rows that do not have it yet */
    this.stopped = new Map();
    /** @type {Set<EventTarget>} controls that were moved with keys since they were left */
    this.keyed = new Set();
    root.addEventListener("keydown", (event) => this.pressed(event));
    root.addEventListener("pointerdown", (event) => this.keyed.delete(event.target ?? root));
    root.addEventListener("change", (event) => {
      if (event.target && !this.keyed.has(event.target)) this.stop(event.target);
    });
    root.addEventListener("focusout", (event) => {
      if (event.target && this.keyed.delete(event.target)) this.stop(event.target);
    });
    root.addEventListener("click", (event) => this.clicked(event));
    root.addEventListener("submit", (event) => this.guessed(event));
  }

  /** @param {KeyboardEvent} event */
  pressed(event) {
    const target = event.target;
    if (!(target instanceof HTMLInputElement) || !nameOf(target)) return;
    if (stepKeys.has(event.key) && (target.type === "range" || event.key === "ArrowUp" || event.key === "ArrowDown")) this.keyed.add(target);
    else if (event.key === "Enter" && this.keyed.delete(target)) this.stop(target);
    else if (event.key.length === 1) this.keyed.delete(target); // a number is typed, which ends with its own change
  }

  /** @param {EventTarget} target */
  stop(target) {
    const name = nameOf(target);
    const own = this.root.querySelector(`.js-slider[data-name="${CSS.escape(name)}"] input[type=number]`);
    if (!name || !(own instanceof HTMLInputElement) || Number.isNaN(own.valueAsNumber)) return;
    const rows = [...this.root.querySelectorAll(`.row[data-kind=trials][data-slider="${CSS.escape(name)}"]`)];
    this.stopped.set(name, { value: own.valueAsNumber, rows: new Set(rows.map((row) => row.id)) });
    for (const row of rows) this.came(/** @type {HTMLElement} */ (row));
  }

  /** Keeps the value that the slider stopped at, if the row has it. @param {HTMLElement} row */
  came(row) {
    const stopped = this.stopped.get(row.dataset.slider ?? "");
    if (!stopped?.rows.has(row.id) || stopped.value !== Number(row.dataset.at)) return;
    const add = row.querySelector(".js-add-trial");
    if (!add || this.change(row, add, add.getAttribute("data-text") ?? "")) stopped.rows.delete(row.id);
  }

  /** @param {HTMLElement} row @returns {Cell|undefined} */
  cell(row) {
    return this.cellOf(row.closest(".js-cell")?.getAttribute("data-cell") ?? "");
  }

  /**
   * Makes a change to the text of the row's cell, unless that has moved on since.
   * @param {HTMLElement} row @param {Element} change with data-from and data-to @param {string} text
   */
  change(row, change, text) {
    const cell = this.cell(row);
    if (!cell || (cell.textOf.get(row) ?? cell.original) !== cell.text) return false;
    const from = Number(change.getAttribute("data-from"));
    const to = Number(change.getAttribute("data-to") ?? from);
    cell.rewrite(cell.text.slice(0, from) + text + cell.text.slice(to));
    return true;
  }

  /** @param {MouseEvent} event */
  clicked(event) {
    const button = event.target instanceof Element ? event.target.closest(".js-add-trial, .js-clear-trials") : null;
    const row = button?.closest(".row");
    if (!button || !(row instanceof HTMLElement)) return;
    const place = row.querySelector(".scroll");
    if (this.change(row, button, button.getAttribute("data-text") ?? "")) {
      this.say(button.matches(".js-add-trial") ? "Kept." : "Trials cleared.");
      if (place instanceof HTMLElement) place.focus(); // the button goes
    }
  }

  /** @param {SubmitEvent} event */
  guessed(event) {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.matches(".js-guess-trial")) return;
    event.preventDefault();
    const row = form.closest(".row");
    const field = form.querySelector("input");
    if (!(row instanceof HTMLElement) || !field || !field.checkValidity()) return;
    const number = field.value.trim().replace(",", ".").replace("-", "−").replace("+", "");
    if (this.change(row, form, (form.dataset.before ?? "") + number + (form.dataset.behind ?? ""))) {
      this.say("Guess kept.");
      const place = row.querySelector(".scroll");
      if (place instanceof HTMLElement) place.focus();
    }
  }
}

/** The name that a slider, its field, or one that follows it moves. @param {EventTarget} target */
function nameOf(target) {
  if (!(target instanceof HTMLInputElement) || target.type !== "range" && target.type !== "number") return "";
  const box = target.closest(".js-slider, .js-hand");
  if (box instanceof HTMLElement) return box.dataset.name ?? "";
  return target.closest(".hand-bar") ? target.getAttribute("aria-label") ?? "" : "";
}
