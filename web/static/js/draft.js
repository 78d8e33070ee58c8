// @ts-check
// What is typed into a form and not yet acknowledged, kept on this device: the
// text as it grows, and an answer on its way to the server.

export class Drafts {
  /** @param {HTMLFormElement} form */
  constructor(form) {
    const value = (/** @type {string} */ name) => /** @type {HTMLInputElement|null} */ (form.querySelector(`input[name="${name}"]`))?.value ?? "";
    // The sheet is in the key, so that nothing goes to other numbers.
    this.key = `shaftbook:answer:${new URL(form.action).pathname}:${value("sheet")}:${value("series")}:${value("part")}`;
  }

  /** @returns {string|null} */
  get draft() {
    return read(`${this.key}:draft`);
  }

  /** @param {string|null} text */
  set draft(text) {
    write(`${this.key}:draft`, text);
  }

  /** The fields that were handed in, as they go over the line. @returns {string|null} */
  get pending() {
    return read(`${this.key}:pending`);
  }

  /** @param {string|null} fields */
  set pending(fields) {
    write(`${this.key}:pending`, fields);
  }

  clear() {
    this.draft = null;
    this.pending = null;
  }
}

/** @param {string} key @returns {string|null} */
function read(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null; // storage is off
  }
}

/** @param {string} key @param {string|null} value */
function write(key, value) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch {
    // Full or switched off: the text still stands in the field.
  }
}
