// @ts-check
// The editor of a lesson: saves the text while it is typed, shows the page that follows
// from it and its faults, and goes to the line of a fault. web/classroom/drafts_edit.go is
// the other end; without this script the same page is a form.

import { isWhoOpened } from "./keep.js";

const rest = 600; // ms after the last change
const longest = 2500; // ms that a change may wait while typing goes on
const again = 5000; // ms after a failure
const nearly = 0.85; // of the limit, from which it is said

/** @typedef {{revision: number, replaced?: boolean, page?: string, faults: string}} Saved  mirrors writeSaved */

export class Writing {
  /** @param {HTMLElement} root the page's main element @param {(sentence: string) => void} say */
  constructor(root, say) {
    this.say = say;
    this.path = root.dataset.path ?? "";
    this.most = Number(root.dataset.most);
    this.revision = Number(root.dataset.revision);
    this.key = `shaftbook:draft:${this.path}`;
    this.writer = crypto.getRandomValues(new Uint32Array(3)).join("-");
    this.field = /** @type {HTMLTextAreaElement} */ (root.querySelector(".js-draft-text"));
    this.page = /** @type {HTMLElement} */ (root.querySelector(".js-draft-page"));
    this.faults = /** @type {HTMLElement} */ (root.querySelector(".js-draft-faults"));
    this.state = /** @type {HTMLElement} */ (root.querySelector(".js-draft-state"));
    this.notice = /** @type {HTMLElement} */ (root.querySelector(".js-draft-notice"));
    this.saved = this.field.defaultValue; // what the server is known to have
    this.saving = false;
    this.timer = 0;
    this.since = 0;
    this.checks = new AbortController();
    this.field.addEventListener("input", () => this.changed());
    this.field.form?.addEventListener("submit", (event) => {
      event.preventDefault();
      this.save(false);
    });
    this.faults.addEventListener("click", (event) => this.follow(event));
    root.querySelector(".js-draft-compare")?.addEventListener("click", async (event) => {
      if (this.field.value === this.saved) return;
      event.preventDefault(); // what is compared is what was typed
      await this.save(false);
      if (this.field.value === this.saved) location.assign(`${this.path}/compare`);
    });
    addEventListener("pagehide", () => this.save(true));
    this.takeUp();
    this.check();
  }

  /** Takes up what this device has and the server had not acknowledged. */
  takeUp() {
    const kept = stored(this.key);
    if (this.field.value !== this.saved) this.changed(); // typed before this script ran
    else if (kept && kept.text !== this.saved) {
      this.field.value = kept.text;
      this.revision = kept.base; // so that what others wrote since is not lost
      this.changed();
    }
  }

