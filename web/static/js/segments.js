// @ts-check
// The table of the segments of a shaft and the drawings of them on the page: the row
// that is pointed at or has the focus lights its segment, and the segment that is pointed
// at or tapped marks its row. In a table the arrow keys go from row to row.

const svgSpace = "http://www.w3.org/2000/svg";

/** @param {HTMLElement} root the lesson */
export function attachSegments(root) {
  root.addEventListener("pointerover", (event) => {
    const row = rowOf(event.target);
    if (row) mark(root, row, false);
    else point(root, event, false);
  });
  root.addEventListener("pointermove", (event) => point(root, event, false));
  root.addEventListener("click", (event) => point(root, event, true));
  root.addEventListener("focusin", (event) => {
    const row = rowOf(event.target);
    if (row) mark(root, row, false);
  });
  root.addEventListener("keydown", (event) => step(root, event));
}

/** @param {EventTarget|null} target @returns {HTMLTableRowElement|null} */
function rowOf(target) {
  return target instanceof Element ? target.closest(".js-segments tbody tr") : null;
}

/** @param {HTMLElement} table @returns {HTMLTableRowElement[]} */
function rowsOf(table) {
  return [...table.querySelectorAll("tbody tr")].map((row) => /** @type {HTMLTableRowElement} */ (row));
}

/**
 * The arrow keys, Home and End go from row to row.
 * @param {HTMLElement} root @param {KeyboardEvent} event
 */
function step(root, event) {
  const row = rowOf(event.target);
  const table = row?.closest(".js-segments");
  if (!row || !(table instanceof HTMLElement) || event.altKey || event.ctrlKey || event.metaKey) return;
  const rows = rowsOf(table);
  const at = rows.indexOf(row);
  const next = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: rows.length - 1 }[event.key];
  if (next === undefined) return;
  event.preventDefault();
  rows[next]?.focus();
  if (rows[next]) mark(root, rows[next], false);
}

/**
 * Marks the row of the segment under a pointer.
 * @param {HTMLElement} root @param {MouseEvent} event @param {boolean} show scroll to the row
 */
function point(root, event, show) {
  const svg = event.target instanceof Element ? event.target.closest("svg") : null;
  const cuts = svg?.querySelector(".fig-cuts");
  const shaft = svg?.closest("[data-shaft]")?.getAttribute("data-shaft");
  if (!svg || !cuts || !shaft) return;
  const to = svg.getScreenCTM()?.inverse();
  if (!to) return;
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(to);
  const list = cutsOf(cuts);
  const index = list.findIndex(([left, right, top]) => at.x >= left && at.x <= right && Math.abs(at.y - axisOf(cuts)) <= Math.max(axisOf(cuts) - top, 12));
  if (index < 0) return;
  for (const table of tablesOf(root, shaft)) {
    const rows = rowsOf(table);
    if (rows.length !== list.length) continue;
    mark(root, rows[index], true);
    if (show) rows[index].scrollIntoView({ block: "nearest" });
  }
}

/** @param {HTMLElement} root @param {string} shaft @returns {HTMLElement[]} */
function tablesOf(root, shaft) {
  return [...root.querySelectorAll(`.js-segments[data-shaft="${CSS.escape(shaft)}"]`)].map((table) => /** @type {HTMLElement} */ (table));
}

/** @param {Element} cuts @returns {number[][]} left, right and top of each segment */
function cutsOf(cuts) {
  return (cuts.getAttribute("data-cuts") ?? "").split(";").map((cut) => cut.split(" ").map(Number));
}

/** @param {Element} cuts */
function axisOf(cuts) {
  return Number(cuts.getAttribute("data-axis"));
}

/**
 * Marks a row and lights its segment in each drawing that has as many.
 * @param {HTMLElement} root @param {HTMLTableRowElement} row @param {boolean} scroll bring it into view within its table
 */
function mark(root, row, scroll) {
  const table = /** @type {HTMLElement} */ (row.closest(".js-segments"));
  const rows = rowsOf(table);
  const index = rows.indexOf(row);
  for (const other of rows) {
    other.classList.toggle("lit", other === row);
    other.tabIndex = other === row ? 0 : -1;
  }
  if (scroll) {
    const box = table.getBoundingClientRect();
    const at = row.getBoundingClientRect();
    if (at.top < box.top || at.bottom > box.bottom) table.scrollTop += at.top - box.top - box.height / 3;
  }
  const shaft = table.dataset.shaft ?? "";
  for (const cuts of root.querySelectorAll(`[data-kind=draw][data-shaft="${CSS.escape(shaft)}"] .fig-cuts`)) {
    const list = cutsOf(cuts);
    cuts.replaceChildren();
    if (list.length !== rows.length) continue;
    const [left, right, top] = list[index];
    const light = document.createElementNS(svgSpace, "rect");
    light.setAttribute("class", "lit");
    light.setAttribute("x", String(left));
    light.setAttribute("width", String(right - left));
    light.setAttribute("y", String(top));
    light.setAttribute("height", String(2 * (axisOf(cuts) - top)));
    cuts.append(light);
  }
}
