// @ts-check
// Finds the parts of the page and attaches what makes them live.

import { Cell } from "./cell.js";
import { attachDerivations } from "./derivations.js";
import { Exercise, retryNow } from "./exercise.js";
import { attachCopies } from "./copy.js";
import { attachDownloads } from "./figure.js";
import { attachFormulas } from "./formula.js";
import { attachHint } from "./hint.js";
import { Keep } from "./keep.js";
import { attachKeys } from "./keys.js";
import { Live } from "./live.js";
import { follow, showProgress } from "./progress.js";
import { attachScrolls } from "./scroll.js";
import { State } from "./state.js";
import { attachSteady } from "./steady.js";
import { Status } from "./status.js";

const status = new Status(/** @type {HTMLElement} */ (document.querySelector(".js-status")));
const lesson = /** @type {HTMLElement|null} */ (document.querySelector(".js-lesson"));
attachKeys({ say: () => status.again() });
showProgress();
attachFormulas();
attachScrolls();
// What only some pages need comes only to them.
const has = (/** @type {string} */ selector) => document.querySelector(selector) !== null;
if (has('input[type="password"]')) import("./reveal.js").then(({ attachReveals }) => attachReveals());
if (has('.fields input[name="zone"]')) import("./zone.js").then(({ attachZones }) => attachZones());
if (has(".class-ways")) import("./fits.js").then(({ attachFits }) => attachFits());
if (has(".js-room")) import("./room.js").then(({ attachRoom }) => attachRoom((sentence) => status.say(sentence)));
if (has("time.js-moment, .js-own-list")) {
  import("./ownlist.js").then(({ attachMoments, attachOwnList }) => {
    attachMoments();
    attachOwnList();
  });
}
const blocks = lesson?.dataset.blocks === undefined ? null : await import("./page-blocks.js");
/** @type {import("./derivations.js").Own|null} */
const own = blocks || lesson?.dataset.page === undefined ? null : await import("./ownpage.js");
if (lesson) attachLesson(lesson);
if (has(".js-guess")) import("./guess.js").then(({ attachGuesses }) => attachGuesses((sentence) => status.say(sentence)));
for (const section of document.querySelectorAll(".js-exercise")) {
  new Exercise(/** @type {HTMLElement} */ (section), (sentence) => status.say(sentence));
}
// A link to a folded exercise opens it, in browsers that do not do so by themselves.
const unfold = () => {
  const to = document.getElementById(location.hash.slice(1));
  const fold = to?.closest("details.exercise:not([open])");
  if (!to || !fold) return;
  fold.setAttribute("open", "");
  to.scrollIntoView();
};
addEventListener("hashchange", unfold);
unfold();