  changed() {
    store(this.key, { text: this.field.value, base: this.revision });
    this.show("unsaved", "Not saved yet");
    this.showLimit();
    this.since ||= performance.now();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.save(false), Math.min(rest, Math.max(0, this.since + longest - performance.now())));
  }

  /** @param {boolean} leaving whether the page goes away */
  async save(leaving) {
    clearTimeout(this.timer);
    if (this.saving && !leaving) return;
    const text = this.field.value;
    this.since = 0;
    if (text === this.saved) {
      if (!leaving) this.check();
      return;
    }
    if (!isWhoOpened()) return this.tell("Someone else has signed in in this browser, so changes on this page are no longer saved. Copy your text, then reload the page.");
    this.saving = true;
    this.checks.abort();
    try {
      const answer = await fetch(`${this.path}/kept`, {
        method: "POST",
        headers: { Accept: "application/json", "Content-Type": "application/json" },
        body: JSON.stringify({ text, base: this.revision, writer: this.writer }),
        keepalive: leaving && new TextEncoder().encode(text).length < 60_000, // a browser takes no more with it; this device has it
      });
      const said = await answer.json();
      if (!answer.ok) throw new Refused(answer.status, `${said.title}. ${said.detail}`);
      this.acknowledged(text, /** @type {Saved} */ (said));
    } catch (fault) {
      if (fault instanceof Refused && fault.status !== 429) this.tell(fault.message);
      this.show("device", "Kept on this device; it will be saved when the server can be reached");
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.save(false), again);
    }
    this.saving = false;
  }

  /** @param {string} text what was sent @param {Saved} said */
  acknowledged(text, said) {
    this.saved = text;
    this.revision = said.revision;
    this.notice.hidden = true;
    if (said.replaced) this.tell("This draft had been changed in another window. The text of this window was saved; the other one is under Earlier versions.");
    if (said.page !== undefined) this.put(said.page);
    this.faults.innerHTML = said.faults;
    if (this.field.value !== text) return this.changed();
    forget(this.key);
    this.show("saved", "Saved");
    this.check();
  }

  /** Shows the page without losing the place in it. @param {string} html */
  put(html) {
    const pane = this.page.parentElement;
    const open = [...this.page.querySelectorAll("details")].map((fold) => fold.open);
    const at = pane?.scrollTop ?? 0;
    this.page.innerHTML = html;
    this.page.querySelectorAll("details").forEach((fold, i) => { if (open[i]) fold.open = true; });
    if (pane) pane.scrollTop = at;
  }

  /** Has cells and exercises checked too, which takes longer. */
  async check() {
    this.checks.abort();
    this.checks = new AbortController();
    this.faults.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(`${this.path}/faults`, { headers: { Accept: "application/json" }, signal: this.checks.signal });
      if (!answer.ok) return;
      const said = /** @type {Saved} */ (await answer.json());
      if (said.revision !== this.revision || this.field.value !== this.saved) return;
      this.faults.innerHTML = said.faults;
      this.faults.removeAttribute("aria-busy");
    } catch {
      // Typing went on, or the line is down: the next text is checked.
    }
  }

  /** Goes to the line of a fault. @param {Event} event */
  follow(event) {
    const link = /** @type {Element} */ (event.target).closest(".js-draft-line");
    if (!(link instanceof HTMLElement)) return;
    event.preventDefault();
    const line = Number(link.dataset.line);
    const lines = this.field.value.split("\n");
    const start = lines.slice(0, line - 1).reduce((all, text) => all + text.length + 1, 0);
    const end = start + (lines[line - 1] ?? "").length;
    // A browser scrolls a field to its selection only when something is typed, so the
    // height of the lines before it is measured.
    const { lineHeight } = getComputedStyle(this.field);
    this.field.focus();
    this.field.setSelectionRange(start, end);
    this.field.scrollTop = heightBefore(this.field, start) - 3 * Number.parseFloat(lineHeight);
    this.field.scrollIntoView({ block: "nearest" });
  }

  showLimit() {
    const bytes = new TextEncoder().encode(this.field.value).length;
    if (bytes < nearly * this.most) return;
    this.tell(`This lesson has ${Math.round(bytes / 1024)} kB; at most ${Math.round(this.most / 1024)} kB can be saved. Split it into two.`);
  }

  /** @param {string} state @param {string} words */
  show(state, words) {
    if (this.state.textContent === words) return;
    this.state.dataset.state = state;
    this.state.textContent = words;
  }

  /** @param {string} words */
  tell(words) {
    if (!this.notice.hidden && this.notice.textContent === words) return;
    this.notice.textContent = words;
    this.notice.hidden = false;
    this.say(words);
  }
}

class Refused extends Error {
  /** @param {number} status @param {string} words */
  constructor(status, words) {
    super(words);
    this.status = status;
  }
}

/**
 * Returns how high the text before a place is, as the field breaks its lines.
 * @param {HTMLTextAreaElement} field @param {number} place
 */
function heightBefore(field, place) {
  const copy = /** @type {HTMLTextAreaElement} */ (field.cloneNode());
  copy.removeAttribute("id");
  copy.removeAttribute("name");
  copy.tabIndex = -1;
  copy.setAttribute("aria-hidden", "true");
  copy.value = field.value.slice(0, place);
  copy.style.cssText = `position: absolute; visibility: hidden; height: 0; min-height: 0; width: ${field.offsetWidth}px`;
  field.after(copy);
  const height = copy.scrollHeight;
  copy.remove();
  return height;
}

/** @param {string} key @returns {{text: string, base: number}|null} */
function stored(key) {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null");
  } catch {
    return null; // storage is off or holds something else
  }
}

/** @param {string} key @param {{text: string, base: number}} kept */
function store(key, kept) {
  try {
    localStorage.setItem(key, JSON.stringify(kept));
  } catch {
    // Full or switched off: the text still stands in the page.
  }
}

/** @param {string} key */
function forget(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // Nothing was kept.
  }
}

const root = globalThis.document?.querySelector(".js-draft");
if (root instanceof HTMLElement) {
  const status = document.querySelector(".js-status");
  new Writing(root, (sentence) => { if (status) status.textContent = sentence; });
}
