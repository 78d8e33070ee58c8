// @ts-check
// Keeps a page of blocks on the server while it is written: a change is in this
// browser's storage at once and is sent when typing rests, with what this window last
// knew the server to have, and again until there is an answer.
// web/reader/ownpages.go is the other end.

import { isWhoOpened } from "./keep.js";

/**
 * @typedef {{revision: number, blocks: string[]}} Copy  what the server is known to have
 * @typedef {Copy & {replaced?: boolean}} Saved
 * @typedef {{read: () => string[], put: (blocks: string[]) => void, came: (mine: string[], said: Saved) => Promise<Copy|null>, say: (sentence: string) => void, tell: (sentence: string, isConflict: boolean) => void}} Hooks
 *   came takes in what the server has after a save; null if typing has gone on
 */

const rest = 800; // ms after the last change
const longest = 3000; // ms that a change may wait while typing goes on
const again = 3000; // ms after a failure

export class PageSave {
  /** @param {HTMLElement} root the page's main element @param {Hooks} hooks */
  constructor(root, hooks) {
    const id = root.dataset.page ?? "";
    this.hooks = hooks;
    this.url = `/page/${id}/kept`;
    this.key = `shaftbook:page:${id}`;
    this.writer = name();
    this.timer = 0;
    this.since = 0; // when the oldest unsaved change was made
    this.saving = false;
    this.gone = false; // the page was deleted
    this.state = /** @type {HTMLElement|null} */ (root.querySelector(".js-saved"));
    /** @type {Copy} */
    this.copy = { revision: Number(root.dataset.revision), blocks: hooks.read() };
    /** @type {string[]} what was sent last: the server may have cut it into other blocks */
    this.sent = this.copy.blocks;
    this.takeKept();
    addEventListener("pagehide", () => this.save(true));
    addEventListener("pageshow", (event) => event.persisted && this.look());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.look());
  }

  /** Whether the server has all that the page shows. */
  get isSaved() {
    return same(this.hooks.read(), this.sent);
  }

  /** Takes up what this device has and the server had not acknowledged. */
  takeKept() {
    const kept = this.load();
    if (kept && !same(kept.blocks, kept.copy.blocks) && !same(kept.blocks, this.copy.blocks)) {
      this.copy = kept.copy;
      this.sent = kept.copy.blocks;
      this.hooks.put(kept.blocks);
      this.changed();
    } else {
      this.forget();
    }
  }

  /** Notes that something was changed. @param {boolean} [now] whether it is sent at once */
  changed(now = false) {
    this.store();
    if (!this.isSaved) this.show("unsaved", "Not saved yet");
    this.since ||= performance.now();
    clearTimeout(this.timer);
    if (now) this.save(false);
    else this.timer = setTimeout(() => this.save(false), Math.min(rest, Math.max(0, this.since + longest - performance.now())));
  }

  /** @param {boolean} leaving whether the page goes away */
  async save(leaving) {
    clearTimeout(this.timer);
    if (this.saving && !leaving) {
      this.timer = setTimeout(() => this.save(false), 100);
      return;
    }
    const mine = this.hooks.read();
    this.since = 0;
    if (this.isSaved) {
      this.settled();
      return;
    }
    if (leaving) this.store();
    if (!isWhoOpened()) {
      this.hooks.tell("Someone else has signed in in this browser, so changes on this page are no longer saved. Reload the page.", false);
      return;
    }
    this.saving = true;
    try {
      const answer = await fetch(this.url, {
        method: "POST",
        headers: { Accept: "application/json", "Content-Type": "application/json" },
        body: JSON.stringify({ blocks: mine, was: this.copy.blocks, base: this.copy.revision, writer: this.writer }),
        keepalive: leaving,
      });
      const said = await answer.json();
      if (!answer.ok) throw new Refused(answer.status, said.title, said.detail);
      await this.acknowledged(mine, /** @type {Saved} */ (said));
    } catch (fault) {
      if (fault instanceof Refused) this.refused(fault);
      this.show("device", "Kept on this device; it will be saved when the server can be reached");
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.save(false), again);
    }
    this.saving = false;
  }

  /** @param {string[]} mine what was sent @param {Saved} said */
  async acknowledged(mine, said) {
    this.gone = false;
    const now = this.hooks.read();
    if (same(now, mine)) {
      this.copy = { revision: said.revision, blocks: said.blocks };
      this.sent = mine;
      const copy = await this.hooks.came(mine, said);
      if (copy) [this.copy, this.sent] = [copy, copy.blocks];
    } else if (said.blocks.length === mine.length && now.length === mine.length) {
      // Typing went on in some blocks; the others are as the server has them.
      this.copy = { revision: said.revision, blocks: said.blocks };
      this.sent = said.blocks;
      this.hooks.put(now.map((raw, i) => (raw === mine[i] ? said.blocks[i] : raw)));
    } else {
      // What another window may have changed is not what this one has seen, and it
      // must not pass for the writer of it.
      this.copy = { revision: this.copy.revision, blocks: mine };
      this.sent = mine;
      this.writer = name();
    }
    if (said.replaced) {
      this.hooks.tell("This page has been changed in another window. What you wrote here was saved; the other text is kept.", true);
    }
    if (this.isSaved) {
      this.forget();
      this.settled();
    } else {
      this.changed();
    }
  }

  /** @param {Refused} fault */
  refused(fault) {
    if (fault.status === 404) {
      this.gone = true;
      this.hooks.tell("This page was deleted in another window. Your text is kept on this device; to save it, bring the page back: it is under Deleted, in My pages.", false);
    } else if (fault.status !== 429) {
      this.hooks.tell(`Your changes are kept on this device only. ${fault.message}`, false);
    }
  }

  /** Looks for what other windows have saved, and takes it in where this one has changed nothing. */
  async look() {
    if (this.saving || !this.isSaved) return;
    try {
      const answer = await fetch(this.url, { headers: { Accept: "application/json" } });
      if (!answer.ok) return;
      const there = /** @type {Saved} */ (await answer.json());
      if (this.saving || !this.isSaved || there.revision === this.copy.revision) return;
      const copy = await this.hooks.came(this.hooks.read(), there);
      if (copy) [this.copy, this.sent] = [copy, copy.blocks];
    } catch {
      // The line is down; the next look or save will find it.
    }
  }

  settled() {
    if (!this.gone) this.show("saved", "Saved");
  }

  /** @param {string} state @param {string} words */
  show(state, words) {
    if (!this.state || this.state.textContent === words) return;
    this.state.dataset.state = state;
    this.state.textContent = words;
  }

  /** @returns {{blocks: string[], copy: Copy}|null} */
  load() {
    try {
      const kept = JSON.parse(localStorage.getItem(this.key) ?? "null");
      return Array.isArray(kept?.blocks) && Array.isArray(kept?.copy?.blocks) ? kept : null;
    } catch {
      return null; // storage is off or holds something else
    }
  }

  store() {
    try {
      localStorage.setItem(this.key, JSON.stringify({ blocks: this.hooks.read(), copy: this.copy }));
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

/** @param {string[]} a @param {string[]} b */
export function same(a, b) {
  return a.length === b.length && a.every((raw, i) => raw === b[i]);
}
