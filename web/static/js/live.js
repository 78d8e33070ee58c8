// @ts-check
// The connection to the server: opens it, opens it again when it drops, sends
// the newest state of whatever changed, and hands on what comes back. The
// messages are written down in web/PROTOCOL.md; the Go side is web/live.

const protocol = "shaftbook.working.4";
const pace = 55; // ms between messages while the server has not answered
const beat = 12; // ms between them once it has: one a frame, under its limit of 85 a second
const firstWait = 400; // ms before the first new attempt
const longestWait = 4000; // so that a page is back soon after its server
const policyWait = 30000; // after the server closed for breaking its rules

/**
 * @typedef {{from: number, to: number, kind: "error"|"note"}} Mark  places in UTF-16 units
 * @typedef {{type: "row", revision: number, cell: string, index: number, html: string, spoken: string, failed: boolean, marks: Mark[]}} RowMessage
 * @typedef {{type: "cell", revision: number, cell: string, rows: number}} CellMessage
 * @typedef {{type: "progress", revision: number, fraction: number, what: string}} ProgressMessage
 * @typedef {{type: "done", revision: number, stopped: boolean, left?: {cell: string, index: number}[]}} DoneMessage
 * @typedef {{type: "opened", revision: number, lesson: string, version?: string, limits: {text: number}}} OpenedMessage
 * @typedef {{type: "changed", revision: number, version: string}} ChangedMessage
 * @typedef {{type: "problem", revision: number, problem: {type: string, title: string, detail: string}}} ProblemMessage
 * @typedef {{type: "judged", revision: number, cell: string, lines: string[], summary: string, fields: string, run: string, plain: string, tex: string, spoken: string, marks: Mark[]}} JudgedMessage
 * @typedef {RowMessage|JudgedMessage|CellMessage|ProgressMessage|DoneMessage|OpenedMessage|ChangedMessage|ProblemMessage} Message
 */

