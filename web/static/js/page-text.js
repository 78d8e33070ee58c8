// @ts-check
// The text of a block of a page: what kind it is, what stands between the fences of a
// cell, and names that are free.

const fence = /^(`{3,}|~{3,})[ \t]*([^\s`]*)[ \t]*([^\n`]*)/;
const words = /** @type {Record<string, string>} */ ({ calc: "Calculation", shaft: "Shaft", derive: "Derivation", guess: "Guess", exercise: "Exercise" });

/** @param {string} raw @returns {{kind: string, word: string}} */
export function kindOf(raw) {
  const text = raw.replace(/^\s*\n/, "");
  const found = fence.exec(text);
  if (found && found[2] in words) return { kind: found[2], word: `${words[found[2]]} ${found[2] === "shaft" ? found[3] : ""}`.trim() };
  return text.startsWith("---\n") ? { kind: "head", word: "Name and details" } : { kind: "text", word: "Text" };
}

/**
 * The text of a cell with another content between its fences, which grow if the content
 * holds as many of their signs.
 * @param {string} raw @param {string} content @returns {string}
 */
export function contentPut(raw, content) {
  const lines = raw.split("\n");
  const first = lines.findIndex((line) => fence.test(line));
  if (first < 0) return raw;
  let mark = /** @type {RegExpExecArray} */ (fence.exec(lines[first]))[1];
  const info = lines[first].slice(mark.length);
  let last = lines.findLastIndex((line, i) => i > first && line.trim().startsWith(mark) && line.trim().replaceAll(mark[0], "") === "");
  const after = last < 0 ? ["", ""] : lines.slice(last + 1);
  while (content.includes(mark)) mark += mark[0];
  const body = content === "" ? [] : content.replace(/\n$/, "").split("\n");
  return [...lines.slice(0, first), mark + info, ...body, mark, ...after].join("\n");
}

/**
 * A text in which NAME is a name that no line of a cell begins with.
 * @param {string} text @param {string} name @param {string[]} blocks @returns {string}
 */
export function freeName(text, name, blocks) {
  if (!name) return text;
  const taken = new Set(blocks.filter((raw) => kindOf(raw).kind !== "text").flatMap((raw) => raw.split("\n").flatMap((line) => line.replace(/^[`~]+/, "").trim().split(/\s+/).slice(0, 2))));
  let free = name;
  for (let n = 2; taken.has(free); n++) free = name + n;
  return text.replaceAll("NAME", free);
}
