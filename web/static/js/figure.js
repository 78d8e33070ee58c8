// @ts-check
// Downloads of figures. The links lead to the lesson's own figures; when the
// reader has changed something, the same address is asked with the changes, so
// that what is saved is what is seen.

/**
 * @param {HTMLElement} root
 * @param {import("./state.js").State} state
 * @param {(sentence: string) => void} say
 */
export function attachDownloads(root, state, say) {
  root.addEventListener("click", async (event) => {
    const link = /** @type {Element} */ (event.target).closest("a.js-download");
    if (!(link instanceof HTMLAnchorElement) || !state.changed) return;
    event.preventDefault();
    try {
      const answer = await fetch(link.href, changedRequest(state));
      if (!answer.ok) throw new Error(answer.statusText);
      const url = URL.createObjectURL(await answer.blob());
      const save = document.createElement("a");
      save.href = url;
      save.download = link.download;
      save.click();
      setTimeout(() => URL.revokeObjectURL(url), 10000);
    } catch {
      say("The figure could not be loaded. Try again when the server responds.");
    }
  });
}

/**
 * How a figure is asked for: plainly while the lesson stands as written, else
 * with what the reader has changed.
 * @param {import("./state.js").State} state
 * @returns {RequestInit}
 */
export function changedRequest(state) {
  if (!state.changed) return {};
  return { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(state.plain()) };
}
