// @ts-check
// Saves a derivation of the learner's own while it is written: on this device at
// once, on the server a moment after typing rests. web/reader/ownpage.go is the
// other end; what two windows change is joined there.

import { isWhoOpened } from "./keep.js";
import { forgetFormer } from "./ownlist.js";

/**
 * @typedef {{text: string, numbers: Record<string, string>}} Content
 * @typedef {Content & {revision: number}} Copy  what the server is known to have
 * @typedef {Content & {revision: number, replaced?: boolean}} Saved  mirrors ownpage.Saved
 * @typedef {{served: Content, read: () => Content, put: (content: Content) => void, say: (sentence: string) => void}} Hooks
 */

const rest = 800; // ms after the last change
const longest = 3000; // ms that a change may wait while typing goes on
const again = 5000; // ms after a failure
const nearly = 0.85; // of a limit, from which it is said

export class OwnPage {
  /** @param {HTMLElement} root the page's main element @param {Hooks} hooks */
  constructor(root, hooks) {
    const id = root.dataset.page ?? "";
    this.root = root;
    this.hooks = hooks;
    this.url = `/page/${id}/kept`;
    this.key = `shaftbook:page:${id}`;
    this.writer = name();
    this.timer = 0;
    this.since = 0; // when the oldest unsaved change was made
    this.saving = false;
    this.gone = false; // the page was deleted
    /** @type {Copy} */
    this.copy = { revision: Number(root.dataset.revision), ...hooks.served };
    this.state = root.querySelector(".js-saved");
    this.limit = /** @type {HTMLElement|null} */ (root.querySelector(".js-limit"));
    this.notice = document.createElement("p");
    this.notice.className = "offline";
    this.notice.hidden = true;
    root.querySelector(".js-offline")?.after(this.notice);
    this.takeKept();
    this.showLimit();
    addEventListener("pagehide", () => this.save(true));
    addEventListener("pageshow", (event) => event.persisted && this.look());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.look());
  }

  /** Takes up what this device has and the server had not acknowledged. */
  takeKept() {
    const kept = this.load();
    if (!same(this.hooks.read(), this.copy)) {
      this.changed(); // typed before this script ran
    } else if (kept && !same(kept, kept.copy) && !same(kept, this.copy)) {
      this.copy = kept.copy;
      this.hooks.put({ text: kept.text, numbers: kept.numbers });
      this.changed();
    } else {
      this.forget();
    }
  }

  /** Notes that something was changed. */
  changed() {
    this.store();
    this.showLimit();
    if (!same(this.hooks.read(), this.copy)) this.show("unsaved", "Not saved yet");
    this.later();
  }

  later() {
    this.since ||= performance.now();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.save(false), Math.min(rest, Math.max(0, this.since + longest - performance.now())));
  }

  /** @param {boolean} leaving whether the page goes away */
  async save(leaving) {
    clearTimeout(this.timer);
    if (this.saving && !leaving) return;
    const mine = this.hooks.read();
    this.since = 0;
    if (same(mine, this.copy)) {
      this.forget();
      this.settled();
      return;
    }
    if (leaving) this.store();
    if (!isWhoOpened()) {
      this.tell("Someone else has signed in in this browser, so changes on this page are no longer saved. Reload the page.");
      return;
    }
    this.saving = true;
    const { revision, ...was } = this.copy;
    try {
      const answer = await fetch(this.url, {
        method: "POST",
        headers: { Accept: "application/json", "Content-Type": "application/json" },
        body: JSON.stringify({ ...mine, base: revision, was, writer: this.writer }),
        keepalive: leaving,
      });
      const said = await answer.json();
      if (!answer.ok) throw new Refused(answer.status, said.title, said.detail);
      this.acknowledged(mine, /** @type {Saved} */ (said));
    } catch (fault) {
      if (fault instanceof Refused) this.refused(fault);
      this.show("device", "Kept on this device; it will be saved when the server can be reached");
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.save(false), again);
    }
    this.saving = false;
  }

  /** @param {Content} mine what was sent @param {Saved} said */
  acknowledged(mine, said) {
    const { text, numbers } = said;
    this.gone = false;
    this.notice.hidden = true;
    if (said.replaced) {
      this.tell("This derivation has been changed in another window. The text from this window was saved; reload the page to see the other one under Earlier versions.");
    }
    const now = this.hooks.read();
    if (same(now, mine)) {
      this.copy = { revision: said.revision, text, numbers };
      if (!same(now, said)) this.hooks.put({ text, numbers });
      this.forget();
      this.settled();
      return;
    }
    // Typing went on. What the other window changed is then not what this one has
    // seen, and the window must not pass for its writer.
    if (same(mine, said)) {
      this.copy = { revision: said.revision, text, numbers };
    } else {
      this.copy = { revision: this.copy.revision, ...mine };
      this.writer = name();
    }
    this.store();
    this.later();
  }

  /** @param {Refused} fault */
  refused(fault) {
    if (fault.status === 404) {
      this.gone = true;
      this.tell("This derivation was deleted in another window. Your text is kept on this device; to save it, bring the derivation back: it is under Deleted, in All derivations.");
    } else if (fault.status !== 429) {
      this.tell(`Your changes are kept on this device only. ${fault.message}`);
    }
  }

  /** Looks for what other windows have saved, and takes it in where this one has changed nothing. */
  async look() {
    if (this.saving || !same(this.hooks.read(), this.copy)) return;
    try {
      const answer = await fetch(this.url, { headers: { Accept: "application/json" } });
      if (!answer.ok) return;
      const there = /** @type {Saved} */ (await answer.json());
      if (this.saving || !same(this.hooks.read(), this.copy)) return;
      const fresh = !same(there, this.copy);
      this.copy = { revision: there.revision, text: there.text, numbers: there.numbers };
      if (fresh) this.hooks.put({ text: there.text, numbers: there.numbers });
    } catch {
      // The line is down; the next look or save will find it.
    }
  }

  settled() {
    if (this.gone) return;
    this.show("saved", "Saved");
  }

  /** @param {string} state @param {string} words */
  show(state, words) {
    if (!(this.state instanceof HTMLElement) || this.state.textContent === words) return;
    this.state.dataset.state = state;
    this.state.textContent = words;
  }

  /** Says a limit before it is reached. */
  showLimit() {
    if (!this.limit) return;
    const { text } = this.hooks.read();
    const bytes = new TextEncoder().encode(text).length;
    const lines = text.split("\n").filter((line) => line.trim() && !line.trim().startsWith("#")).length;
    const most = (/** @type {string} */ name) => Number(this.root.dataset[name]);
    const said = [];
    if (lines > nearly * most("lines")) said.push(measured(lines, most("lines"), "lines", "checked"));
    else if (bytes > nearly * most("judged")) said.push(measured(kilo(bytes), kilo(most("judged")), "kB", "checked"));
    if (bytes > nearly * most("most")) said.push(measured(kilo(bytes), kilo(most("most")), "kB", "saved"));
    this.limit.hidden = said.length === 0;
    if (said.length) this.limit.textContent = said.join(" ");
  }

  /** @param {string} words */
  tell(words) {
    if (!this.notice.hidden && this.notice.textContent === words) return;
    this.notice.textContent = words;
    this.notice.hidden = false;
    this.hooks.say(words);
  }

  /** @returns {Content & {copy: Copy}|null} */
  load() {
    try {
      return JSON.parse(localStorage.getItem(this.key) ?? "null");
    } catch {
      return null; // storage is off or holds something else
    }
  }

  store() {
    try {
      localStorage.setItem(this.key, JSON.stringify({ ...this.hooks.read(), copy: this.copy }));
    } catch {
      // Full or switched off: the text still stands in the page.
    }
  }

  forget() {
    try {
      localStorage.removeItem(this.key);
    } catch {
      // Nothing was kept.
    }
  }
}

