// @ts-check
// One cell of the lesson: its rows as they change, its text while it is
// edited, and the way back to the lesson's own text.

import { addRowLink } from "./copy.js";
import { Editor, shifted } from "./editor.js";
import { History } from "./history.js";
import { Slider } from "./slider.js";
import { Track } from "./track.js";

/**
 * @typedef {import("./live.js").RowMessage} RowMessage
 * @typedef {import("./live.js").Mark} Mark
 * @typedef {{edit: (cell: string, text: string, original: string) => void, vary: (name: string, value: number) => void, isAhead: (name: string, revision: number) => boolean, say: (sentence: string) => void, names: () => string[], words: string, own?: boolean}} Hooks  own: its text is the page's own
 */

export class Cell {
  /** @param {HTMLElement} root @param {Hooks} hooks */
  constructor(root, hooks) {
    this.root = root;
    this.hooks = hooks;
    this.id = root.dataset.cell ?? "";
    this.rows = /** @type {HTMLElement} */ (root.querySelector(".js-rows"));
    this.details = /** @type {HTMLDetailsElement} */ (root.querySelector(".js-text"));
    /** @type {HTMLDetailsElement|null} open while each row shows its link */
    this.links = root.querySelector(".js-take");
    this.restoreButton = /** @type {HTMLButtonElement} */ (root.querySelector(".js-restore"));
    const area = /** @type {HTMLTextAreaElement} */ (root.querySelector("textarea"));
    this.original = area.defaultValue;
    this.text = this.original;
    /** @type {string|null} the text that a restore put away */
    this.before = null;
    /** @type {Editor|null} */
    this.editor = null;
    /** @type {History|null} */
    this.history = null;
    /** @type {Map<number, Mark[]>} */
    this.marks = new Map();
    /** @type {Map<number, RowMessage>} what came for rows that are covered */
    this.held = new Map();
    /** @type {WeakMap<Element, string>} what the server sent last for a part of a row */
    this.came = new WeakMap();
    /** @type {WeakMap<Element, string>} the text of the cell that a row was made for */
    this.textOf = new WeakMap();
    /** @type {Slider[]} */
    this.sliders = [];
    this.attachSliders();
    this.details.addEventListener("toggle", () => this.toggled());
    this.restoreButton.addEventListener("click", () => this.restoreOrUndo());
    this.rows.addEventListener("click", (event) => this.pressed(event));
  }

  /** @param {MouseEvent} event */
  pressed(event) {
    const target = /** @type {Element} */ (event.target);
    const fix = target.closest(".js-fix");
    if (fix instanceof HTMLElement) return this.applyFix(fix);
    const row = target.closest(".row");
    if (!(row instanceof HTMLElement) || !target.closest(".formula")) return;
    this.open(Number(row.dataset.line ?? 0));
  }

  /** Opens the text with the caret at the end of a line. @param {number} line from 0 */
  open(line) {
    this.details.open = true;
    const { area } = this.ready();
    const lines = area.value.split("\n").slice(0, line + 1);
    const at = lines.join("\n").length;
    area.focus();
    area.setSelectionRange(at, at);
  }

  /** @returns {Editor} */
  ready() {
    if (this.editor) return this.editor;
    const root = /** @type {HTMLElement} */ (this.root.querySelector(".js-editor"));
    const editor = new Editor(root, {
      changed: (text) => this.changed(text),
      closed: () => this.close(),
      names: this.hooks.names,
      words: this.hooks.words,
    });
    const bar = document.createElement("div");
    root.after(bar);
    this.history = new History(bar, this.original, (text) => {
      this.put(text);
      this.hooks.edit(this.id, text, this.original);
    });
    this.history.keep(this.text);
    this.editor = editor;
    return editor;
  }

  toggled() {
    if (!this.details.open) return;
    const editor = this.ready();
    editor.show(this.allMarks());
    if (!this.details.contains(document.activeElement) || document.activeElement === this.details.querySelector("summary")) {
      editor.area.focus();
    }
  }

  close() {
    this.details.open = false;
    this.details.querySelector("summary")?.focus();
  }

  /** @param {string} text */
  changed(text) {
    for (const [index, marks] of this.marks) this.marks.set(index, shifted(marks, this.text, text));
    this.text = text;
    this.before = null;
    this.history?.note(text);
    this.showChanged();
    this.hooks.edit(this.id, text, this.original);
  }

  /** Puts a text in place of the present one, from the lesson or from what was kept. @param {string} text */
  put(text) {
    this.text = text;
    this.marks.clear();
    if (this.editor) this.editor.replaceAll(text);
    else /** @type {HTMLTextAreaElement} */ (this.root.querySelector("textarea")).value = text;
    this.showChanged();
  }

  /** Puts a text that a button made in place of the present one. @param {string} text */
  rewrite(text) {
    this.before = null;
    this.history?.keep(this.text);
    this.put(text);
    this.history?.keep(text);
    this.hooks.edit(this.id, text, this.original);
  }

  restoreOrUndo() {
    const back = this.before;
    this.before = back === null ? this.text : null;
    this.history?.keep(this.text);
    this.put(back ?? this.original);
    this.history?.keep(this.text);
    this.hooks.edit(this.id, this.text, this.original);
  }

