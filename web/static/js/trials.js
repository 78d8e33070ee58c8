// @ts-check
// Trials of a slider: each value that the reader stops at is written into the statement
// “trials of … for n”, and so into its table, and is kept as the text is. What the table
// says comes from the server, which also says where in the text a value is added and what
// is written before and behind it. A stop is a slider that was let go, a number that was
// entered, or, with the keys, Enter or leaving the slider. The margin repeats the table.

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
    /** @type {Map<string, number[]>} by the id of a row: where its slider stopped, what the row does not have yet */
    this.waits = new Map();
    /** @type {Set<EventTarget>} controls that were moved with keys since they were left */
    this.keyed = new Set();
    root.addEventListener("keydown", (event) => this.pressed(event));
    root.addEventListener("pointerdown", (event) => {
      const range = event.target instanceof Element ? event.target.closest(".scale")?.querySelector("input") : null;
      this.keyed.delete(range ?? event.target ?? root);
    });
    root.addEventListener("change", (event) => {
      if (event.target && !this.keyed.has(event.target) && !wasRefused(event.target)) this.stop(event.target);
    });
    root.addEventListener("focusout", (event) => {
      if (event.target && this.keyed.delete(event.target)) this.stop(event.target);
    });
    root.addEventListener("click", (event) => this.clicked(event));
    root.addEventListener("submit", (event) => this.guessed(event));
    // Before what was changed is kept for good, which a page does when it goes.
    addEventListener("pagehide", () => this.rows().forEach((row) => this.keep(row, this.waits.get(row.id) ?? [])), { capture: true });
    for (const row of this.rows()) showBeside(root, row);
  }

  /** @param {string} [name] of their slider @returns {HTMLElement[]} the rows of trials */
  rows(name) {
    const of = name === undefined ? "" : `[data-slider="${CSS.escape(name)}"]`;
    return [...this.root.querySelectorAll(`.row[data-kind=trials]${of}`)].map((row) => /** @type {HTMLElement} */ (row));
  }

  /** The value of a slider that is in force. @param {string} name */
  valueOf(name) {
    const range = this.root.querySelector(`.js-slider[data-name="${CSS.escape(name)}"] input[type=range]`);
    return range instanceof HTMLElement ? Number(range.dataset.at ?? NaN) : NaN;
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
    const value = this.valueOf(name);
    if (!name || Number.isNaN(value)) return;
    for (const row of this.rows(name)) {
      const waits = this.waits.get(row.id) ?? [];
      if (!waits.includes(value)) this.waits.set(row.id, [...waits, value]);
      if (row.dataset.add !== undefined) this.write(row);
    }
  }

  /** Takes note of a row as the server has sent it. @param {HTMLElement} row */
  came(row) {
    if (row.dataset.kind !== "trials") return;
    showBeside(this.root, row);
    if (this.waits.has(row.id)) this.write(row);
  }

  /**
   * Writes where the slider stopped into the text: once the row has that value, and also
   * when the slider has gone on before the row had it.
   * @param {HTMLElement} row
   */
  write(row) {
    const waits = this.waits.get(row.id) ?? [];
    const at = Number(row.dataset.at);
    const now = this.valueOf(row.dataset.slider ?? "");
    if (row.dataset.add === undefined) { // it fails at this value, and would with it in its text
      this.put(row, waits.filter((value) => value !== now));
      return;
    }
    const due = waits.filter((value) => value === at || value !== now);
    if (due.length > 0 && this.keep(row, due)) this.put(row, waits.filter((value) => !due.includes(value)));
  }

  /** @param {HTMLElement} row @param {number[]} waits */
  put(row, waits) {
    if (waits.length > 0) this.waits.set(row.id, waits);
    else this.waits.delete(row.id);
  }

  /**
   * @param {HTMLElement} row @param {number[]} values where its slider stopped
   * @returns {boolean} whether all are in the text, which may have moved on since the row came
   */
  keep(row, values) {
    const { add, before, behind, tried } = row.dataset;
    const has = (tried ?? "").split(" ").map(Number);
    const fresh = values.filter((value) => !has.includes(value));
    if (fresh.length === 0 || !add) return true; // there already, or no room for more
    return this.change(row, Number(add), Number(add), before + fresh.map((value) => value + (behind ?? "")).join(", "));
  }

  /** @param {HTMLElement} row @returns {Cell|undefined} */
  cell(row) {
    return this.cellOf(row.closest(".js-cell")?.getAttribute("data-cell") ?? "");
  }

  /**
   * Makes a change to the text of the row's cell, unless that has moved on since.
   * @param {HTMLElement} row @param {number} from @param {number} to @param {string} text
   */
  change(row, from, to, text) {
    const cell = this.cell(row);
    if (!cell || (cell.textOf.get(row) ?? cell.original) !== cell.text) return false;
    cell.rewrite(cell.text.slice(0, from) + text + cell.text.slice(to));
    return true;
  }

  /** @param {MouseEvent} event */
  clicked(event) {
    const button = event.target instanceof Element ? event.target.closest(".js-add-trial, .js-clear-trials") : null;
    const row = button?.closest(".row");
    if (!button || !(row instanceof HTMLElement)) return;
    const place = row.querySelector(".scroll");
    const adds = button.matches(".js-add-trial");
    const from = Number(button.getAttribute("data-from"));
    if (adds ? this.keep(row, [Number(row.dataset.at)]) : this.change(row, from, Number(button.getAttribute("data-to")), "")) {
      this.say(adds ? "Kept." : "Trials cleared.");
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
    const from = Number(form.dataset.from);
    if (this.change(row, from, from, (form.dataset.before ?? "") + number + (form.dataset.behind ?? ""))) {
      this.say("Guess kept.");
      const place = row.querySelector(".scroll");
      if (place instanceof HTMLElement) place.focus();
    }
  }
}

