// @ts-check
// All derivations of a page, with what the browser keeps of them.

import { Derivation } from "./derivation.js";

/**
 * @typedef {import("./derivation.js").Kept} Kept
 * @typedef {typeof import("./ownpage.js")} Own
 */

/**
 * @param {HTMLElement} root the page's main element
 * @param {import("./live.js").Live} live
 * @param {import("./status.js").Status} status
 * @param {() => void} changed called after a change
 * @param {Own|null} [own] what a page of the learner's own needs
 * @returns {{readonly changed: boolean}} whether a derivation differs from the lesson's
 */
export function attachDerivations(root, live, status, changed, own) {
  const key = `shaftbook:derivation:${root.dataset.lesson ?? ""}`;
  const isPage = Boolean(own); // kept by the server
  const unkept = root.dataset.unkept !== undefined || isPage;
  const kept = unkept ? new Map() : load(key);
  let timer = 0;
  /** @type {Map<string, Derivation>} */
  const all = new Map();
  const save = () => {
    clearTimeout(timer);
    if (unkept) return;
    const plain = [...all].flatMap(([id, d]) => {
      const one = d.plain();
      return one ? [/** @type {[string, Kept]} */ ([id, one])] : [];
    });
    try {
      if (plain.length) localStorage.setItem(key, JSON.stringify(Object.fromEntries(plain)));
      else localStorage.removeItem(key);
    } catch {
      // Full or switched off: the text still stands in the page.
    }
  };
  let touched = false;
  /** @type {import("./ownpage.js").OwnPage|null} */
  let page = null;
  const book = {
    live,
    status,
    words: root.dataset.words ?? "",
    later() {
      touched = true;
      clearTimeout(timer);
      timer = setTimeout(save, 200);
      page?.changed();
      changed();
    },
  };
  for (const element of root.querySelectorAll(".js-derivation")) {
    const d = new Derivation(/** @type {HTMLElement} */ (element), book);
    all.set(d.id, d);
    const mine = kept.get(d.id);
    if (mine) d.take(mine, root.dataset.posted !== undefined);
    else d.showChanged();
  }
  const derivations = { get changed() { return [...all.values()].some((d) => d.changed); } };
  if (all.size === 0) return derivations;
  if (own) page = own.attachPage(root, /** @type {Derivation} */ (all.values().next().value), status);
  addEventListener("pagehide", () => touched && save());

  live.addEventListener("judged", (event) => {
    const message = /** @type {CustomEvent} */ (event).detail;
    all.get(message.cell)?.judged(message);
  });
  live.addEventListener("problem", (event) => {
    const { problem } = /** @type {CustomEvent} */ (event).detail;
    if (problem.type === "/problem/too-long" && isPage) all.values().next().value?.unjudged(`${problem.title}: ${problem.detail}`);
  });
  // The connection keeps nothing, and what was on its way when the line dropped is
  // lost.
  live.addEventListener("online", () => {
    for (const d of all.values()) if (d.waits || d.plain()) d.judge();
  });
  root.querySelector(".js-restore-all")?.addEventListener("click", () => all.forEach((d) => d.reset()));
  return derivations;
}

/** @param {string} key @returns {Map<string, Kept>} */
function load(key) {
  try {
    /** @type {Record<string, Partial<Kept>>} */
    const kept = JSON.parse(localStorage.getItem(key) ?? "{}");
    return new Map(Object.entries(kept).map(([id, k]) => [id, { text: k.text, gaps: k.gaps ?? [], data: k.data ?? {} }]));
  } catch {
    return new Map(); // storage is off or holds something else
  }
}
