// @ts-check
// Handing in without leaving the page. The forms work without this file; with
// it an answer goes by fetch, is kept on this device until the server has
// acknowledged it, and goes again by itself, under the same identifier, when
// the line or the server was away. web/reader/exercise.go is the other end.

import { Drafts } from "./draft.js";
import { palette } from "./palette.js";

const signs = ["·", "√", "²", "³", "⁴", "π", "θ", "τ"];
const firstWait = 1000; // ms before an answer goes again
const longestWait = 10000;
const away = "The server is not responding, so your answer is not marked yet. It is kept on this device and will be sent when the server is back.";

/**
 * @typedef {{html: string, say: string}} Taken  mirrors web.taken
 * @typedef {{detail?: string, title?: string}} Problem
 */

/** @type {Set<() => void>} what waits for the server */
const waiting = new Set();

/** Hands in at once what waits for the server. */
export function retryNow() {
  for (const retry of [...waiting]) retry();
}
addEventListener("online", retryNow);

export class Exercise {
  /** @param {HTMLElement} root @param {(sentence: string) => void} say */
  constructor(root, say) {
    this.root = root;
    this.say = say;
    /** @type {Map<string, string>} what the server sent, by piece */
    this.sent = new Map();
    for (const piece of pieces(root)) this.attach(piece);
    root.addEventListener("submit", (event) => this.submitted(/** @type {SubmitEvent} */ (event)));
    root.addEventListener("input", (event) => this.typed(event));
  }

  /** @param {HTMLElement} piece */
  attach(piece) {
    this.sent.set(piece.id, piece.outerHTML);
    for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (piece.querySelectorAll(".js-form"))) {
      const drafts = new Drafts(form);
      const field = answerField(form);
      if (field) {
        const draft = drafts.draft;
        if (draft !== null) field.value = draft;
        field.after(palette((sign) => put(field, sign), signs));
        field.addEventListener("focus", () => form.classList.add("used"));
      }
      const pending = drafts.pending;
      if (pending || drafts.draft !== null) piece.closest("details.exercise")?.setAttribute("open", "");
      if (pending) this.handIn(form, new URLSearchParams(pending));
    }
  }

  /** @param {Event} event */
  typed(event) {
    const field = /** @type {HTMLInputElement} */ (event.target);
    if (!field.form || field.name !== "answer" || field.type !== "text") return;
    new Drafts(field.form).draft = field.value;
    const check = field.form.querySelector(".js-check-said");
    check?.toggleAttribute("hidden", true); // it was about another text
    field.form.closest(".js-piece")?.querySelector(".js-readings")?.remove();
  }

  /** @param {SubmitEvent} event */
  submitted(event) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (form.hasAttribute("data-sending")) return;
    const button = /** @type {HTMLButtonElement|null} */ (event.submitter);
    const fields = new URLSearchParams(/** @type {any} */ (new FormData(form, button)));
    if (button?.formMethod === "get") {
      this.check(form, fields);
      return;
    }
    new Drafts(form).pending = fields.toString();
    this.handIn(form, fields);
  }

  /** Says how the answer is read. @param {HTMLFormElement} form @param {URLSearchParams} fields */
  async check(form, fields) {
    const box = /** @type {HTMLElement} */ (form.querySelector(".js-check-said"));
    const tries = form.querySelector(".js-tries")?.textContent ?? "";
    let words = "";
    try {
      const answer = await fetch(`${form.action}?${fields}`, { headers: { Accept: "application/json" } });
      if (answer.ok) {
        box.innerHTML = /** @type {Taken} */ (await answer.json()).html;
        words = spoken(box);
      } else {
        words = await reason(answer);
        box.textContent = words;
      }
    } catch {
      words = "The server is not responding. What you typed is still here.";
      box.textContent = words;
    }
    box.hidden = false;
    box.scrollIntoView({ block: "nearest" });
    this.say(`${words.replace(/[.\s]+$/, "")}. ${tries}`);
  }

  /**
   * Sends what was handed in until the server has taken or refused it.
   * @param {HTMLFormElement} form @param {URLSearchParams} fields
   */
  async handIn(form, fields) {
    lock(form, fields);
    for (let wait = firstWait; ; wait = Math.min(longestWait, 2 * wait)) {
      let words = away;
      try {
        const answer = await fetch(form.action, { method: "POST", headers: { Accept: "application/json" }, body: fields });
        if (answer.ok) {
          this.taken(form, await answer.json());
          return;
        }
        words = await reason(answer);
        if (answer.status < 500) {
          this.refused(form, words, answer.headers.get("Content-Type") ?? "");
          return;
        }
        // The page sends it again, so the advice to do so by hand is left out.
        words = words.replace(/,? and send it again[^.]*\./, ".").replace(/ Send it again in a moment(\.|; if that fails too, t[^.]*\.)/, "") + " It will be sent again automatically.";
      } catch {
        // The line is down; away says so.
      }
      this.trouble(form, words);
      await pause(wait);
      if (!form.isConnected) return;
    }
  }

  /** @param {HTMLFormElement} form @param {Taken} taken */
  taken(form, taken) {
    new Drafts(form).clear();
    const box = document.createElement("template");
    box.innerHTML = taken.html;
    const fresh = /** @type {HTMLElement} */ (box.content.firstElementChild);
    const own = form.closest(".js-piece")?.id;
    for (const piece of pieces(fresh)) {
      if (this.sent.get(piece.id) === piece.outerHTML && !form.closest(`#${piece.id}`)) continue;
      const old = this.root.querySelector(`#${piece.id}`);
      const focus = focusIn(old);
      if (old) old.replaceWith(piece);
      else this.root.append(piece);
      this.attach(piece);
      focusAgain(piece, focus);
      if (piece.id === own) (piece.querySelector(".js-readings") ?? piece.querySelector(".js-said"))?.scrollIntoView({ block: "nearest" });
    }
    this.say(taken.say);
  }

  /** @param {HTMLFormElement} form @param {string} words @param {string} type */
  refused(form, words, type) {
    new Drafts(form).pending = null;
    unlock(form);
    // The identifier may be the reason; another one does no harm.
    if (type.includes("problem")) newIdentifier(form);
    this.trouble(form, words);
  }

  /** @param {HTMLFormElement} form @param {string} words */
  trouble(form, words) {
    const box = /** @type {HTMLElement} */ (form.querySelector(".js-trouble"));
    if (!box.hidden && box.textContent === words) return;
    box.textContent = words;
    box.hidden = false;
    this.say(words);
  }
}

