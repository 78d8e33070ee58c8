// @ts-check
// What the reader has changed in a lesson: texts of cells and values of driven
// names. Kept in the browser, so that a closed lid, a dropped network or a
// server that starts again loses nothing; the server is told all of it when a
// connection opens.

/**
 * @typedef {{edits: Record<string, string>, varied: Record<string, number>}} Kept
 */

export class State {
  /** @param {string} lesson the lesson's slug @param {boolean} kept whether what is changed outlasts the page */
  constructor(lesson, kept = true) {
    this.kept = kept;
    this.key = `shaftbook:working:${lesson}`;
    /** @type {Map<string, string>} */
    this.edits = new Map();
    /** @type {Map<string, number>} */
    this.varied = new Map();
    this.timer = 0;
    /** @type {() => void} told of every change */
    this.noticed = () => {};
    this.load();
    addEventListener("pagehide", () => this.save());
  }

  /** Whether anything differs from the lesson as written. */
  get changed() {
    return this.edits.size > 0 || this.varied.size > 0;
  }

  /** @param {string} cell @param {string} text @param {string} original */
  edit(cell, text, original) {
    if (text === original) this.edits.delete(cell);
    else this.edits.set(cell, text);
    this.later();
  }

  /** @param {string} name @param {number} value */
  vary(name, value) {
    this.varied.set(name, value);
    this.later();
  }

  clear() {
    this.edits.clear();
    this.varied.clear();
    this.save();
    this.noticed();
  }

  /** @returns {Kept} */
  plain() {
    return { edits: Object.fromEntries(this.edits), varied: Object.fromEntries(this.varied) };
  }

  load() {
    if (!this.kept) return;
    try {
      /** @type {Partial<Kept>} */
      const kept = JSON.parse(localStorage.getItem(this.key) ?? "{}");
      this.edits = new Map(Object.entries(kept.edits ?? {}));
      this.varied = new Map(Object.entries(kept.varied ?? {}));
    } catch {
      // Storage is off or holds something else; the lesson opens as written.
    }
  }

  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.save(), 200);
    this.noticed();
  }

  save() {
    clearTimeout(this.timer);
    if (!this.kept) return;
    try {
      if (this.changed) localStorage.setItem(this.key, JSON.stringify(this.plain()));
      else localStorage.removeItem(this.key);
    } catch {
      // Full or switched off: the text still stands in the page.
    }
  }
}
