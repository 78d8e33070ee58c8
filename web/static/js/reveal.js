// @ts-check
// Lets whoever types a password see it: mistyping is common on a phone, and nobody
// may be looking.

export function attachReveals() {
  for (const field of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll('input[type="password"]'))) {
    const label = document.createElement("label");
    label.className = "tick reveal";
    const box = document.createElement("input");
    box.type = "checkbox";
    box.setAttribute("aria-label", `Show: ${field.labels?.[0]?.textContent ?? "password"}`);
    const words = document.createElement("span");
    words.textContent = "Show";
    label.append(box, words);
    field.after(label);
    box.addEventListener("change", () => { field.type = box.checked ? "text" : "password"; });
    // A browser keeps what it takes for a password only.
    field.form?.addEventListener("submit", () => { field.type = "password"; });
  }
}
