// @ts-check
// Follows a class: takes in the pieces of the page that the server sends, and
// connects again when the line was down. The messages are written down in
// web/PROTOCOL.md; the Go side is web/classroom/room_live.go.

const protocol = "shaftbook.room.1";
const firstWait = 500; // ms before the first new attempt
const longestWait = 15000;
const policyWait = 30000; // after the server closed because this may not be seen

/** @typedef {{type: string, version: number, pieces: {id: string, html: string}[]}} Message */

/** @param {(sentence: string) => void} say */
export function attachRoom(say) {
  const room = /** @type {HTMLElement|null} */ (document.querySelector(".js-room"));
  const box = room?.querySelector(".js-room-pieces");
  const said = /** @type {HTMLElement|null|undefined} */ (room?.querySelector(".js-room-said"));
  if (!room || !box || !said) return;
  let attempts = 0;
  let retry = 0;
  /** @type {WebSocket|null} */
  let socket = null;

  const connect = () => {
    if (socket && socket.readyState <= WebSocket.OPEN) return;
    clearTimeout(retry);
    const url = new URL(room.dataset.live ?? "", location.href);
    url.protocol = url.protocol === "https:" ? "wss:" : "ws:";
    const opened = new WebSocket(url, protocol);
    socket = opened;
    opened.addEventListener("open", () => {
      if (attempts > 0) say("Live updates are back.");
      attempts = 0;
      said.textContent = "This page updates by itself.";
      said.dataset.state = "live";
    });
    opened.addEventListener("message", (event) => {
      /** @type {Message} */
      const message = JSON.parse(event.data);
      if (message.type === "pieces") for (const piece of message.pieces) put(box, piece);
    });
    opened.addEventListener("close", (event) => {
      if (socket !== opened) return;
      socket = null;
      const refused = event.code === 1008;
      said.dataset.state = refused ? "refused" : "away";
      said.textContent = refused
        ? "You are signed out, or no longer an instructor of this class. Reload the page."
        : "The server is not responding. This is the last known state of the class.";
      if (attempts === 0) say(said.textContent);
      const wait = refused ? policyWait : Math.min(longestWait, firstWait * 2 ** attempts);
      attempts++;
      retry = setTimeout(connect, wait * (0.7 + 0.6 * Math.random()));
    });
  };
  addEventListener("online", connect);
  addEventListener("pageshow", (event) => event.persisted && connect());
  connect();
}

/**
 * Puts a piece in place of the one of its id. What was folded out stays so, and
 * the focus stays where it was.
 * @param {Element} box @param {{id: string, html: string}} piece
 */
function put(box, { id, html }) {
  const template = document.createElement("template");
  template.innerHTML = html;
  const fresh = template.content.firstElementChild;
  if (!fresh) return;
  const old = document.getElementById(id);
  if (!old) {
    box.append(fresh);
    return;
  }
  if (old.outerHTML === fresh.outerHTML) return;
  // A list that comes or goes must not open another: folds of one kind go by their order.
  for (const kind of new Set([...fresh.querySelectorAll("details")].map((fold) => fold.dataset.fold ?? ""))) {
    const same = `details[data-fold="${kind}"]`;
    const folds = /** @type {NodeListOf<HTMLDetailsElement>} */ (old.querySelectorAll(same));
    /** @type {NodeListOf<HTMLDetailsElement>} */ (fresh.querySelectorAll(same)).forEach((fold, i) => { fold.open = folds[i]?.open ?? false; });
  }
  const can = "a, summary, [tabindex]";
  const at = document.activeElement ? [...old.querySelectorAll(can)].indexOf(document.activeElement) : -1;
  old.replaceWith(fresh);
  if (at >= 0) /** @type {HTMLElement|undefined} */ ([...fresh.querySelectorAll(can)][at])?.focus({ preventScroll: true });
}