export class Live extends EventTarget {
  /**
   * @param {string} lesson
   * @param {import("./state.js").State} state
   */
  constructor(lesson, state) {
    super();
    this.lesson = lesson;
    this.state = state;
    this.revision = 0;
    this.attempts = 0;
    this.lastSent = 0;
    this.answered = false; // whether the server is done with what it was sent last
    this.timer = 0;
    this.retry = 0;
    this.again = false; // whether this page has been connected before
    /** @type {WebSocket|null} */
    this.socket = null;
    /** @type {Map<string, object>} newest message for each thing that changed */
    this.waiting = new Map();
    /** @type {Map<string, number>} revision at which each thing was last sent */
    this.sent = new Map();
    /** @type {Map<string, string>} the text of each cell that the server was sent last */
    this.texts = new Map();
    addEventListener("online", () => this.connect());
    addEventListener("pageshow", (e) => e.persisted && this.connect());
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.connect();
    });
  }

  /** The page of a link is reached by the link alone, also without an account. */
  get path() {
    return this.lesson.startsWith("shared/") ? `/${this.lesson}/live` : "/live";
  }

  get isOpen() {
    return this.socket?.readyState === WebSocket.OPEN;
  }

  connect() {
    if (this.socket && this.socket.readyState <= WebSocket.OPEN) return;
    clearTimeout(this.retry);
    const url = new URL(this.path, location.href);
    url.protocol = url.protocol === "https:" ? "wss:" : "ws:";
    const socket = new WebSocket(url, protocol);
    this.socket = socket;
    socket.addEventListener("open", () => {
      this.attempts = 0;
      this.waiting.clear(); // everything is in the opening message
      this.texts.clear();
      this.lastSent = performance.now();
      this.revision++;
      const { edits, varied } = this.state.plain();
      socket.send(JSON.stringify({ type: "open", revision: this.revision, lesson: this.lesson, edits, varied, all: this.again }));
      this.again = true;
      this.answered = false;
      this.emit("online", null);
    });
    socket.addEventListener("message", (event) => {
      /** @type {Message[]} */
      const messages = this.socket === socket ? JSON.parse(event.data) : []; // an earlier one has no say
      for (const message of messages) {
        if (message.type === "problem") this.texts.clear(); // it may be a text that was not taken
        this.emit(message.type, message);
        if (message.type === "done" && message.revision >= this.revision) this.goOn();
      }
    });
    socket.addEventListener("close", (event) => {
      if (this.socket !== socket) return;
      this.socket = null;
      this.emit("offline", this.attempts);
      const wait = event.code === 1008 ? policyWait : Math.min(longestWait, firstWait * 2 ** this.attempts);
      this.attempts++;
      this.retry = setTimeout(() => this.connect(), wait * (0.7 + 0.6 * Math.random()));
    });
  }

  /**
   * A socket that is refused does not say why; the same address does, asked
   * without one.
   */
  async askWhy() {
    try {
      const answer = await fetch(this.path, { headers: { Accept: "application/json" }, cache: "no-store" });
      if (answer.status === 401 || answer.status === 404) this.emit("signed-out", null);
    } catch {
      // The server is away, which the page says already.
    }
  }

  /** @param {string} cell @param {string} text */
  edit(cell, text) {
    const key = `edit ${cell}`;
    if (this.isOpen && this.texts.get(cell) === text) {
      // The server answers a text that it has with nothing, and what it said of it
      // must not be taken for the answer to an earlier one.
      this.waiting.delete(key);
      return;
    }
    this.put(key, { type: "edit", cell, text });
  }

  /** @param {string} name @param {number} value in the slider's unit */
  vary(name, value) {
    this.put(`vary ${name}`, { type: "vary", name, value });
  }

  /** @param {string} cell @param {{text: string, gaps: string[], data: Record<string, string>}} sheet a derivation */
  judge(cell, sheet) {
    this.put(`judge ${cell}`, { type: "judge", cell, ...sheet });
  }

  /** Everything as the lesson has it. */
  restore() {
    // What a derivation asks has nothing to do with the lesson's cells.
    for (const key of [...this.waiting.keys()]) if (!key.startsWith("judge ")) this.waiting.delete(key);
    this.texts.clear();
    this.put("restore", { type: "restore" });
  }

  /** @param {string} place the heading or cell in view; empty while nobody looks */
  here(place) {
    this.put("here", { type: "here", place });
  }

  /** Has everything calculated that is not, on a new connection, which asks for all rows. */
  calculateAgain() {
    const old = this.socket;
    this.socket = null;
    old?.close();
    this.attempts = 0;
    this.connect();
  }

  stop() {
    this.put("stop", { type: "stop" });
  }

  /**
   * Sends a message soon. A newer one about the same thing takes its place.
   * @param {string} key @param {object} message
   */
  put(key, message) {
    this.waiting.delete(key);
    this.waiting.set(key, message);
    if (!this.timer) this.flush();
  }

  /** The server is done with all that it was sent: what waits need not wait longer. */
  goOn() {
    this.answered = true;
    if (!this.timer) return;
    clearTimeout(this.timer);
    this.flush();
  }

  flush() {
    this.timer = 0;
    if (!this.isOpen || this.waiting.size === 0) return;
    const due = this.lastSent + (this.answered ? beat : pace) - performance.now();
    if (due > 0) {
      this.timer = setTimeout(() => this.flush(), due);
      return;
    }
    const [key, message] = /** @type {[string, object]} */ (this.waiting.entries().next().value);
    this.waiting.delete(key);
    this.revision++;
    this.sent.set(key, this.revision);
    if ("cell" in message && "text" in message && key.startsWith("edit ")) this.texts.set(String(message.cell), String(message.text));
    this.lastSent = performance.now();
    this.answered = false;
    this.socket?.send(JSON.stringify({ ...message, revision: this.revision }));
    if (this.waiting.size) this.timer = setTimeout(() => this.flush(), pace);
  }

  /**
   * Whether the reader has changed this thing since a revision. A result from
   * before that must not move a slider back or mark places in another text.
   * @param {string} key @param {number} revision
   */
  isAhead(key, revision) {
    return this.waiting.has(key) || (this.sent.get(key) ?? 0) > revision;
  }

  /** @param {string} type @param {unknown} detail */
  emit(type, detail) {
    this.dispatchEvent(new CustomEvent(type, { detail }));
  }
}
