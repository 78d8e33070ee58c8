// @ts-check
// Texts onto the clipboard, and the working of a lesson as text; for copy.js, when
// something is copied.

/** @param {string} url @param {import("./state.js").State} state @returns {Promise<string>} */
export async function fetched(url, state) {
  const answer = await fetch(url, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(state.plain()),
  });
  if (!answer.ok) throw new Error(answer.statusText);
  return answer.text();
}

/** @param {Promise<string>} text */
export async function copy(text) {
  if (navigator.clipboard && "ClipboardItem" in window) {
    // The promise goes into the item, because some browsers forget that the
    // reader has pressed something while it is waited for.
    const blob = text.then((t) => new Blob([t], { type: "text/plain" }));
    await navigator.clipboard.write([new ClipboardItem({ "text/plain": blob })]);
    return;
  }
  // Without TLS, as in a class's own network, there is no clipboard to ask.
  const area = document.createElement("textarea");
  area.value = await text;
  area.className = "sr";
  document.body.append(area);
  area.select();
  const done = document.execCommand("copy");
  area.remove();
  if (!done) throw new Error("not copied");
}
