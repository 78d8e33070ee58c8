// @ts-check
// The page on which a page of one's own is shared: a button that copies the new link.

import { copy } from "./clipboard.js";

for (const button of document.querySelectorAll(".js-copy-link")) {
  const link = document.querySelector(".share-link")?.textContent ?? "";
  const said = document.querySelector(".js-link-said");
  button.addEventListener("click", () => {
    copy(Promise.resolve(link)).then(
      () => { if (said) said.textContent = "Copied."; },
      () => { if (said) said.textContent = "The browser did not allow it: select the address and copy it."; },
    );
  });
}
