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
  // On a device that several people use, what one of them has not yet sent must
  // not become another's. The cookie tells them apart and nothing else.
  const whose = /(?:^|; )shaftbook_whose=([0-9a-f]+)/.exec(document.cookie)?.[1] ?? "";
  root.dataset.whose = whose;
  try {
    const last = localStorage.getItem("shaftbook:whose");
    if (whose && last && whose !== last) {
      const ofTheDevice = [key, "shaftbook:seen", "shaftbook:keys"];
      for (const name of Object.keys(localStorage)) {
        if (name.startsWith("shaftbook:") && !ofTheDevice.includes(name)) localStorage.removeItem(name);
      }
    }
    if (whose) localStorage.setItem("shaftbook:whose", whose);
  } catch {
    // Without storage nothing is left of anybody.
  }
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