/** @param {HTMLElement} root */
function attachLesson(root) {
  let loads = false;
  const needLoads = () => {
    if (loads) return;
    loads = true;
    import("./load.js").then(({ attachLoads }) => attachLoads(root, state, (sentence) => status.say(sentence)));
  };
  /** @type {import("./trials.js").Trials|null} */
  let trials = null;
  let segments = false;
  const needTables = () => {
    if (!segments && root.querySelector(".js-segments")) {
      segments = true;
      import("./segments.js").then(({ attachSegments }) => attachSegments(root));
    }
    if (trials !== null || !root.querySelector("[data-kind=trials]")) return;
    import("./trials.js").then(({ Trials }) => trials ??= new Trials(root, (id) => cells.get(id), (sentence) => status.say(sentence)));
  };
  const slug = root.dataset.lesson ?? "";
  const kept = root.dataset.unkept === undefined && !blocks; // on the board nothing is, and a page of blocks has it in its text
  const state = new State(slug, kept);
  const live = new Live(slug, state);
  const all = document.querySelector(".js-restore-all");
  const names = () => [...new Set([...root.querySelectorAll("[data-name]")].map((row) => row.getAttribute("data-name") ?? ""))].filter(Boolean);
  const derivations = blocks ? { changed: false } : attachDerivations(root, live, status, () => showAll(), own);
  const showAll = () => all?.toggleAttribute("hidden", !state.changed && !derivations.changed);
  const hintSeen = attachHint();

  /** @type {Map<string, Cell>} */
  const cells = new Map();
  /** @type {import("./page-blocks.js").Blocks|undefined} */
  let page;
  const attachCell = (/** @type {HTMLElement} */ element) => {
    const cell = new Cell(element, {
      own: Boolean(blocks),
      edit(id, text, original) {
        state.edit(id, text, blocks ? "\0" : original); // what a page of blocks came with means nothing later
        live.edit(id, text);
        page?.edited(id, text);
        showAll();
        hintSeen();
      },
      vary(name, value) {
        state.vary(name, value);
        live.vary(name, value);
        showAll();
        hintSeen();
      },
      isAhead: (name, revision) => live.isAhead(`vary ${name}`, revision),
      say: (sentence) => status.say(sentence),
      names,
      words: root.dataset.words ?? "",
    });
    cells.set(cell.id, cell);
    const kept = state.edits.get(cell.id);
    if (kept !== undefined) cell.put(kept);
  };
  for (const element of root.querySelectorAll(".js-cell")) attachCell(/** @type {HTMLElement} */ (element));
  showAll();
  attachSteady(root);
  let followHands = () => {};
  // The board has no margin, and a lesson without sliders nothing to put there.
  if (kept && has(".js-slider")) import("./hand.js").then(({ attachHands }) => { followHands = attachHands(root); });

  /** @param {import("./live.js").RowMessage} message */
  const take = (message) => {
    const row = cells.get(message.cell)?.row(message, live.isAhead(`edit ${message.cell}`, message.revision));
    if (!row) return;
    showValue(row);
    if (kept && state.changed) import("./written.js").then(({ noteChanged }) => noteChanged(row));
    agree(row, message.revision);
    if (row.querySelector(".js-load")) needLoads();
    followHands();
    needTables();
    if (row) trials?.came(row);
    status.changed(`${message.cell} ${message.index}`, message.spoken);
  };
  listen("row", take);
  /**
   * Keeps where the server has a slider, unless its field says that what was kept lies outside.
   * @param {HTMLElement} row @param {number} revision
   */
  const agree = (row, revision) => {
    const name = row.dataset.name ?? "";
    const kept = state.varied.get(name);
    if (row.dataset.kind !== "vary" || kept === undefined || row.querySelector(".takes") || live.isAhead(`vary ${name}`, revision)) return;
    const at = Number(row.querySelector(".js-slider input")?.getAttribute("data-at") ?? NaN);
    if (Math.abs(at - kept) > 1e-9 * Math.abs(kept)) state.vary(name, at);
  };
  root.addEventListener("uncovered", () => { // by a guess
    for (const { held } of cells.values()) {
      const all = [...held.values()];
      held.clear();
      all.forEach(take);
    }
    if (root.querySelector(".js-load")) needLoads();
  });
  listen("cell", (/** @type {import("./live.js").CellMessage} */ message) => {
    cells.get(message.cell)?.count(message.rows);
  });
  all?.addEventListener("click", () => {
    state.clear();
    for (const cell of cells.values()) {
      cell.before = null;
      if (cell.text !== cell.original) cell.put(cell.original);
    }
    live.restore();
    showAll();
  });

  attachBusy(live, (left) => {
    let count = 0;
    for (const { cell, index } of left) if (cells.get(cell)?.leave(index)) count++;
    for (const cell of cells.values()) count += cell.leaveEmpty();
    return count;
  });
  attachConnection(live);
  const changed = (/** @type {{version?: string}} */ { version }) => {
    if (version === undefined || version === root.dataset.version) return;
    import("./changed.js").then(({ showChanged }) => showChanged(root, version === "", (sentence) => status.say(sentence)));
  };
  if (root.dataset.version) for (const type of ["opened", "changed"]) listen(type, changed);
  listen("problem", ({ problem }) => { if (problem.type.endsWith("/unknown-lesson")) changed({ version: "" }); });
  attachCopies(root, state, (sentence) => status.say(sentence));
  if (slug && kept) follow(slug, document.querySelector(".turn"));
  attachDownloads(root, state, (sentence) => status.say(sentence));
  if (root.querySelector(".js-load")) needLoads();
  needTables();
  if (slug && kept) new Keep(slug, state, { put: takeIn, say: (sentence) => status.say(sentence) });
  if (kept && slug.includes("~")) import("./here.js").then(({ attachHere }) => attachHere(root, live)); // assigned
  live.addEventListener("online", retryNow);
  page = blocks ? new blocks.Blocks(root, { live, state, cells, attachCell, status, words: root.dataset.words ?? "" }) : undefined;
  live.connect();

  /**
   * Takes in what the server kept from another visit; null is the lesson's own.
   * @param {Record<string, string|null>} edits @param {Record<string, number|null>} varied
   */
  function takeIn(edits, varied) {
    for (const [id, text] of Object.entries(edits)) {
      const cell = cells.get(id);
      if (!cell) continue;
      state.edit(id, text ?? cell.original, cell.original);
      cell.put(text ?? cell.original);
    }
    for (const [name, value] of Object.entries(varied)) {
      if (value === null) state.release(name);
      else state.vary(name, value);
    }
    live.restore();
    for (const [id, text] of state.edits) live.edit(id, text);
    for (const [name, value] of state.varied) live.vary(name, value);
    showAll();
  }

  /** @param {string} type @param {(detail: any) => void} react */
  function listen(type, react) {
    live.addEventListener(type, (event) => react(/** @type {CustomEvent} */ (event).detail));
  }
}