/**
 * Keeps the derivation of a page.
 * @param {HTMLElement} root @param {import("./derivation.js").Derivation} derivation @param {import("./status.js").Status} status
 * @returns {OwnPage}
 */
export function attachPage(root, derivation, status) {
  derivation.data = JSON.parse(root.dataset.numbers ?? "{}");
  const served = { text: derivation.area.defaultValue, numbers: { ...derivation.data } };
  forgetFormer(served.text);
  return new OwnPage(root, {
    served,
    read: () => ({ text: derivation.full, numbers: derivation.data }),
    put(content) {
      derivation.data = { ...content.numbers };
      derivation.put(content.text, []);
      derivation.writeNumbers();
      derivation.judge();
    },
    say: (sentence) => status.say(sentence),
  });
}

class Refused extends Error {
  /** @param {number} status @param {string} title @param {string} words */
  constructor(status, title, words) {
    super(`${title}. ${words}`);
    this.status = status;
  }
}

/** @returns {string} a name for this window */
function name() {
  return crypto.getRandomValues(new Uint32Array(3)).join("-");
}

/** Says how much there is of what is limited. @param {number} has @param {number} most @param {string} unit @param {string} done */
function measured(has, most, unit, done) {
  if (has <= most) return `This derivation has ${has} ${unit}; up to ${most} can be ${done}.`;
  return `This derivation has ${has} ${unit}, more than the ${most} that can be ${done}. Shorten it, or split it into two.`;
}

/** @param {number} bytes */
function kilo(bytes) {
  return Math.round(bytes / 1024);
}

/** @param {Content} a @param {Content} b */
export function same(a, b) {
  const [m, n] = [sound(a.numbers), sound(b.numbers)];
  return a.text === b.text && m.length === n.length && m.every((line, i) => line === n[i]);
}

/** @param {Record<string, string>} numbers @returns {string[]} as a page keeps them */
function sound(numbers) {
  return Object.entries(numbers).filter(([, text]) => text.trim()).map(([name, text]) => `${name} = ${text.trim().replace(/\s+/g, " ")}`).sort();
}
