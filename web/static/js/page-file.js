// @ts-check
// A file that is opened as a page: chosen or dropped anywhere on the list of pages, and
// looked at before it is sent, so that what cannot be a page is said at once.

/** @param {HTMLFormElement} form */
export function attachFile(form) {
  const field = /** @type {HTMLInputElement} */ (form.querySelector("input[type=file]"));
  const said = /** @type {HTMLElement} */ (form.querySelector(".js-file-said"));
  const most = Number(form.dataset.most);
  const open = async () => {
    const file = field.files?.[0];
    const wrong = file ? await wrongWith(file, most) : "Choose a file first.";
    said.hidden = wrong === "";
    said.textContent = wrong;
    if (wrong === "") form.submit();
  };
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    open();
  });
  const page = document.documentElement;
  page.addEventListener("dragover", (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    form.toggleAttribute("data-over", true);
  });
  page.addEventListener("dragleave", (event) => {
    if (event.relatedTarget === null) form.removeAttribute("data-over");
  });
  page.addEventListener("drop", (event) => {
    form.removeAttribute("data-over");
    if (!event.dataTransfer?.files.length) return;
    event.preventDefault();
    field.files = event.dataTransfer.files;
    open();
  });
  form.dataset.ready = "";
}

/** @param {File} file @param {number} most bytes of a page @returns {Promise<string>} why it cannot be a page; empty if it can */
async function wrongWith(file, most) {
  if (file.size > 4 * most) return `This file has ${(file.size / 1024).toFixed(0)} kB; a page can have ${most / 1024} kB. It was not opened.`;
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
  } catch {
    return notText;
  }
  return text.includes("\0") ? notText : "";
}

const notText = "This file is not text, so it cannot be a page. A page is a Markdown file (.md), saved as UTF-8.";