/** Whether what was typed into a field was not taken, which slider.js says beside it. @param {EventTarget} target */
function wasRefused(target) {
  return target instanceof HTMLInputElement && target.type === "number" && Boolean(target.parentElement?.querySelector(".takes"));
}

/** The name that a slider, its field, or one that follows it moves. @param {EventTarget} target */
function nameOf(target) {
  if (!(target instanceof HTMLInputElement) || target.type !== "range" && target.type !== "number") return "";
  const box = target.closest(".js-slider, .js-hand");
  if (box instanceof HTMLElement) return box.dataset.name ?? "";
  return target.closest(".hand-bar") ? target.getAttribute("aria-label") ?? "" : "";
}

const most = 8; // trials that the margin shows

/**
 * Shows the first two columns of a table of trials with each slider in the margin that
 * moves it, and a line of them for the slider at the foot of a narrow window.
 * @param {HTMLElement} root @param {HTMLElement} row
 */
function showBeside(root, row) {
  const table = row.querySelector("[data-part=table] table");
  const all = [...(table?.querySelectorAll("tbody tr") ?? [])];
  const now = all.findIndex((line) => line.matches(".now"));
  const first = Math.max(0, Math.min(now - most / 2, all.length - most));
  const lines = all.slice(first, first + most);
  const line = lines.map((tr) => `${textOf(tr.children[0])}: ${textOf(tr.children[1])}`).join(", ");
  for (const hand of root.querySelectorAll(`.js-hand[data-name="${CSS.escape(row.dataset.slider ?? "")}"]`)) {
    let copy = hand.querySelector(`[data-of="${CSS.escape(row.id)}"]`);
    if (copy instanceof HTMLElement && copy.dataset.line === line && copy.dataset.now === String(now)) continue;
    copy?.remove();
    if (!table || lines.length < 2) continue; // one alone is the result above
    copy = document.createElement("table");
    copy.className = "hand-trials";
    copy.setAttribute("data-of", row.id);
    copy.setAttribute("data-line", line);
    copy.setAttribute("data-now", String(now));
    const caption = document.createElement("caption");
    caption.textContent = all.length > most ? `Trials, ${most} of ${all.length}` : "Trials";
    const head = document.createElement("thead");
    const body = document.createElement("tbody");
    head.append(...[...table.querySelectorAll("thead tr")].map(startOf));
    body.append(...lines.map(startOf));
    copy.append(caption, head, body);
    hand.append(copy);
  }
}

/** A row of a table up to its second cell. @param {Element} line */
function startOf(line) {
  const copy = /** @type {Element} */ (line.cloneNode(true));
  while (copy.children.length > 2) copy.lastElementChild?.remove();
  return copy;
}

/** @param {Element|undefined} cell */
function textOf(cell) {
  return cell?.textContent?.trim() ?? "";
}