/** @param {ParentNode} root @returns {NodeListOf<HTMLElement>} */
function pieces(root) {
  return root.querySelectorAll(".js-piece");
}

/** @param {HTMLFormElement} form @returns {HTMLInputElement|null} */
function answerField(form) {
  return form.querySelector(".js-answer");
}

/**
 * Holds a form as it was handed in: the answer may have arrived, so another
 * text would be another try.
 * @param {HTMLFormElement} form @param {URLSearchParams} fields
 */
function lock(form, fields) {
  form.setAttribute("data-sending", "");
  for (const field of form.querySelectorAll("input")) {
    if (field.type === "text") {
      field.value = fields.get(field.name) ?? field.value;
      field.readOnly = true;
    } else if (field.type === "radio") {
      field.checked = fields.get(field.name) === field.value;
      field.disabled = !field.checked;
    } else if (field.name === "submission") {
      field.value = fields.get("submission") ?? field.value;
    }
  }
  for (const button of buttonsOf(form)) button.setAttribute("aria-disabled", "true");
}

/** @param {HTMLFormElement} form */
function unlock(form) {
  form.removeAttribute("data-sending");
  for (const field of form.querySelectorAll("input")) {
    field.readOnly = false;
    field.disabled = false;
  }
  for (const button of buttonsOf(form)) button.removeAttribute("aria-disabled");
}

/** The buttons of a form, those beside it too. @param {HTMLFormElement} form @returns {Element[]} */
function buttonsOf(form) {
  const beside = form.closest(".js-piece")?.querySelectorAll(".js-readings button") ?? [];
  return [...form.querySelectorAll("button"), ...beside];
}

/** @param {HTMLFormElement} form */
function newIdentifier(form) {
  const field = /** @type {HTMLInputElement|null} */ (form.querySelector("input[name=submission]"));
  if (!field) return;
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  field.value = [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");
}

/** Waits for a while, or until the server is known to be back. @param {number} ms @returns {Promise<void>} */
function pause(ms) {
  return new Promise((resolve) => {
    const go = () => {
      clearTimeout(timer);
      waiting.delete(go);
      resolve();
    };
    const timer = setTimeout(go, ms * (0.8 + 0.4 * Math.random()));
    waiting.add(go);
  });
}

/** What the server says of a refusal. @param {Response} answer @returns {Promise<string>} */
async function reason(answer) {
  try {
    const problem = /** @type {Problem} */ (await answer.json());
    return problem.detail ?? problem.title ?? away;
  } catch {
    return away;
  }
}

/** @param {HTMLInputElement} field @param {string} sign */
function put(field, sign) {
  if (field.readOnly) return;
  field.setRangeText(sign, field.selectionStart ?? 0, field.selectionEnd ?? 0, "end");
  field.focus();
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

/** A box with formulas as a sentence for the ear. @param {HTMLElement} box */
function spoken(box) {
  const copy = /** @type {HTMLElement} */ (box.cloneNode(true));
  for (const formula of copy.querySelectorAll("math")) formula.replaceWith(formula.getAttribute("aria-label") ?? formula.textContent ?? "");
  return copy.textContent?.trim() ?? "";
}

/** How to find the element with the focus again. @param {Element|null} piece @returns {string|null} */
function focusIn(piece) {
  const at = document.activeElement;
  if (!piece || !at || !piece.contains(at)) return null;
  if (at instanceof HTMLInputElement && at.type === "text") return `input[name="${at.name}"]`;
  return at.closest('[data-kind="hint"]') ? '[data-kind="hint"] button' : "button[type=submit]";
}

/** @param {HTMLElement} piece @param {string|null} selector */
function focusAgain(piece, selector) {
  if (selector === null) return;
  const at = piece.querySelector(selector) ?? piece.querySelector(".js-said") ?? piece.querySelector("input, button");
  if (at instanceof HTMLElement) at.focus();
}
