// @ts-check
// A page of blocks that its owner writes: blocks are added, edited in place, moved and
// removed, and each step can be undone. The order of the blocks is that of the page's
// elements; the text of each is in `raws`. Cells follow typing over the live connection;
// everything else is shown typeset when the server has it. The forms of the page do the
// same without this file.

import { Derivation } from "./derivation.js";
import { attachGuesses } from "./guess.js";
import { PageSave, same } from "./page-save.js";
import { Steps } from "./page-steps.js";
import { contentPut, freeName, kindOf } from "./page-text.js";

/**
 * @typedef {import("./cell.js").Cell} Cell
 * @typedef {{live: import("./live.js").Live, state: import("./state.js").State, cells: Map<string, Cell>, attachCell: (element: HTMLElement) => void, status: import("./status.js").Status, words: string}} Book
 * @typedef {{at: number, kind: string}} Wish  which block is to be edited once it is there
 */

const nearly = 0.8; // of a limit, from which it is said

export class Blocks {
  /** @param {HTMLElement} root the page's main element @param {Book} book */
  constructor(root, book) {
    this.root = root;
    this.book = book;
    this.list = /** @type {HTMLElement} */ (root.querySelector(".js-blocks"));
    /** @type {WeakMap<HTMLElement, string>} the text of each block */
    this.raws = new WeakMap();
    /** @type {WeakSet<HTMLElement>} those that do not show their text yet */
    this.unshown = new WeakSet();
    /** @type {Map<string, Derivation>} */
    this.derivations = new Map();
    this.stale = false; // whether the server is asked how the page looks
    /** @type {Wish|null} */
    this.wish = null;
    for (const section of this.sections) this.attach(section, false);
    this.steps = new Steps(this.read(), () => this.showSteps());
    this.notice = /** @type {HTMLElement} */ (root.querySelector(".js-page-said"));
    this.save = new PageSave(root, {
      read: () => this.read(),
      put: (blocks) => this.arrange(blocks),
      came: (mine, said) => this.came(mine, said),
      say: (sentence) => book.status.say(sentence),
      tell: (sentence, isConflict) => this.tell(sentence, isConflict),
    });
    this.keepSliders();
    this.listen();
    this.showSteps();
    this.showLimit();
    this.openAsked();
    root.dataset.ready = "";
  }

  /** @returns {HTMLElement[]} */
  get sections() {
    return /** @type {HTMLElement[]} */ ([...this.list.children]);
  }

  /** @returns {string[]} */
  read() {
    return this.sections.map((section) => this.raws.get(section) ?? "");
  }

