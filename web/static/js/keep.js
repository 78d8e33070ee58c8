// @ts-check
// Keeps what the reader changes in a lesson on the server as well, a moment
// after typing rests, and brings it back on return. What this device changed
// and the server has not acknowledged goes before what the server has.
// web/reader/savededits.go is the other end.

/**
 * @typedef {{revision: number, edits: Record<string, string>, varied: Record<string, number>}} Copy
 * @typedef {Copy & {moved?: string[]}} Kept  mirrors web.kept
 * @typedef {{base: number, edits: Record<string, string|null>, varied: Record<string, number|null>}} Keeping  mirrors web.keeping
 * @typedef {{put: (edits: Record<string, string|null>, varied: Record<string, number|null>) => void, say: (sentence: string) => void}} Hooks
 */

const rest = 800; // ms after the last change
const longest = 3000; // ms that a change may wait while typing goes on
const again = [500, 5000]; // ms after the first failure, and at most; each is twice the one before

export class Keep {
  /**
   * @param {string} lesson
   * @param {import("./state.js").State} state
   * @param {Hooks} hooks
   */
  constructor(lesson, state, hooks) {
    this.url = `/lesson/${lesson}/kept`;
    this.key = `shaftbook:kept:${lesson}`;
    this.state = state;
    this.hooks = hooks;
    /** @type {Copy} what the server has */
    this.copy = this.load();
    this.ready = false; // whether the server has been asked
    this.timer = 0;
    this.since = 0; // when the oldest unsaved change was made
    this.saving = false;
    this.failures = 0; // in a row
    this.notice = document.createElement("p");
    this.notice.className = "offline";
    this.notice.hidden = true;
    document.querySelector(".js-offline")?.after(this.notice);
    state.noticed = () => this.later();
    addEventListener("pagehide", () => this.save(true));
    this.open();
  }

  /** Asks for what the server has, and takes in what this device has not changed. */
  async open() {
    try {
      const answer = await fetch(this.url, { headers: { Accept: "application/json" } });
      if (answer.status === 404) return; // this server keeps nothing
      if (!answer.ok) throw new Error(String(answer.status));
      const kept = /** @type {Kept} */ (await answer.json());
      // A server that knows less than this device saw is another one, or one
      // that was put back: then what stands here counts.
      const base = kept.revision < this.copy.revision ? { revision: 0, edits: {}, varied: {} } : this.copy;
      const mine = this.state.plain();
      const edits = fromServer(mine.edits, base.edits, kept.edits);
      const varied = fromServer(mine.varied, base.varied, kept.varied);
      this.copy = { revision: kept.revision, edits: kept.edits, varied: kept.varied };
      this.ready = true;
      this.failures = 0;
      if (Object.keys(edits).length + Object.keys(varied).length > 0) this.hooks.put(edits, varied);
      if (kept.moved?.some((cell) => cell in edits)) this.hooks.say("The lesson has changed since you edited it; your own text is shown.");
      this.store();
      this.later();
    } catch {
      setTimeout(() => this.open(), this.untilAgain());
    }
  }

  later() {
    if (!this.ready) return;
    this.since ||= performance.now();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.save(false), Math.min(rest, Math.max(0, this.since + longest - performance.now())));
  }

  /** @param {boolean} leaving whether the page goes away */
  async save(leaving) {
    clearTimeout(this.timer);
    if (!this.ready || this.saving) return;
    if (!isWhoOpened()) {
      this.tell("Someone else has signed in in this browser, so changes on this page are no longer saved. Reload the page.");
      return;
    }
    const mine = this.state.plain();
    /** @type {Keeping} */
    const changes = { base: this.copy.revision, edits: difference(mine.edits, this.copy.edits), varied: difference(mine.varied, this.copy.varied) };
    this.since = 0;
    if (Object.keys(changes.edits).length + Object.keys(changes.varied).length === 0) return;
    this.saving = true;
    try {
      const answer = await fetch(this.url, {
        method: "POST",
        headers: { Accept: "application/json", "Content-Type": "application/json" },
        body: JSON.stringify(changes),
        keepalive: leaving,
      });
      const said = await answer.json();
      if (!answer.ok) throw new Refused(answer.status, said.detail);
      this.copy = { revision: said.revision, edits: mine.edits, varied: mine.varied };
      this.store();
      this.notice.hidden = true;
      this.failures = 0;
      if (said.replaced?.length) this.hooks.say(`${said.replaced.join(", ")} had been edited in another window; the text from this window has replaced it.`);
      this.saving = false;
      this.later();
    } catch (fault) {
      this.saving = false;
      if (fault instanceof Refused && fault.status === 503) this.tell(`Your changes are kept on this device only. ${fault.message}`);
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.save(false), this.untilAgain());
    }
  }

  /** How long to wait after a failure, so that a class does not come back all at once. */
  untilAgain() {
    return Math.min(again[1], again[0] * 2 ** this.failures++) * (0.8 + 0.4 * Math.random());
  }

  /** @param {string} words */
  tell(words) {
    if (!this.notice.hidden && this.notice.textContent === words) return;
    this.notice.textContent = words;
    this.notice.hidden = false;
    this.hooks.say(words);
  }

  /** @returns {Copy} */
  load() {
    try {
      const copy = /** @type {Partial<Copy>} */ (JSON.parse(localStorage.getItem(this.key) ?? "{}"));
      return { revision: copy.revision ?? 0, edits: copy.edits ?? {}, varied: copy.varied ?? {} };
    } catch {
      return { revision: 0, edits: {}, varied: {} };
    }
  }

  store() {
    try {
      localStorage.setItem(this.key, JSON.stringify(this.copy));
    } catch {
      // Full or switched off: the server has it.
    }
  }
}

/** Whether the page still is that of whoever is signed in: see theme.js. */
export function isWhoOpened() {
  const now = /(?:^|; )shaftbook_whose=([0-9a-f]+)/.exec(document.cookie)?.[1] ?? "";
  return !now || now === document.documentElement.dataset.whose;
}

class Refused extends Error {
  /** @param {number} status @param {string} words */
  constructor(status, words) {
    super(words);
    this.status = status;
  }
}

/**
 * What to take in from the server: where this device has changed nothing since
 * base, the server's value, or null where it has none.
 * @template T @param {Record<string, T>} mine @param {Record<string, T>} base @param {Record<string, T>} theirs
 * @returns {Record<string, T|null>}
 */
export function fromServer(mine, base, theirs) {
  /** @type {Record<string, T|null>} */
  const take = {};
  for (const key of new Set([...Object.keys(mine), ...Object.keys(theirs)])) {
    if (mine[key] === base[key] && mine[key] !== theirs[key]) take[key] = theirs[key] ?? null;
  }
  return take;
}

/**
 * What to send so that theirs becomes mine; null lets go of a value.
 * @template T @param {Record<string, T>} mine @param {Record<string, T>} theirs
 * @returns {Record<string, T|null>}
 */
export function difference(mine, theirs) {
  /** @type {Record<string, T|null>} */
  const changes = {};
  for (const key of new Set([...Object.keys(mine), ...Object.keys(theirs)])) {
    if (mine[key] !== theirs[key]) changes[key] = mine[key] ?? null;
  }
  return changes;
}