/** Puts the value of a statement wherever the page repeats it. @param {HTMLElement} row */
function showValue(row) {
  if (!row.id) return;
  const value = row.dataset.value ?? "no value";
  for (const place of document.querySelectorAll(`[data-value-of="${CSS.escape(row.id)}"]`)) {
    if (place.textContent !== value) place.textContent = value;
  }
}

/**
 * Shows how far a long calculation has come, with a way to stop it, and after that one
 * to calculate again.
 * @param {Live} live
 * @param {(left: {cell: string, index: number}[]) => number} leave says in rows that they were stopped; returns how many
 */
function attachBusy(live, leave) {
  const box = /** @type {HTMLElement|null} */ (document.querySelector(".js-busy"));
  const bar = /** @type {HTMLProgressElement|null} */ (box?.querySelector("progress"));
  const text = box?.querySelector("span");
  const button = box?.querySelector("button");
  if (!box || !bar || !button) return;
  const home = document.createComment("busy");
  box.before(home);
  let stopped = false;
  const narrow = matchMedia("(max-width: 30rem)");
  // In a narrow window it stands below the cell that is being edited, not on its text.
  const place = () => {
    const edited = narrow.matches ? document.activeElement?.closest(".js-cell") : null;
    if (edited) edited.after(box);
    else home.after(box);
    box.classList.toggle("in-place", Boolean(edited));
  };
  /** @param {boolean} now */
  const show = (now) => {
    if (box.hidden) place();
    stopped = now;
    bar.hidden = now;
    button.textContent = now ? "Calculate again" : "Stop";
    box.hidden = false;
  };
  live.addEventListener("progress", (event) => {
    const { fraction, what } = /** @type {CustomEvent} */ (event).detail;
    show(false);
    bar.value = fraction;
    if (text) text.textContent = what;
  });
  const hide = () => { box.hidden = true; };
  live.addEventListener("done", (event) => {
    const { stopped: was, left } = /** @type {CustomEvent<import("./live.js").DoneMessage>} */ (event).detail;
    if (!was) return hide();
    const count = leave(left ?? []);
    show(true);
    const words = count === 0 ? "Stopped." : `Stopped. ${count} ${count === 1 ? "line has" : "lines have"} no result.`;
    if (text) text.textContent = words;
    status.say(`${words} Choose Calculate again to go on.`);
  });
  live.addEventListener("offline", hide);
  button.addEventListener("click", () => {
    if (!stopped) return live.stop();
    hide();
    live.calculateAgain();
  });
}

/** Says quietly that the line is down, once it has been down for a moment. @param {Live} live */
function attachConnection(live) {
  const notice = /** @type {HTMLElement|null} */ (document.querySelector(".js-offline"));
  if (!notice) return;
  const out = /** @type {HTMLElement|null} */ (document.querySelector(".js-signed-out"));
  let timer = 0;
  live.addEventListener("signed-out", () => {
    clearTimeout(timer);
    timer = 0;
    notice.hidden = true;
    if (!out || !out.hidden) return;
    out.hidden = false;
    status.say(out.textContent ?? "");
  });
  live.addEventListener("offline", () => {
    if (out) live.askWhy(); // an open server signs nobody out
    if (timer || !notice.hidden || (out && !out.hidden)) return;
    timer = setTimeout(() => {
      notice.hidden = false;
      status.say("The server is not responding. What you type is kept.");
    }, 1500);
  });
  live.addEventListener("online", () => {
    clearTimeout(timer);
    timer = 0;
    if (!notice.hidden) status.say("The server is back.");
    notice.hidden = true;
    if (out) out.hidden = true;
  });
  live.addEventListener("problem", (event) => {
    const { problem } = /** @type {CustomEvent} */ (event).detail;
    status.say(`${problem.title}: ${problem.detail}`);
  });
}