  listen() {
    const { root } = this;
    root.addEventListener("submit", (event) => this.pressed(event));
    // What an editor loses with the focus, such as its list of words, would move the button
    // away from under the pointer before it is let go.
    root.addEventListener("mousedown", (event) => {
      if (/** @type {Element} */ (event.target).closest(".js-add button, .js-line button, .own-undo button")) event.preventDefault();
    });
    root.addEventListener("toggle", (event) => this.toggled(event), true);
    root.addEventListener("input", (event) => {
      const area = event.target;
      if (!(area instanceof HTMLTextAreaElement) || !area.matches(".js-raw")) return;
      const section = /** @type {HTMLElement} */ (area.closest(".js-block"));
      this.unshown.add(section);
      this.typed(section, area.value);
    });
    root.addEventListener("keydown", (event) => {
      const area = event.target;
      if (event.key !== "Escape" || !(area instanceof HTMLElement) || !area.matches(".js-raw")) return;
      const details = /** @type {HTMLDetailsElement} */ (area.closest("details"));
      details.open = false;
      details.querySelector("summary")?.focus();
    });
    root.querySelector(".js-undo")?.addEventListener("click", () => this.go(-1));
    root.querySelector(".js-redo")?.addEventListener("click", () => this.go(1));
    root.querySelector(".js-print")?.addEventListener("click", () => print());
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const target = event.target;
      if (target instanceof HTMLElement && target.matches("textarea, input:not([type=range]), select")) return;
      const key = event.key.toLowerCase();
      const by = key === "y" || (key === "z" && event.shiftKey) ? 1 : key === "z" ? -1 : 0;
      if (by === 0) return;
      event.preventDefault();
      this.go(by);
    });
    const { live } = this.book;
    live.addEventListener("judged", (event) => {
      const message = /** @type {CustomEvent} */ (event).detail;
      this.derivations.get(message.cell)?.judged(message);
    });
    live.addEventListener("online", () => {
      for (const d of this.derivations.values()) if (d.waits || d.plain()) d.judge();
      if (!this.save.isSaved) this.save.changed(true);
    });
  }

  /** Keeps where sliders are in this browser; they are no part of the page's text. */
  keepSliders() {
    const key = `shaftbook:sliders:${this.root.dataset.page}`;
    const { state } = this.book;
    try {
      for (const [name, value] of Object.entries(JSON.parse(localStorage.getItem(key) ?? "{}"))) state.varied.set(name, Number(value));
    } catch {
      // Storage is off or holds something else: they are where the text has them.
    }
    state.noticed = () => {
      try {
        localStorage.setItem(key, JSON.stringify(Object.fromEntries(state.varied)));
      } catch {
        // Full or switched off: they stay as long as the page.
      }
    };
  }

  /** Makes what is in a block live. @param {HTMLElement} section @param {boolean} isNew to the page */
  attach(section, isNew) {
    const area = /** @type {HTMLTextAreaElement} */ (section.querySelector(".js-raw"));
    this.raws.set(section, area.defaultValue);
    area.value = area.defaultValue; // what a browser puts back there after a reload is not the page's
    for (const element of section.querySelectorAll(".js-derivation")) {
      const d = new Derivation(/** @type {HTMLElement} */ (element), {
        live: this.book.live,
        status: this.book.status,
        words: this.book.words,
        later: () => this.typed(section, contentPut(this.raws.get(section) ?? "", d.full)),
      });
      this.derivations.set(d.id, d);
    }
    if (!isNew) return; // the page has attached the rest
    for (const element of section.querySelectorAll(".js-cell")) this.book.attachCell(/** @type {HTMLElement} */ (element));
    attachGuesses((sentence) => this.book.status.say(sentence), section);
  }

  /** A cell was edited. @param {string} id @param {string} text */
  edited(id, text) {
    const section = /** @type {HTMLElement|null} */ (this.book.cells.get(id)?.root.closest(".js-block") ?? null);
    if (section) this.typed(section, contentPut(this.raws.get(section) ?? "", text));
  }

  /** @param {HTMLElement} section @param {string} raw */
  typed(section, raw) {
    if (this.raws.get(section) === raw) return;
    this.raws.set(section, raw);
    const area = /** @type {HTMLTextAreaElement} */ (section.querySelector(".js-raw"));
    if (area.value !== raw) area.value = raw;
    this.steps.add(this.read(), this.sections.indexOf(section));
    this.save.changed();
    this.showLimit();
  }

  /** @param {Event} event */
  toggled(event) {
    const details = event.target;
    if (!(details instanceof HTMLDetailsElement) || !details.matches(".js-edit")) return;
    const section = /** @type {HTMLElement} */ (details.closest(".js-block"));
    const area = /** @type {HTMLTextAreaElement} */ (details.querySelector(".js-raw"));
    if (details.open) {
      area.value = this.raws.get(section) ?? "";
      area.focus();
      return;
    }
    if (!this.unshown.has(section) && !this.stale) return;
    if (this.unshown.has(section)) this.showRaw(section);
    this.restructured();
  }

  /** @param {SubmitEvent} event */
  pressed(event) {
    const form = /** @type {HTMLElement} */ (event.target);
    const button = event.submitter;
    if (!(button instanceof HTMLButtonElement)) return;
    if (form.matches(".js-add")) {
      event.preventDefault();
      const above = /** @type {HTMLElement|null} */ (form.closest(".js-block"));
      this.add(above, button.value);
    } else if (form.matches(".js-line")) {
      event.preventDefault();
      const section = /** @type {HTMLElement} */ (form.closest(".js-block"));
      if (button.value === "remove") this.remove(section);
      else if (button.value === "up" || button.value === "down") this.move(section, button);
    }
  }

  /** @param {HTMLElement|null} above the block below which a new one goes; null for above all @param {string} kind */
  add(above, kind) {
    const begin = /** @type {HTMLTemplateElement} */ (this.root.querySelector(".js-adds")).content.querySelector(`[data-add="${CSS.escape(kind)}"]`);
    if (!(begin instanceof HTMLTextAreaElement)) return;
    const raw = freeName(begin.defaultValue, begin.dataset.name ?? "", this.read());
    const section = this.blank(raw);
    if (above) above.after(section);
    else this.list.prepend(section);
    const at = this.sections.indexOf(section);
    this.steps.add(this.read());
    this.showLimit();
    this.book.status.say("Added.");
    if (kind === "text" || kind === "guess") {
      this.save.changed();
      this.openRaw(section, kind === "text");
      return;
    }
    this.wish = { at, kind };
    this.restructured();
  }

  /** @param {HTMLElement} section */
  remove(section) {
    const next = section.nextElementSibling ?? section.previousElementSibling;
    section.remove();
    this.steps.add(this.read());
    this.book.status.say("Removed. Undo brings it back.");
    if (next instanceof HTMLElement) next.focus();
    else /** @type {HTMLElement|null} */ (this.root.querySelector(".js-add button"))?.focus();
    this.restructured();
  }

  /** @param {HTMLElement} section @param {HTMLButtonElement} button */
  move(section, button) {
    const up = button.value === "up";
    const beside = up ? section.previousElementSibling : section.nextElementSibling;
    if (!beside) {
      this.book.status.say(up ? "This is the first one." : "This is the last one.");
      return;
    }
    if (up) beside.before(section);
    else beside.after(section);
    this.steps.add(this.read());
    this.book.status.say(`Moved ${up ? "up" : "down"}: now ${this.sections.indexOf(section) + 1} of ${this.sections.length}.`);
    button.focus();
    section.scrollIntoView({ block: "nearest" });
    this.wish = { at: this.sections.indexOf(section), kind: button.value };
    this.restructured();
  }

  /** @param {1|-1} by */
  go(by) {
    const blocks = this.steps.go(by);
    if (!blocks) {
      this.book.status.say(by < 0 ? "There is nothing to undo." : "There is nothing to redo.");
      return;
    }
    for (const open of this.root.querySelectorAll(".js-edit[open]")) open.removeAttribute("open");
    this.arrange(blocks);
    this.book.status.say(by < 0 ? "Undone." : "Done again.");
    this.restructured();
  }

  /** Sends the page at once, and shows it as the server has it. */
  restructured() {
    this.stale = true;
    this.showLimit();
    if (this.save.isSaved) this.again();
    else this.save.changed(true);
  }

  /** Shows the page as the server has it, of which nothing was changed. */
  async again() {
    const mine = this.read();
    try {
      const copy = await this.refreshed(mine);
      if (copy) [this.save.copy, this.save.sent] = [copy, copy.blocks];
    } catch {
      // The line is down; what is unshown stands there as text.
    }
  }

  /**
   * Puts blocks in place of those that are there. What is there already stays as it is.
   * @param {string[]} blocks
   */
  arrange(blocks) {
    if (same(blocks, this.read())) return;
    const old = this.sections;
    const sameLength = old.length === blocks.length;
    /** @type {Set<HTMLElement>} */
    const used = new Set();
    const all = blocks.map((raw, i) => {
      const is = (/** @type {HTMLElement} */ s) => !used.has(s) && this.raws.get(s) === raw;
      let section = sameLength && is(old[i]) ? old[i] : old.find(is);
      // Only the lines at its end may differ: then it shows the same.
      if (!section && sameLength && !used.has(old[i]) && (this.raws.get(old[i]) ?? "").trimEnd() === raw.trimEnd()) {
        section = old[i];
        this.raws.set(section, raw);
        const area = /** @type {HTMLTextAreaElement} */ (section.querySelector(".js-raw"));
        if (area !== document.activeElement) area.value = raw;
      }
      section ??= this.blank(raw);
      used.add(section);
      return section;
    });
    place(this.list, all);
  }

  /** @param {string} raw @returns {HTMLElement} a block that shows its text only */
  blank(raw) {
    const template = /** @type {HTMLTemplateElement} */ (this.root.querySelector(".js-blank"));
    const section = /** @type {HTMLElement} */ (/** @type {Element} */ (template.content.firstElementChild).cloneNode(true));
    const { kind, word } = kindOf(raw);
    section.dataset.kind = kind;
    section.setAttribute("aria-label", word);
    const area = /** @type {HTMLTextAreaElement} */ (section.querySelector(".js-raw"));
    area.value = raw;
    area.setAttribute("aria-label", `${word} as Markdown`);
    this.raws.set(section, raw);
    this.unshown.add(section);
    this.showRaw(section);
    return section;
  }

  /** Shows the text of a block as it is written, until the server has typeset it. @param {HTMLElement} section */
  showRaw(section) {
    const shown = /** @type {HTMLElement} */ (section.querySelector(".js-shown"));
    const text = document.createElement("pre");
    text.className = "own-unshown";
    text.textContent = (this.raws.get(section) ?? "").trimEnd();
    shown.replaceChildren(text);
  }

  /** @param {HTMLElement} section @param {boolean} select whether all of its text is selected */
  openRaw(section, select) {
    const details = /** @type {HTMLDetailsElement} */ (section.querySelector(".js-edit"));
    details.open = true;
    const area = /** @type {HTMLTextAreaElement} */ (details.querySelector(".js-raw"));
    area.value = this.raws.get(section) ?? "";
    area.focus();
    if (select) area.setSelectionRange(0, area.value.trimEnd().length);
  }

  /** Takes in what the server has after a save. @param {string[]} mine @param {import("./page-save.js").Saved} said */
  async came(mine, said) {
    const changed = said.blocks.length !== mine.length || said.blocks.some((raw, i) => raw.trimEnd() !== mine[i].trimEnd());
    const unshown = this.sections.some((section) => this.unshown.has(section));
    if (!this.stale && !said.replaced && !changed && !unshown) {
      this.arrange(said.blocks);
      this.steps.settle(said.blocks);
      return { revision: said.revision, blocks: said.blocks };
    }
    return this.refreshed(mine);
  }

  /** @param {string[]} mine @returns {Promise<import("./page-save.js").Copy|null>} what is shown then; null if it is not shown yet */
  async refreshed(mine) {
    this.stale = true;
    if (this.root.querySelector(".js-edit[open]")) return null; // not while somebody writes there
    const answer = await fetch(location.pathname, { headers: { Accept: "text/html" }, cache: "no-store" });
    if (!answer.ok) throw new Error(answer.statusText);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const main = /** @type {HTMLElement|null} */ (page.querySelector("main[data-blocks]"));
    if (!main || !same(this.read(), mine) || this.root.querySelector(".js-edit[open]")) return null;
    this.stale = false;
    const fresh = /** @type {HTMLElement[]} */ ([...main.querySelectorAll(".js-block")]).map((section) => document.adoptNode(section));
    this.reconcile(fresh);
    this.showHead(page, main);
    const blocks = this.read();
    this.steps.settle(blocks);
    this.fulfil();
    return { revision: Number(main.dataset.revision), blocks };
  }

  /** Takes in the blocks as the server shows them; those that show the same stay. @param {HTMLElement[]} fresh */
  reconcile(fresh) {
    const old = this.sections;
    const rawOf = (/** @type {HTMLElement} */ s) => /** @type {HTMLTextAreaElement} */ (s.querySelector(".js-raw")).defaultValue;
    const guesses = (/** @type {string[]} */ list) => list.filter((raw) => kindOf(raw).kind === "guess").join("\n");
    const covered = guesses(fresh.map(rawOf)) !== guesses(old.map((s) => this.unshown.has(s) ? "" : this.raws.get(s) ?? "")); // and so what it covers
    /** @type {Set<HTMLElement>} */
    const used = new Set();
    const before = this.workingCells(old).join();
    let renewed = false;
    const all = fresh.map((section, i) => {
      const raw = rawOf(section);
      const stays = (/** @type {HTMLElement|undefined} */ s) => s && !used.has(s) && !this.unshown.has(s) && this.raws.get(s) === raw && looks(s) === looks(section);
      const kept = covered ? undefined : stays(old[i]) ? old[i] : old.find(stays);
      if (!kept) {
        if (section.querySelector(".js-cell")) renewed = true;
        return section;
      }
      used.add(kept);
      kept.id = section.id;
      kept.setAttribute("aria-label", section.getAttribute("aria-label") ?? "");
      return kept;
    });
    const { book } = this;
    const focused = document.activeElement;
    const had = old.findIndex((section) => section.contains(focused));
    place(this.list, all);
    for (const [id, cell] of book.cells) if (!cell.root.isConnected) book.cells.delete(id);
    for (const [id, d] of this.derivations) if (!d.root.isConnected) this.derivations.delete(id);
    book.state.edits.clear(); // the server has them
    all.filter((section) => !used.has(section)).forEach((section) => this.attach(section, true));
    if (focused instanceof HTMLElement && had >= 0 && !focused.isConnected && all[had]) this.focusLike(all[had], focused);
    if (renewed || this.workingCells(all).join() !== before) book.live.calculateAgain();
  }

  /** Gives what is in a block the focus that an element of the one before it had. @param {HTMLElement} section @param {HTMLElement} before */
  focusLike(section, before) {
    if (before instanceof HTMLTextAreaElement && before.closest(".js-editor")) {
      this.openCell(section);
      const area = document.activeElement;
      if (area instanceof HTMLTextAreaElement) area.setSelectionRange(before.selectionStart, before.selectionEnd);
      return;
    }
    const button = before instanceof HTMLButtonElement ? section.querySelector(`.js-line button[value="${CSS.escape(before.value)}"], .js-add button[value="${CSS.escape(before.value)}"]`) : null;
    (button instanceof HTMLElement ? button : section).focus();
  }

  /** @param {HTMLElement[]} sections @returns {string[]} the cells that are calculated together */
  workingCells(sections) {
    return sections.flatMap((s) => [...s.querySelectorAll(".js-cell")].map((cell) => cell.id));
  }

  /** What stands around the blocks. @param {Document} page @param {HTMLElement} main */
  showHead(page, main) {
    document.title = page.title;
    const title = main.querySelector(".js-own-title");
    const here = this.root.querySelector(".js-own-title");
    if (title && !here) this.root.prepend(document.adoptNode(title));
    else if (!title) here?.remove();
    else if (here && title.textContent !== here.textContent) here.replaceWith(document.adoptNode(title));
    const versions = main.querySelector(".js-own-versions");
    const shown = this.root.querySelector(".js-own-versions");
    if (versions && shown && !shown.querySelector("[open]")) shown.replaceWith(document.adoptNode(versions));
  }

  /** Opens the block that was to be edited once it is there. */
  fulfil() {
    const { wish } = this;
    this.wish = null;
    const section = wish && this.sections[wish.at];
    if (!section) return;
    if (wish.kind === "up" || wish.kind === "down") {
      /** @type {HTMLElement|null} */ (section.querySelector(`.js-line button[value="${wish.kind}"]`))?.focus();
      return;
    }
    if (wish.kind === "calc" || wish.kind === "derive") this.openCell(section);
    else section.focus();
    section.scrollIntoView({ block: "nearest" });
  }

  /** @param {HTMLElement} section */
  openCell(section) {
    const id = section.querySelector("[data-cell]")?.id ?? "";
    const cell = this.book.cells.get(id) ?? this.derivations.get(id);
    if (cell) cell.open(1000); // the last line
    else this.openRaw(section, false);
  }

  /** Opens the block that the address asks for, which without scripts is how a new one is. */
  openAsked() {
    const open = this.root.querySelector(".js-edit[open]");
    if (open) open.querySelector("textarea")?.focus();
  }

  showSteps() {
    this.root.querySelector(".js-undo")?.setAttribute("aria-disabled", String(!this.steps.canUndo));
    this.root.querySelector(".js-redo")?.setAttribute("aria-disabled", String(!this.steps.canRedo));
  }

  /** Says a limit before it is reached. */
  showLimit() {
    const place = /** @type {HTMLElement|null} */ (this.root.querySelector(".js-limit"));
    if (!place) return;
    const blocks = this.read();
    const most = (/** @type {string} */ name) => Number(this.root.dataset[name]);
    const bytes = new TextEncoder().encode(blocks.join("")).length;
    const cells = blocks.filter((raw) => !["text", "head"].includes(kindOf(raw).kind)).length;
    const said = [];
    if (bytes > nearly * most("mostBytes")) said.push(measured(Math.round(bytes / 1024), most("mostBytes") / 1024, "kB of text", bytes > most("mostBytes")));
    if (blocks.length > nearly * most("mostBlocks")) said.push(measured(blocks.length, most("mostBlocks"), "pieces of text and cells", blocks.length > most("mostBlocks")));
    if (cells > nearly * most("mostCells")) said.push(measured(cells, most("mostCells"), "cells", cells > most("mostCells")));
    place.hidden = said.length === 0;
    if (said.length) place.textContent = said.join(" ");
  }

  /** @param {string} sentence @param {boolean} isConflict */
  tell(sentence, isConflict) {
    if (!this.notice.hidden && this.notice.textContent?.startsWith(sentence)) return;
    this.notice.textContent = `${sentence} `;
    this.notice.hidden = false;
    if (!isConflict) return;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "plain";
    button.textContent = "Bring back the other text";
    button.addEventListener("click", () => {
      const form = /** @type {HTMLFormElement|null} */ (this.root.querySelector(".own-versions form"));
      if (form) form.requestSubmit(form.querySelector("button"));
    });
    this.notice.append(button);
  }
}

/** What decides whether two blocks of one text show the same. @param {HTMLElement} section */
function looks(section) {
  return [section.dataset.kind, section.querySelector("[data-cell]")?.id ?? "", section.querySelector(".own-faults")?.textContent ?? ""].join("\n");
}

/** Makes elements the children of a list, without touching those that are in their places. @param {HTMLElement} list @param {HTMLElement[]} all */
function place(list, all) {
  const stay = new Set(/** @type {Element[]} */ (all));
  for (const old of [...list.children]) if (!stay.has(old)) old.remove();
  all.forEach((section, i) => {
    if (list.children[i] !== section) list.insertBefore(section, list.children[i] ?? null);
  });
}

/** @param {number} has @param {number} most @param {string} what @param {boolean} isBeyond */
function measured(has, most, what, isBeyond) {
  if (!isBeyond) return `This page has ${has} ${what}; up to ${most} can be saved.`;
  return `This page has ${has} ${what}, more than the ${most} that can be saved. Nothing is cut: split it into two pages.`;
}
