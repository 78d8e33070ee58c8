// @ts-check
// The pointer of the board.

const nudge = 0.04; // of the window, that a key moves it

/** A ring that follows the mouse or the finger, large enough for the back row. */
export class Pointer {
  /** @param {HTMLButtonElement} button */
  constructor(button) {
    this.button = button;
    this.ring = document.createElement("div");
    this.ring.className = "board-pointer";
    this.ring.hidden = true;
    document.body.append(this.ring);
    this.x = innerWidth / 2;
    this.y = innerHeight / 2;
    button.addEventListener("click", () => this.toggle());
    for (const kind of ["pointermove", "pointerdown"]) {
      addEventListener(kind, (event) => {
        this.x = /** @type {PointerEvent} */ (event).clientX;
        this.y = /** @type {PointerEvent} */ (event).clientY;
        this.place();
      }, { passive: true });
    }
  }

  toggle() {
    this.ring.hidden = !this.ring.hidden;
    this.button.setAttribute("aria-pressed", String(!this.ring.hidden));
    this.place();
  }

  /** Moves the ring by a key with Shift. @param {KeyboardEvent} event @param {number} dx @param {number} dy */
  move(event, dx, dy) {
    if (!event.shiftKey || this.ring.hidden) return false;
    this.x = Math.min(innerWidth, Math.max(0, this.x + dx * nudge * innerWidth));
    this.y = Math.min(innerHeight, Math.max(0, this.y + dy * nudge * innerHeight));
    this.place();
    return true;
  }

  place() {
    this.ring.style.transform = `translate(${this.x}px, ${this.y}px)`;
  }
}
