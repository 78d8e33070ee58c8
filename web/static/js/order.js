// @ts-check
// A list that is put in order: dragged by its grips, or moved with the buttons of each
// line. The fields that say the place of each go with it; without this file they are typed.

export class Order {
  /** @param {HTMLElement} list @param {(sentence: string) => void} say */
  constructor(list, say) {
    this.list = list;
    this.say = say;
    for (const line of this.lines) this.attach(line);
    this.sort();
    this.number();
  }

  /** @returns {HTMLElement[]} */
  get lines() {
    return /** @type {HTMLElement[]} */ ([...this.list.children]);
  }

  /** Puts the lines where their fields say, if all say something. */
  sort() {
    const places = new Map(this.lines.map((line) => [line, Number(field(line).value)]));
    if ([...places.values()].some((place) => !place)) return;
    this.list.append(...this.lines.sort((a, b) => (places.get(a) ?? 0) - (places.get(b) ?? 0)));
  }

  /** @param {HTMLElement} line */
  attach(line) {
    const grip = document.createElement("span");
    grip.className = "grip";
    grip.textContent = "↕";
    grip.setAttribute("aria-hidden", "true");
    grip.addEventListener("pointerdown", (event) => this.drag(line, grip, event));
    line.prepend(grip);
    for (const [word, by] of /** @type {[string, number][]} */ ([["Up", -1], ["Down", 1]])) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "plain";
      button.textContent = word;
      button.setAttribute("aria-label", `${word}: ${words(line)}`);
      button.addEventListener("click", () => {
        this.move(line, by);
        button.focus();
      });
      line.append(button);
    }
  }

  /** @param {HTMLElement} line @param {number} by */
  move(line, by) {
    const at = this.lines.indexOf(line);
    const to = at + by;
    if (to < 0 || to >= this.lines.length) return;
    if (by < 0) this.lines[to].before(line);
    else this.lines[to].after(line);
    this.number();
    this.tell(line);
  }

  /** @param {HTMLElement} line */
  tell(line) {
    this.say(`${words(line)}: place ${this.lines.indexOf(line) + 1} of ${this.lines.length}`);
  }

  /** @param {HTMLElement} line @param {HTMLElement} grip @param {PointerEvent} event */
  drag(line, grip, event) {
    if (event.button !== 0 || line.closest("[data-sending]")) return;
    event.preventDefault();
    grip.setPointerCapture(event.pointerId);
    line.classList.add("dragged");
    const move = (/** @type {PointerEvent} */ { clientY }) => {
      const before = this.lines.find((other) => other !== line && clientY < middle(other));
      const stands = line.nextElementSibling ?? undefined;
      if (before === stands) return;
      if (before) before.before(line);
      else this.list.append(line);
      this.number();
    };
    const end = () => {
      grip.removeEventListener("pointermove", move);
      line.classList.remove("dragged");
      this.tell(line);
    };
    grip.addEventListener("pointermove", move);
    for (const type of ["pointerup", "pointercancel"]) grip.addEventListener(type, end, { once: true });
  }

  /** Writes the places into the fields. */
  number() {
    const { lines } = this;
    lines.forEach((line, i) => {
      field(line).value = String(i + 1);
      const [up, down] = line.querySelectorAll("button");
      up.setAttribute("aria-disabled", String(i === 0));
      down.setAttribute("aria-disabled", String(i === lines.length - 1));
    });
  }
}

/** @param {HTMLElement} line @returns {HTMLInputElement} */
function field(line) {
  return /** @type {HTMLInputElement} */ (line.querySelector("input"));
}

/** @param {HTMLElement} line */
function words(line) {
  return line.querySelector(".js-order-text")?.textContent ?? "";
}

/** @param {HTMLElement} line */
function middle(line) {
  const { top, height } = line.getBoundingClientRect();
  return top + height / 2;
}
