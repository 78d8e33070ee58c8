// @ts-check
// A derivation: its text, what fills its gaps and the numbers for a run are
// kept in this browser and sent to be judged a moment after the typing rests;
// the lines then carry what was found.

import { Editor } from "./editor.js";

const gapLine = /^([ \t]*=[ \t]*)\?(.*)$/gm; // as in web/app/derivation/gaps.go

/**
 * @typedef {import("./live.js").JudgedMessage} Judged
 * @typedef {{text?: string, gaps: string[], data: Record<string, string>}} Kept  text is absent while it is the lesson's
 * @typedef {{later: () => void, live: import("./live.js").Live, status: import("./status.js").Status, words: string}} Book
 */

const rest = 180; // ms without a key before a text is judged
const patience = 1500; // ms before verdicts of an earlier text are marked as such

export class Derivation {
  /** @param {HTMLElement} root @param {Book} book */
  constructor(root, book) {
    this.root = root;
    this.book = book;
    this.id = root.dataset.cell ?? "";
    this.own = root.dataset.own !== undefined;
    this.isPage = root.closest("[data-page]") !== null; // its text is all that is kept
    this.rows = part(root, ".js-rows");
    this.area = /** @type {HTMLTextAreaElement} */ (root.querySelector("textarea"));
    this.details = /** @type {HTMLDetailsElement|null} */ (root.querySelector(".js-text"));
    this.numbers = /** @type {HTMLDetailsElement} */ (root.querySelector(".js-numbers"));
    this.restoreButton = part(root, ".js-restore");
    this.original = this.own ? "" : this.area.defaultValue;
    this.text = this.area.value;
    /** @type {string[]} */
    this.gaps = [];
    /** @type {Record<string, string>} */
    this.data = {};
    /** @type {{text: string, gaps: string[]}|null} what a restore or an example put away */
    this.before = null;
    /** @type {Editor|null} */
    this.editor = null;
    /** @type {import("./live.js").Mark[]} */
    this.marks = [];
    this.timer = 0;
    this.waits = false; // asked, and not answered yet
    this.unjudgedTimer = 0; // runs while the verdicts belong to an earlier text
    for (const field of root.querySelectorAll(".js-gap")) {
      if (field instanceof HTMLInputElement && field.value) this.setGap(field);
    }
    if (this.numbers.open) this.readNumbers();
    this.numbers.addEventListener("toggle", () => {
      if (this.numbers.open) this.readNumbers();
      this.changedNow();
    });
    if (this.own) this.ready();
    this.details?.addEventListener("toggle", () => this.toggled());
    this.restoreButton.addEventListener("click", () => this.restoreOrUndo());
    this.rows.addEventListener("click", (event) => this.pressed(event));
    root.addEventListener("input", (event) => this.typed(event));
    root.addEventListener("keydown", (event) => this.key(event));
    root.addEventListener("change", (event) => {
      if (this.isPage && event.target instanceof HTMLInputElement && event.target.matches(".js-gap")) this.fillIn();
    });
    part(root, ".js-copy-plain").addEventListener("click", () => this.copy(".js-plain", "Plain text copied."));
    part(root, ".js-copy-tex").addEventListener("click", () => this.copy(".js-tex", "TeX copied."));
    root.querySelector(".js-print")?.addEventListener("click", () => print());
    if (!this.own && this.changed) setTimeout(() => this.soon()); // typed before this script ran
  }

  /** Whether anything differs from what the page came with. */
  get changed() {
    return this.text !== this.original || this.gaps.some(Boolean);
  }

  /** The text with what fills its gaps in their place. */
  get full() {
    return withGaps(this.text, this.gaps);
  }

  /** Makes what fills the gaps part of the text. */
  fillIn() {
    const full = this.full;
    if (full === this.text) return;
    this.put(full, []);
    this.changedNow();
  }

  /** @returns {HTMLInputElement[]} the fields for numbers */
  numberFields() {
    return [...this.root.querySelectorAll(".js-number")].filter((field) => field instanceof HTMLInputElement);
  }

  /** Takes what stands in the fields, such as the numbers of the lesson. */
  readNumbers() {
    for (const field of this.numberFields()) if (field.value) this.data[field.dataset.name ?? ""] = field.value;
  }

  /** Puts the reader's numbers back into the fields. */
  writeNumbers() {
    for (const field of this.numberFields()) field.value = this.data[field.dataset.name ?? ""] ?? field.value;
  }

  /** Takes up what the browser has kept. @param {Kept} kept @param {boolean} posted the page came with a text that goes first */
  take(kept, posted) {
    const text = kept.text ?? this.original;
    if (posted) {
      if (text !== this.text && text !== "") this.before = { text, gaps: kept.gaps };
      this.showChanged();
      return;
    }
    this.data = kept.data;
    this.writeNumbers();
    if (Object.values(kept.data).some(Boolean)) this.numbers.open = true;
    this.put(text, kept.gaps);
    this.judge();
  }