  showChanged() {
    if (this.hooks.own) return;
    const differs = this.text !== this.original;
    this.root.toggleAttribute("data-changed", differs);
    this.restoreButton.hidden = !differs && this.before === null;
    this.restoreButton.textContent = this.before === null ? "Restore the lesson’s text" : "Bring back my text";
  }

  /** @param {HTMLElement} button with data-from, data-to (UTF-16 units) and data-text */
  applyFix(button) {
    this.details.open = true;
    this.ready().insert(button.dataset.text ?? "", Number(button.dataset.from), Number(button.dataset.to));
  }

  /**
   * Takes in one statement's result. If the text has moved on since, places in
   * it mean nothing any more; the row itself stays until the newer one comes.
   * @param {RowMessage} message @param {boolean} late
   * @returns {HTMLElement|null} the row; null for one that is covered, which waits for its guess
   */
  row(message, late) {
    if (!late) this.marks.set(message.index, message.marks);
    const box = document.createElement("template");
    box.innerHTML = message.html;
    const fresh = /** @type {HTMLElement} */ (box.content.firstElementChild);
    if (late) for (const fix of fresh.querySelectorAll(".js-fix")) fix.remove();
    const old = /** @type {HTMLElement|undefined} */ (this.rows.children[message.index]);
    if (old?.dataset.cover && old.dataset.name === fresh.dataset.name) {
      this.held.set(message.index, message);
      return null;
    }
    old?.querySelector(":scope > .row-stopped")?.remove();
    if (old && old.dataset.shape === fresh.dataset.shape) this.patch(old, fresh, message.revision);
    else old?.replaceWith(fresh);
    if (this.links?.open) addRowLink(/** @type {HTMLElement} */ (this.rows.children[message.index]));
    this.attachSliders();
    const row = /** @type {HTMLElement} */ (this.rows.children[message.index]);
    this.textOf.set(row, late ? "" : this.text);
    if (!late) this.editor?.show(this.allMarks());
    return row;
  }

  /**
   * Changes only the parts that differ, so that open details, focus and a
   * slider under the thumb stay as they are.
   * @param {HTMLElement} old @param {HTMLElement} fresh @param {number} revision
   */
  patch(old, fresh, revision) {
    for (const { name, value } of fresh.attributes) {
      if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
    if (!fresh.dataset.value) delete old.dataset.value;
    const parts = old.querySelectorAll("[data-part]");
    const newer = fresh.querySelectorAll("[data-part]");
    parts.forEach((part, i) => {
      const next = newer[i];
      if (part instanceof HTMLElement && part.dataset.part === "control") {
        return this.setSlider(part, /** @type {HTMLElement} */ (next), revision);
      }
      if (part.className !== next.className) part.className = next.className;
      // Writing a figure out as text costs as much as showing it; what came last is known.
      const html = next.innerHTML;
      if ((this.came.get(part) ?? part.innerHTML) === html) return;
      this.came.set(part, html);
      part.replaceChildren(...next.childNodes);
    });
  }

  /** @param {HTMLElement} old @param {HTMLElement} fresh @param {number} revision */
  setSlider(old, fresh, revision) {
    const slider = this.sliders.find((s) => s.root === old);
    if (slider && !this.hooks.isAhead(slider.name, revision)) slider.follow(fresh);
  }

  /**
   * Says in the place of a result that its calculation was stopped. A slider stays.
   * @param {number} index @returns {boolean} whether there is such a row
   */
  leave(index) {
    const row = /** @type {HTMLElement|undefined} */ (this.rows.children[index]);
    if (!row || row.dataset.cover || row.querySelector(".js-slider")) return false;
    const note = document.createElement("p");
    note.className = "row-stopped";
    note.textContent = "Stopped before this was calculated.";
    row.replaceChildren(note);
    delete row.dataset.shape; // the next result replaces all of it
    delete row.dataset.value;
    return true;
  }

  /** Says so of the rows that have never had a result. @returns {number} how many */
  leaveEmpty() {
    let count = 0;
    [...this.rows.children].forEach((row, i) => {
      if (row.childElementCount === 0 && this.leave(i)) count++;
    });
    return count;
  }

  /** The cell now has this many statements. @param {number} count */
  count(count) {
    while (this.rows.children.length > count) this.rows.lastElementChild?.remove();
    while (this.rows.children.length < count) {
      const empty = document.createElement("div");
      empty.className = "row";
      this.rows.append(empty);
    }
    for (const index of [...this.marks.keys()]) if (index >= count) this.marks.delete(index);
    this.editor?.show(this.allMarks());
  }

  attachSliders() {
    this.sliders = this.sliders.filter((s) => s.root.isConnected);
    for (const root of this.rows.querySelectorAll(".js-slider")) {
      if (this.sliders.some((s) => s.root === root)) continue;
      const track = new Track(/** @type {HTMLInputElement} */ (root.querySelector("input[type=range]")));
      this.sliders.push(new Slider(/** @type {HTMLElement} */ (root), this.hooks.vary, track, this.hooks.say));
    }
  }

  /** @returns {Mark[]} */
  allMarks() {
    return [...this.marks.values()].flat();
  }
}
