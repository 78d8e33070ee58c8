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
    /** @type {Set<string>} what this window changed and has not stored: others of the lesson store in the same place */
    this.touched = new Set();
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
    this.later(cell);
  }

  /** @param {string} name @param {number} value */
  vary(name, value) {
    this.varied.set(name, value);
    this.later(name);
  }

  /** @param {string} name */
  release(name) {
    this.varied.delete(name);
    this.later(name);
  }

  clear() {
    const { edits, varied } = this.stored();
    for (const key of [...this.edits.keys(), ...this.varied.keys(), ...Object.keys(edits), ...Object.keys(varied)]) this.touched.add(key);
    this.edits.clear();
    this.varied.clear();
    this.save();
    this.noticed();
  }

  /** @returns {Kept} */
  plain() {
    return { edits: Object.fromEntries(this.edits), varied: Object.fromEntries(this.varied) };
  }

  /** @returns {Kept} what all windows of the lesson have stored */
  stored() {
    try {
      /** @type {Partial<Kept>} */
      const kept = JSON.parse(localStorage.getItem(this.key) ?? "{}");
      return { edits: kept.edits ?? {}, varied: kept.varied ?? {} };
    } catch {
      return { edits: {}, varied: {} }; // storage is off or holds something else; the lesson opens as written
    }
  }

  load() {
    if (!this.kept) return;
    const { edits, varied } = this.stored();
    this.edits = new Map(Object.entries(edits));
    this.varied = new Map(Object.entries(varied));
  }

  /** @param {string} key of what has changed: a cell, or a driven name */
  later(key) {
    this.touched.add(key);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.save(), 200);
    this.noticed();
  }

  save() {
    clearTimeout(this.timer);
    if (!this.kept || this.touched.size === 0) return;
    const { edits, varied } = this.stored();
    for (const key of this.touched) {
      put(edits, key, this.edits.get(key));
      put(varied, key, this.varied.get(key));
    }
    try {
      if (Object.keys(edits).length + Object.keys(varied).length > 0) localStorage.setItem(this.key, JSON.stringify({ edits, varied }));
      else localStorage.removeItem(this.key);
      this.touched.clear();
    } catch {
      // Full or switched off: the text still stands in the page.
    }
  }
}

/** @template T @param {Record<string, T>} into @param {string} key @param {T|undefined} value */
function put(into, key, value) {
  if (value === undefined) delete into[key];
  else into[key] = value;
}