  /** Puts a text and gaps in place of the present ones. @param {string} text @param {string[]} gaps */
  put(text, gaps) {
    this.text = text;
    this.gaps = [...gaps];
    this.marks = [];
    if (this.editor) this.editor.replaceAll(text);
    else this.area.value = text;
    for (const field of this.root.querySelectorAll(".js-gap")) {
      if (field instanceof HTMLInputElement) field.value = this.gaps[gapOf(field)] ?? "";
    }
    this.showChanged();
  }

  restoreOrUndo() {
    const back = this.before;
    this.before = back ? null : { text: this.text, gaps: this.gaps };
    this.put(back?.text ?? this.original, back?.gaps ?? []);
    this.changedNow();
  }

  /** Back to the lesson's text, without a way back. */
  reset() {
    this.before = null;
    if (!this.changed) return;
    this.put(this.original, []);
    this.changedNow();
  }

  showChanged() {
    this.root.toggleAttribute("data-changed", this.changed && !this.own);
    this.restoreButton.hidden = this.isPage || !this.changed && !this.before;
    this.restoreButton.textContent = this.before ? "Bring back my text" : this.own ? "Start over" : "Restore the lesson’s text";
  }

  /** @returns {Editor} */
  ready() {
    // Help that stands open beside an empty text is folded by the first that is typed.
    let help = this.own && !this.text ? document.querySelector("details.js-how") : null;
    this.editor ??= new Editor(part(this.root, ".js-editor"), {
      changed: (text) => {
        this.text = text;
        this.before = null;
        if (help instanceof HTMLDetailsElement) help.open = false;
        help = null;
        this.showChanged();
        this.soon();
      },
      closed: () => this.close(),
      names: () => [...new Set([...this.text.matchAll(/(\p{L}[\p{L}\d_]*)\s*[=:>]/gu)].map((found) => found[1]))],
      words: this.book.words,
    });
    return this.editor;
  }

  toggled() {
    if (!this.details?.open) return;
    const editor = this.ready();
    editor.show(this.marks);
    const active = document.activeElement;
    if (!this.details.contains(active) || active === this.details.querySelector("summary")) editor.area.focus();
  }

  close() {
    if (!this.details) return;
    this.details.open = false;
    this.details.querySelector("summary")?.focus();
  }

  /** @param {MouseEvent} event */
  pressed(event) {
    const target = /** @type {Element} */ (event.target);
    const fix = target.closest(".js-fix");
    if (fix instanceof HTMLElement) {
      if (this.details) this.details.open = true;
      this.ready().insert(fix.dataset.text ?? "", Number(fix.dataset.from), Number(fix.dataset.to));
      return;
    }
    const row = target.closest(".row");
    if (row instanceof HTMLElement && target.closest(".formula")) this.open(Number(row.dataset.line ?? 0));
  }

  /** Opens the text with the caret at the end of a line. @param {number} line from 0 */
  open(line) {
    if (this.details) this.details.open = true;
    const { area } = this.ready();
    const at = area.value.split("\n").slice(0, line + 1).join("\n").length;
    area.focus();
    area.setSelectionRange(at, at);
  }

  /** @param {Event} event */
  typed(event) {
    const field = event.target;
    if (field === this.area && !this.editor) {
      // Typed before the editor was there to hear it.
      this.text = this.ready().area.value;
      this.showChanged();
      this.soon();
      return;
    }
    if (!(field instanceof HTMLInputElement)) return;
    if (field.matches(".js-gap")) {
      this.setGap(field);
      this.showChanged();
    } else if (field.matches(".js-number")) {
      this.data[field.dataset.name ?? ""] = field.value;
    }
    this.soon();
  }

  /** @param {HTMLInputElement} field */
  setGap(field) {
    const at = gapOf(field);
    while (this.gaps.length < at) this.gaps.push("");
    this.gaps[at] = field.value;
  }

  /** Enter in a field judges at once; the form itself is for pages without this script. @param {KeyboardEvent} event */
  key(event) {
    if (event.key !== "Enter" || event.isComposing || !(event.target instanceof HTMLInputElement)) return;
    event.preventDefault();
    const row = event.target.closest(".row");
    if (this.isPage && row instanceof HTMLElement && event.target.matches(".js-gap")) {
      this.fillIn();
      this.open(Number(row.dataset.line ?? 0));
      return;
    }
    this.changedNow();
  }

