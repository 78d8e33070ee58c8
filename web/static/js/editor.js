// @ts-check
// A cell's text while it is changed: a plain textarea, so that the browser's
// own undo, selection and spelling of accents work, over a layer that carries
// the marks. Tab leaves the field; Escape closes it and keeps the text.

import { Choices } from "./choices.js";
import { palette } from "./palette.js";

/** @typedef {import("./live.js").Mark} Mark */

const pairs = /** @type {Record<string, string>} */ ({ "(": ")", ")": "(" });

export class Editor {
  /**
   * @param {HTMLElement} root the .js-editor element
   * @param {{changed: (text: string) => void, closed: () => void, names: () => string[], words: string}} hooks
   */
  constructor(root, hooks) {
    this.root = root;
    this.hooks = hooks;
    this.area = /** @type {HTMLTextAreaElement} */ (root.querySelector("textarea"));
    this.area.readOnly = false;
    this.under = document.createElement("pre");
    this.under.className = "under";
    this.under.setAttribute("aria-hidden", "true");
    root.prepend(this.under);
    root.before(palette((sign) => this.insert(sign)));
    /** @type {Mark[]} */
    this.marks = [];
    this.text = this.area.value;
    this.choices = new Choices(this, hooks.words, hooks.names);
    this.area.addEventListener("input", () => this.typed());
    this.area.addEventListener("keydown", (event) => this.key(event));
    this.area.addEventListener("blur", () => this.choices.close());
    document.addEventListener("selectionchange", () => {
      if (document.activeElement === this.area) this.draw();
    });
    this.draw();
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    if (event.isComposing || this.choices.key(event)) return;
    if (event.key === "Escape") {
      event.preventDefault();
      this.hooks.closed();
    }
  }

  typed() {
    const now = this.area.value;
    this.marks = shifted(this.marks, this.text, now);
    this.text = now;
    this.draw();
    this.choices.update();
    this.hooks.changed(now);
  }

  /**
   * Replaces a range of the text in a way that the browser can undo.
   * @param {string} piece @param {number} [from] @param {number} [to]
   */
  insert(piece, from, to) {
    this.area.focus();
    if (from !== undefined) this.area.setSelectionRange(from, to ?? from);
    // execCommand is the one way to change a field's text that keeps the
    // browser's undo; setRangeText is for browsers that no longer have it.
    if (!document.execCommand("insertText", false, piece)) {
      this.area.setRangeText(piece, this.area.selectionStart, this.area.selectionEnd, "end");
      this.typed();
    }
  }

  /** Puts a whole text in place of the present one. @param {string} text */
  replaceAll(text) {
    if (this.area.value === text) return;
    this.area.value = text;
    this.marks = [];
    this.text = text;
    this.draw();
  }

  /** @param {Mark[]} marks */
  show(marks) {
    this.marks = marks;
    const wrong = marks.some((m) => m.kind === "error");
    if (wrong) this.area.setAttribute("aria-invalid", "true");
    else this.area.removeAttribute("aria-invalid");
    this.draw();
  }

  /** Writes the text under the field with its marks. */
  draw() {
    const text = this.area.value;
    /** @type {{from: number, to: number, name: string}[]} */
    const spans = this.marks.map((m) => ({ from: m.from, to: Math.max(m.to, m.from + 1), name: m.kind === "error" ? "bad" : "note" }));
    if (document.activeElement === this.area) spans.push(...bracketsAt(text, this.area.selectionStart));
    const cuts = [...new Set([0, text.length, ...spans.flatMap((s) => [s.from, s.to])])]
      .filter((n) => n >= 0 && n <= text.length)
      .sort((a, b) => a - b);
    const pieces = document.createDocumentFragment();
    for (let i = 0; i + 1 < cuts.length; i++) {
      const piece = text.slice(cuts[i], cuts[i + 1]);
      const names = spans.filter((s) => s.from < cuts[i + 1] && s.to > cuts[i]).map((s) => s.name);
      if (names.length === 0) {
        pieces.append(piece);
        continue;
      }
      const span = document.createElement("span");
      span.className = [...new Set(names)].join(" ");
      span.textContent = piece;
      pieces.append(span);
    }
    pieces.append("\n"); // a last empty line has its height
    this.under.replaceChildren(pieces);
  }
}

/**
 * Moves marks along with a change of the text and drops those it touches: what is
 * typed directly behind a mark may be what was missing.
 * @param {Mark[]} marks @param {string} before @param {string} after
 * @returns {Mark[]}
 */
export function shifted(marks, before, after) {
  let head = 0;
  const short = Math.min(before.length, after.length);
  while (head < short && before[head] === after[head]) head++;
  let tail = 0;
  while (tail < short - head && before[before.length - 1 - tail] === after[after.length - 1 - tail]) tail++;
  const end = before.length - tail;
  const by = after.length - before.length;
  // What follows on the line may mend what stands before it: "d_0 + 1" and "d_0 + 1 mm".
  const line = before.lastIndexOf("\n", head - 1) + 1;
  return marks.flatMap((m) => {
    if (m.to < line) return [m];
    if (m.from > end) return [{ ...m, from: m.from + by, to: m.to + by }];
    return [];
  });
}

/**
 * The bracket beside the caret and its partner, or a mark that it has none.
 * @param {string} text @param {number} caret
 */
export function bracketsAt(text, caret) {
  const at = text[caret - 1] in pairs ? caret - 1 : text[caret] in pairs ? caret : -1;
  if (at < 0) return [];
  const step = text[at] === "(" ? 1 : -1;
  let depth = 0;
  for (let i = at; i >= 0 && i < text.length; i += step) {
    if (text[i] === text[at]) depth++;
    else if (text[i] === pairs[text[at]]) depth--;
    if (depth === 0) return [{ from: at, to: at + 1, name: "pair" }, { from: i, to: i + 1, name: "pair" }];
  }
  return [{ from: at, to: at + 1, name: "lone" }];
}
