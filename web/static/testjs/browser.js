// A browser small enough to read: what the page scripts ask of one, with a clock
// that moves only when a test moves it and a network that answers what a test
// says. It lays nothing out and parses no HTML; an element finds what it was
// told to find. How pages look and behave as a whole is tested in
// web/browsertest.

/** A clock with timers. @returns {{now: number, pass: (ms: number) => Promise<void>}} */
function makeClock() {
  /** @type {Map<number, {at: number, act: () => void}>} */
  const timers = new Map();
  let last = 0;
  const clock = {
    now: 1000,
    /** Lets time go by, timer after timer, and what each sets off finish. @param {number} ms */
    async pass(ms) {
      const end = clock.now + ms;
      for (;;) {
        await settle();
        const next = [...timers].filter(([, t]) => t.at <= end).sort((a, b) => a[1].at - b[1].at || a[0] - b[0])[0];
        if (!next) break;
        timers.delete(next[0]);
        clock.now = next[1].at;
        next[1].act();
      }
      clock.now = end;
    },
  };
  globalThis.setTimeout = /** @type {any} */ ((act, ms = 0) => {
    timers.set(++last, { at: clock.now + ms, act });
    return last;
  });
  globalThis.clearTimeout = /** @type {any} */ ((id) => timers.delete(id));
  performance.now = () => clock.now;
  return clock;
}

/** Lets promises that can be kept be kept. */
export function settle() {
  return new Promise((resolve) => setImmediate(resolve));
}

export class Element extends EventTarget {
  /** @param {Record<string, any>} found what querySelector finds, by selector: an element or a list */
  constructor(found = {}) {
    super();
    this.found = found;
    this.dataset = {};
    this.attributes = new Map();
    this.children = [];
    this.hidden = false;
    this.isConnected = true;
    this.textContent = "";
  }
  querySelector(selector) {
    const found = this.found[selector];
    return (Array.isArray(found) ? found[0] : found) ?? null;
  }
  querySelectorAll(selector) {
    const found = this.found[selector] ?? [];
    return Array.isArray(found) ? found : [found];
  }
  append(...more) { this.children.push(...more); }
  after() {}
  before() {}
  setAttribute(name, value) { this.attributes.set(name, String(value)); }
  getAttribute(name) { return this.attributes.get(name) ?? null; }
  hasAttribute(name) { return this.attributes.has(name); }
  removeAttribute(name) { this.attributes.delete(name); }
  toggleAttribute(name, on) {
    if (name === "hidden") this.hidden = on;
    else if (on) this.attributes.set(name, "");
    else this.attributes.delete(name);
  }
  closest() { return null; }
  matches() { return false; }
  contains(other) { return other === this; }
  focus() { globalThis.document.activeElement = this; }
  click() { this.dispatchEvent(new Event("click")); }
}

export class Input extends Element {
  constructor(fields = {}) {
    super();
    Object.assign(this, { type: "text", name: "", value: "", disabled: false, readOnly: false, validity: { valid: true } }, fields);
  }
  get valueAsNumber() { return this.value === "" ? NaN : Number(this.value); }
}

class Storage {
  constructor() { this.map = new Map(); }
  getItem(key) { return this.map.get(key) ?? null; }
  setItem(key, value) {
    if (this.full) throw new Error("full");
    this.map.set(key, value);
  }
  removeItem(key) { this.map.delete(key); }
}

class Socket extends EventTarget {
  static OPEN = 1;
  constructor(url, protocol) {
    super();
    Object.assign(this, { url: String(url), protocol, readyState: 0, sent: [] });
    browser.sockets.push(this);
  }
  send(text) { this.sent.push(JSON.parse(text)); }
  /** The server takes the connection. */
  open() {
    this.readyState = Socket.OPEN;
    this.dispatchEvent(new Event("open"));
  }
  /** The server sends messages. @param {...object} messages */
  say(...messages) { this.dispatchEvent(Object.assign(new Event("message"), { data: JSON.stringify(messages) })); }
  /** The connection ends. @param {number} code */
  end(code = 1006) {
    this.readyState = 3;
    this.dispatchEvent(Object.assign(new Event("close"), { code }));
  }
}

/**
 * What a test holds of the browser. answer says what the network answers to a
 * request; it may throw, as a line that is down does.
 * @type {{clock: ReturnType<typeof makeClock>, sockets: Socket[], storage: Storage, document: any,
 *   requests: {url: string, method: string, body: any}[], answer: (request: any) => {status: number, json?: any}}}
 */
export const browser = /** @type {any} */ ({});

/** Puts a new browser in place of the one of the test before. */
export function openBrowser() {
  const page = new EventTarget();
  const doc = Object.assign(new Element(), {
    body: new Element(),
    documentElement: new Element(),
    activeElement: null,
    cookie: "",
    visibilityState: "visible",
    createElement: () => new Element(),
    getElementById: () => null,
  });
  Object.assign(browser, {
    clock: makeClock(), sockets: [], storage: new Storage(), document: doc, requests: [],
    answer: () => ({ status: 404 }), page,
  });
  Object.assign(globalThis, {
    document: doc, localStorage: browser.storage, WebSocket: Socket, location: new URL("http://mill.test/lesson/taper"),
    HTMLElement: Element, HTMLInputElement: Input,
    addEventListener: page.addEventListener.bind(page),
    async fetch(url, options = {}) {
      const request = { url: String(url), method: options.method ?? "GET", body: options.body };
      browser.requests.push(request);
      const { status, json, type = "application/json" } = await browser.answer(request);
      return { status, ok: status >= 200 && status < 300, headers: new Headers({ "Content-Type": type }), json: async () => json };
    },
  });
  Math.random = () => 0.5; // every wait has its middle length
  return browser;
}

/** An event reaches the window. @param {string} name @param {object} fields */
export function happen(name, fields = {}) {
  browser.page.dispatchEvent(Object.assign(new Event(name), fields));
}
