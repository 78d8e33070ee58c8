// @ts-check
// The list of the learner's own derivations: times as the reader's clock has them,
// and a starting point for the text that earlier versions of the page kept in the
// browser alone.

import { withGaps } from "./derivation.js";

const formerly = "shaftbook:derivation:"; // of a page without a lesson

/** Writes times in the reader's zone and language. */
export function attachMoments() {
  for (const time of /** @type {NodeListOf<HTMLTimeElement>} */ (document.querySelectorAll("time.js-moment"))) {
    const at = new Date(time.dateTime);
    if (Number.isNaN(at.getTime())) continue;
    time.title = time.textContent ?? "";
    time.textContent = at.toLocaleString(document.documentElement.lang, { dateStyle: "medium", timeStyle: "short" });
  }
}

/** Offers what was written here before derivations were kept by name. */
export function attachOwnList() {
  const file = document.querySelector(".js-own-file");
  if (file instanceof HTMLFormElement) import("./page-file.js").then(({ attachFile }) => attachFile(file));
  const list = document.querySelector(".js-own-list .js-starts");
  const kept = list && former();
  if (!list || !kept) return;
  const form = document.createElement("form");
  form.method = "post";
  form.action = "/derivation";
  /** @param {string} name @param {string} value */
  const add = (name, value) => {
    const field = document.createElement("textarea");
    field.hidden = true;
    [field.name, field.value] = [name, value];
    form.append(field);
  };
  add("text", kept.text);
  kept.gaps.forEach((gap, i) => add(`gap-${i + 1}`, gap));
  for (const [name, number] of Object.entries(kept.data)) add(`data-${name}`, number);
  const button = document.createElement("button");
  button.className = "plain";
  button.textContent = "What you wrote in this browser before";
  form.append(button);
  const about = document.createElement("p");
  about.textContent = "It is not saved on the server yet.";
  const line = document.createElement("li");
  line.append(form, about);
  list.closest("form")?.after(wrapped(line));
}

/** @param {HTMLLIElement} line @returns {HTMLElement} */
function wrapped(line) {
  const list = document.createElement("ul");
  list.className = "own-starts";
  list.append(line);
  return list;
}

/** Lets go of that text once a page has it. @param {string} text of a page */
export function forgetFormer(text) {
  const kept = former();
  if (kept && withGaps(kept.text, kept.gaps) === text) localStorage.removeItem(formerly);
}

/** @returns {{text: string, gaps: string[], data: Record<string, string>}|null} */
function former() {
  try {
    const own = JSON.parse(localStorage.getItem(formerly) ?? "{}").own;
    return own?.text ? { text: own.text, gaps: own.gaps ?? [], data: own.data ?? {} } : null;
  } catch {
    return null; // storage is off or holds something else
  }
}
