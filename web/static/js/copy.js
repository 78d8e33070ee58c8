// @ts-check
// Copying: the working of a lesson or of a cell as text or TeX, and links to
// cells, statements and headings. The links work without this file too: they
// lead to the text and to the place.

/**
 * @param {HTMLElement} root
 * @param {import("./state.js").State} state
 * @param {(sentence: string) => void} say
 */
export function attachCopies(root, state, say) {
  root.addEventListener("click", async (event) => {
    const link = /** @type {Element} */ (event.target).closest("a.js-copy, a.js-link");
    if (!(link instanceof HTMLAnchorElement)) return;
    event.preventDefault();
    const isPlace = link.classList.contains("js-link");
    if (isPlace) history.replaceState(null, "", link.href);
    try {
      const { copy, fetched } = await import("./clipboard.js");
      await copy(isPlace ? Promise.resolve(link.href) : fetched(link.href, state));
      tell(link, isPlace ? "link copied" : "copied");
    } catch {
      location.assign(link.href); // what cannot be copied can be seen
    }
  });
  root.addEventListener("pointerover", (event) => {
    const row = /** @type {Element} */ (event.target).closest(".row");
    if (row instanceof HTMLElement) addRowLink(row);
  });
  root.addEventListener("toggle", (event) => {
    const details = /** @type {Element} */ (event.target);
    if (!details.matches?.(".js-take")) return;
    for (const row of details.closest(".cell")?.querySelectorAll(".row") ?? []) addRowLink(/** @type {HTMLElement} */ (row));
  }, true);
  for (const heading of root.querySelectorAll("h2[id], h3[id]:not(summary > h3)")) {
    heading.append(placeLink(heading.id, "heading-link", `Link to “${heading.textContent}”`));
  }

  /** @param {HTMLElement} link @param {string} what */
  function tell(link, what) {
    say(`${link.textContent?.trim()}: ${what}`);
    link.dataset.told = what;
    setTimeout(() => delete link.dataset.told, 1500);
  }
}

/** Gives a statement its own link; made when it is wanted. @param {HTMLElement} row */
export function addRowLink(row) {
  if (!row.id || row.querySelector(":scope > .row-link")) return;
  row.append(placeLink(row.id, "row-link", `Link to statement ${row.id.split("-").at(-1)}`));
}

/** @param {string} id @param {string} name @param {string} spoken */
function placeLink(id, name, spoken) {
  const link = document.createElement("a");
  link.className = `${name} js-link`;
  link.href = `#${id}`;
  const words = document.createElement("span");
  words.className = "sr";
  words.textContent = spoken;
  link.append(words);
  return link;
}
