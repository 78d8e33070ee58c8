// @ts-check
// Says that the lesson of a page has changed since the page was loaded. The page goes on
// with the text that it has.

/** @param {HTMLElement} root @param {boolean} gone whether the lesson is not there any more @param {(sentence: string) => void} say */
export function showChanged(root, gone, say) {
  // The page of whoever writes the lesson has a way of its own.
  if (!root.dispatchEvent(new CustomEvent("lesson-changed", { cancelable: true, detail: gone ? "" : "changed" }))) return;
  let notice = /** @type {HTMLElement|null} */ (root.querySelector(".js-changed"));
  if (!notice) {
    notice = document.createElement("p");
    notice.className = "offline js-changed";
    root.append(notice);
  }
  const sentence = gone ? "This lesson is no longer on the server." : "This lesson has changed.";
  if (notice.dataset.said === sentence) return;
  notice.dataset.said = sentence;
  const link = document.createElement("a");
  link.href = gone ? "/" : location.href.split("#")[0];
  link.textContent = gone ? "All lessons" : "Load it again";
  if (!gone) {
    link.addEventListener("click", (event) => {
      event.preventDefault();
      location.reload();
    });
  }
  notice.replaceChildren(`${sentence} `, link, gone ? "" : " to see it; your changes are kept.");
  say(sentence);
}