  soon() {
    this.book.later();
    this.outdated(true);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.judge(), rest);
  }

  changedNow() {
    this.book.later();
    this.judge();
  }

  judge() {
    clearTimeout(this.timer);
    this.timer = 0;
    this.waits = true;
    this.outdated(true);
    this.book.live.judge(this.id, { text: this.text, gaps: this.gaps, data: this.numbers.open ? this.data : {} });
  }

  /** @returns {Kept|null} what has to be kept, null if nothing */
  plain() {
    const hasData = Object.values(this.data).some(Boolean);
    if (!this.changed && !hasData) return null;
    /** @type {Kept} */
    const kept = { gaps: this.gaps, data: this.data };
    if (this.text !== this.original) kept.text = this.text;
    return kept;
  }

  /** Takes in what was found, unless the text has moved on. @param {Judged} message */
  judged(message) {
    if (this.timer || this.book.live.isAhead(`judge ${this.id}`, message.revision)) return;
    this.waits = false;
    this.outdated(false);
    this.marks = message.marks;
    message.lines.forEach((html, i) => this.row(i, html));
    while (this.rows.children.length > message.lines.length) this.rows.lastElementChild?.remove();
    swap(part(this.root, ".js-summary"), message.summary);
    swap(part(this.root, ".js-run"), message.run);
    this.fields(message.fields);
    part(this.root, ".js-plain").textContent = message.plain;
    part(this.root, ".js-tex").textContent = message.tex;
    this.editor?.show(this.marks);
    this.book.status.changed(this.id, message.spoken);
  }

  /**
   * Marks the verdicts as those of an earlier text, once that has been so for a
   * while; without a connection it may be long.
   * @param {boolean} are
   */
  outdated(are) {
    if (are && this.unjudgedTimer) return;
    clearTimeout(this.unjudgedTimer);
    this.unjudgedTimer = are ? setTimeout(() => this.showOutdated(true), patience) : 0;
    if (!are) this.showOutdated(false);
  }

  /** @param {boolean} are */
  showOutdated(are) {
    this.root.toggleAttribute("data-unjudged", are);
    const note = this.root.querySelector(".js-unjudged");
    if (note instanceof HTMLElement) note.hidden = !are;
  }

  /** Takes away what was found for an earlier text, since this one was refused. @param {string} why */
  unjudged(why) {
    this.waits = false;
    this.outdated(false);
    this.marks = [];
    this.rows.replaceChildren();
    part(this.root, ".js-summary").textContent = `${why}.`;
    part(this.root, ".js-run").textContent = "";
    this.editor?.show([]);
  }

  /** @param {number} index @param {string} html */
  row(index, html) {
    const fresh = /** @type {HTMLElement} */ (element(html));
    const old = this.rows.children[index];
    if (!(old instanceof HTMLElement)) {
      this.rows.append(fresh);
      return;
    }
    if (old.dataset.shape !== fresh.dataset.shape) {
      old.replaceWith(fresh);
      return;
    }
    for (const { name, value } of fresh.attributes) {
      if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
    const newer = fresh.querySelectorAll("[data-part]");
    old.querySelectorAll("[data-part]").forEach((piece, i) => {
      if (piece.innerHTML !== newer[i].innerHTML) piece.replaceChildren(...newer[i].childNodes);
    });
  }

  /** Keeps the fields while the given names are the same. @param {string} html */
  fields(html) {
    const old = part(this.root, ".js-fields");
    const fresh = /** @type {HTMLElement} */ (element(html));
    if (old.dataset.names !== fresh.dataset.names) {
      old.replaceWith(fresh);
      this.writeNumbers();
      return;
    }
    const newer = fresh.querySelectorAll(".js-field-said");
    old.querySelectorAll(".js-field-said").forEach((said, i) => {
      if (said.textContent !== newer[i].textContent) said.textContent = newer[i].textContent;
    });
  }

  /** @param {string} from @param {string} done what to say then */
  async copy(from, done) {
    const source = part(this.root, from);
    try {
      await navigator.clipboard.writeText(source.textContent ?? "");
    } catch {
      // Over plain http a page has no clipboard; a selection can be copied.
      getSelection()?.selectAllChildren(source);
      if (!document.execCommand("copy")) {
        this.book.status.say("The text is selected: copy it with the keyboard.");
        return;
      }
    }
    this.book.status.say(done);
  }
}

/**
 * A text with what fills its gaps in their place, each with the reason of the gap
 * unless it brings one.
 * @param {string} text @param {string[]} gaps @returns {string}
 */
export function withGaps(text, gaps) {
  let n = 0;
  return text.replace(gapLine, (line, begin, reason) => {
    const fill = (gaps[n++] ?? "").trim().replace(/^[= ]+/, "");
    if (fill.replace(/[? ]/g, "") === "") return line;
    return begin + fill + (fill.includes("because") ? "" : reason);
  });
}

/** @param {HTMLElement} root @param {string} selector @returns {HTMLElement} */
function part(root, selector) {
  return /** @type {HTMLElement} */ (root.querySelector(selector));
}

/** @param {HTMLInputElement} field @returns {number} its gap, from 0 */
function gapOf(field) {
  return Number(field.name.slice("gap-".length)) - 1;
}

/** @param {string} html @returns {Element|null} */
function element(html) {
  const box = document.createElement("template");
  box.innerHTML = html;
  return box.content.firstElementChild;
}

/** @param {HTMLElement} place @param {string} html */
function swap(place, html) {
  if (place.innerHTML !== html) place.innerHTML = html;
}
