// @ts-check
// The steps of a lesson on the board: its pieces, and how a piece shows some of
// its steps. What is ahead is marked with data-ahead and keeps its place.

const most = 8; // given values in one step: as many as fit a low window

/** A piece of the lesson that fills up step by step. */
export class Block {
  /** @param {HTMLElement[]} heads come with the first step @param {HTMLElement} body */
  constructor(heads, body) {
    this.heads = heads;
    this.body = body;
    this.rows = /** @type {HTMLElement|null} */ (body.querySelector(":scope > .js-rows"));
    this.size = this.parts().length;
  }

  /** The steps as they stand now, each with the elements that make it. @returns {HTMLElement[][]} */
  parts() {
    if (this.body.matches(".js-asked")) return [...this.body.children].map((c) => [/** @type {HTMLElement} */ (c)]);
    if (!this.rows || this.rows.children.length === 0) return [[this.body]];
    /** @type {HTMLElement[][]} */
    const parts = [];
    let before = /** @type {HTMLElement[]} */ ([]);
    for (const row of /** @type {HTMLCollectionOf<HTMLElement>} */ (this.rows.children)) {
      before.push(row);
      // A row that only says how results are written is no news by itself, and what is
      // given comes together.
      if (row.dataset.kind === "prefer" && row.nextElementSibling) continue;
      if (row.matches(".constant") && row.nextElementSibling?.matches(".constant") && before.length < most) continue;
      parts.push(before);
      before = [];
    }
    return parts;
  }

  /** Shows the first steps. @param {number} shown */
  show(shown) {
    const parts = this.parts();
    this.size = parts.length;
    for (const e of this.heads) e.toggleAttribute("data-ahead", shown === 0);
    this.body.toggleAttribute("data-ahead", shown === 0);
    if (parts[0][0] === this.body) return;
    parts.forEach((part, i) => part.forEach((e) => e.toggleAttribute("data-ahead", i >= shown)));
    if (!this.rows) return;
    // The foot of a cell holds its text, which is ahead until all rows are there.
    for (const e of this.body.children) if (e !== this.rows) e.toggleAttribute("data-ahead", shown < parts.length);
  }

  /** Everything that is new with a step. @param {number} step from 1 @returns {HTMLElement[]} */
  newest(step) {
    const parts = this.parts();
    const part = parts[Math.min(step, parts.length) - 1];
    return step === 1 ? [...this.heads, ...part] : part;
  }
}

/** @param {HTMLElement} root @returns {Block[]} */
export function blocksOf(root) {
  /** @type {Block[]} */
  const blocks = [];
  /** @type {HTMLElement[]} */
  let heads = [];
  for (const e of pieces(root)) {
    if (e.hidden || e.matches(".busy, .offline, .hint, template")) continue;
    if (e.matches("h1, h2, h3, h4, h5, h6, hr")) {
      heads.push(e);
      continue;
    }
    blocks.push(new Block(heads, e));
    heads = [];
  }
  if (heads.length) blocks.push(new Block(heads.slice(0, -1), heads[heads.length - 1]));
  return blocks;
}

/**
 * The pieces of a lesson in order, without the boxes of its sections and without what
 * stands beside them.
 * @param {HTMLElement} root @returns {HTMLElement[]}
 */
function pieces(root) {
  return [...root.children].flatMap((child) => {
    const e = /** @type {HTMLElement} */ (child);
    if (e.matches(".beside")) return [];
    return e.matches(".passage, .passage-text") ? pieces(e) : [e];
  });
}
