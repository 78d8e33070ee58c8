// @ts-check
// Marking without leaving the page. The form works without this file; with it
// the answer goes by fetch and what marking says appears under the field.

/** @param {HTMLFormElement} form @param {(sentence: string) => void} say */
export function attachExercise(form, say) {
  const said = /** @type {HTMLElement} */ (form.querySelector(".js-said"));
  const button = /** @type {HTMLButtonElement} */ (form.querySelector("button[type=submit]"));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    button.disabled = true;
    try {
      const answer = await fetch(form.action, {
        method: "POST",
        headers: { Accept: "text/html; fragment=1" },
        body: new URLSearchParams(/** @type {any} */ (new FormData(form))),
      });
      const box = document.createElement("template");
      box.innerHTML = await answer.text();
      const fresh = box.content.querySelector(".js-said");
      if (!fresh) throw new Error("no verdict");
      said.className = fresh.className;
      said.hidden = false;
      said.setAttribute("data-verdict", fresh.getAttribute("data-verdict") ?? "");
      said.replaceChildren(...fresh.childNodes);
      say(said.textContent?.trim() ?? "");
    } catch {
      said.hidden = false;
      said.removeAttribute("data-verdict");
      said.textContent = "The answer did not reach the server. It still stands in the field; press again in a moment.";
      say(said.textContent);
    } finally {
      button.disabled = false;
    }
  });
}
