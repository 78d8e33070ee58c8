// Sets the reader's choice of light or dark before the first paint, and runs
// the switch for it. This file is not a module, because a module would come
// too late and the page would flash.
(() => {
  const key = "shaftbook:light";
  const root = document.documentElement;
  root.classList.add("js");

  /** @param {string} choice "light", "dark" or "system" */
  const apply = (choice) => {
    if (choice === "light" || choice === "dark") root.dataset.theme = choice;
    else delete root.dataset.theme;
  };
  try {
    if (!localStorage.getItem("shaftbook:seen")) root.classList.add("first");
  } catch {
    // Without storage a hint would come on every page, so it never comes.
  }
  const read = () => {
    try {
      return localStorage.getItem(key) || "system";
    } catch {
      return "system"; // storage is switched off: follow the system
    }
  };
  apply(read());

  document.addEventListener("DOMContentLoaded", () => {
    for (const input of document.querySelectorAll(".js-theme input")) {
      const radio = /** @type {HTMLInputElement} */ (input);
      radio.checked = radio.value === read();
      radio.addEventListener("change", () => {
        apply(radio.value);
        try {
          localStorage.setItem(key, radio.value);
        } catch {
          // The choice then lasts as long as the page.
        }
      });
    }
  });
})();
