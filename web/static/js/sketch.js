// @ts-check
// A curve drawn by hand: over the field with a pointer, or point by point with the keys.
// The fields of the form hold its values, and are all that is sent; a point whose field is
// empty is not drawn. Nothing is worked out here but where on the page a value is.

const svgNamespace = "http://www.w3.org/2000/svg";
const reach = 14; // px beside a point that still move it
const apart = 13; // px between a station and its points just before and after it

/** @param {string} name @param {Record<string, string|number>} attributes @returns {SVGElement} */
function make(name, attributes) {
  const element = document.createElementNS(svgNamespace, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  return element;
}

/** @param {string} text @returns {number|null} the value of a field; null if it is empty, or not a plain number */
function numberOf(text) {
  const plain = text.trim().replace("−", "-").replace(",", ".");
  return plain === "" || Number.isNaN(Number(plain)) ? null : Number(plain);
}

export class Sketch {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.field = /** @type {SVGSVGElement} */ (root.querySelector(".js-field"));
    const { box, low, high, step, unit } = this.field.dataset;
    const [left, width, bottom, height] = (box ?? "").split(" ").map(Number);
    this.box = { left, width, bottom, height };
    this.low = Number(low);
    this.high = Number(high);
    this.step = Number(step);
    this.unit = unit ?? "";
    this.said = root.querySelector(".js-at");
    this.inputs = /** @type {HTMLInputElement[]} */ ([...root.querySelectorAll("input[data-share]")]);
    this.field.setAttribute("role", "group"); // an image has no points
    Object.assign(this.field.style, { touchAction: "none", cursor: "crosshair", userSelect: "none", overflow: "visible" });
    this.line = this.field.appendChild(make("g", { "aria-hidden": "true", stroke: "currentColor", "stroke-width": 2.5, "stroke-linecap": "round" }));
    this.points = this.inputs.map((input, i) => this.attach(input, i));
    this.field.addEventListener("pointerdown", (event) => this.draw(event));
    const values = root.querySelector("details");
    if (values) {
      values.open = this.inputs.some((input) => input.value !== "" && numberOf(input.value) === null);
      values.after(this.clearing());
    }
    this.show();
    // Paper has an empty field to draw in.
    const undrawn = (/** @type {string} */ display) => this.points.forEach((point, i) => { point.style.display = this.value(i) === null ? display : ""; });
    addEventListener("beforeprint", () => undrawn("none"));
    addEventListener("afterprint", () => undrawn(""));
  }

  /** @param {HTMLInputElement} input @param {number} i */
  attach(input, i) {
    const point = make("circle", {
      r: 7, tabindex: 0, role: "slider", "aria-orientation": "vertical", "aria-label": input.getAttribute("aria-label") ?? "",
      "aria-valuemin": this.low, "aria-valuemax": this.high, stroke: "currentColor", "stroke-width": 2,
      cx: `${this.across(i)}%`, transform: `translate(${Number(input.dataset.side) * apart} 0)`,
    });
    point.addEventListener("keydown", (event) => this.key(i, /** @type {KeyboardEvent} */ (event)));
    point.addEventListener("focus", () => this.tell(i));
    input.addEventListener("input", () => this.show());
    return this.field.appendChild(point);
  }

  clearing() {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "plain";
    button.textContent = "Clear the sketch";
    button.addEventListener("click", () => {
      if (this.waits) return;
      for (const input of this.inputs) input.value = "";
      this.show();
    });
    return button;
  }

  /** Whether the sketch was handed in and must stay. */
  get waits() {
    return this.root.closest("[data-sending]") !== null;
  }

  /** @param {number} i @returns {number} where a point is, in per cent of the field's width */
  across(i) {
    return this.box.left + this.box.width * Number(this.inputs[i].dataset.share);
  }

  /** @param {number} value @returns {number} where it is, in per cent of the field's height */
  up(value) {
    const share = (value - this.low) / (this.high - this.low);
    return this.box.bottom - this.box.height * Math.min(1, Math.max(0, share));
  }

  /** @param {number} i @returns {number|null} */
  value(i) {
    return numberOf(this.inputs[i].value);
  }

  /** Sets a point to the nearest step. @param {number} i @param {number} value */
  set(i, value) {
    const steps = Math.round(value / this.step) * this.step;
    this.inputs[i].value = String(Number(Math.min(this.high, Math.max(this.low, steps)).toPrecision(6))).replace("-", "−");
    this.show();
    this.tell(i);
  }

  /** @param {number} i @param {KeyboardEvent} event */
  key(i, event) {
    const now = this.value(i) ?? 0;
    /** @type {Record<string, number>} */
    const to = {
      ArrowUp: now + this.step, ArrowRight: now + this.step, ArrowDown: now - this.step, ArrowLeft: now - this.step,
      PageUp: now + 5 * this.step, PageDown: now - 5 * this.step, Home: this.low, End: this.high,
    };
    const away = event.key === "Delete" || event.key === "Backspace";
    if (event.altKey || event.ctrlKey || event.metaKey || (!away && !(event.key in to))) return;
    event.preventDefault();
    if (this.waits) return;
    if (!away) return this.set(i, to[event.key]);
    this.inputs[i].value = "";
    this.show();
    this.tell(i);
  }

  /** @param {PointerEvent} event */
  draw(event) {
    if (event.button !== 0 || this.waits) return;
    event.preventDefault();
    const { field } = this;
    field.setPointerCapture(event.pointerId);
    const bounds = field.getBoundingClientRect();
    const at = this.points.map((_, i) => (bounds.width * this.across(i)) / 100 + Number(this.inputs[i].dataset.side) * apart);
    /** @param {PointerEvent} e */
    const place = (e) => {
      const share = (this.box.bottom - (100 * (e.clientY - bounds.top)) / bounds.height) / this.box.height;
      return { x: e.clientX - bounds.left, value: this.low + share * (this.high - this.low) };
    };
    const nearest = (/** @type {number} */ x) => at.reduce((best, other, i) => (Math.abs(other - x) < Math.abs(at[best] - x) ? i : best), 0);
    let from = place(event);
    const first = nearest(from.x);
    this.set(first, from.value);
    /** @type {HTMLElement} */ (/** @type {unknown} */ (this.points[first])).focus({ preventScroll: true });
    const move = (/** @type {PointerEvent} */ e) => {
      const to = place(e);
      at.forEach((x, i) => {
        if ((x - from.x) * (x - to.x) < 0) this.set(i, from.value + ((to.value - from.value) * (x - from.x)) / (to.x - from.x));
      });
      const near = nearest(to.x);
      if (Math.abs(at[near] - to.x) <= reach) this.set(near, to.value);
      from = to;
    };
    field.addEventListener("pointermove", move);
    const end = () => field.removeEventListener("pointermove", move);
    for (const type of ["pointerup", "pointercancel"]) field.addEventListener(type, end, { once: true });
  }

  /** Puts points and line where the fields say. */
  show() {
    /** @type {[number, number][]} */
    const chain = [];
    this.points.forEach((point, i) => {
      const value = this.value(i);
      const y = this.up(value ?? 0);
      point.setAttribute("cy", `${y}%`);
      point.setAttribute("fill", value === null ? "transparent" : "currentColor");
      point.setAttribute("aria-valuenow", String(value ?? 0));
      point.setAttribute("aria-valuetext", this.words(i));
      if (value !== null) chain.push([this.across(i), y]);
    });
    if (chain.length) {
      chain.unshift([this.box.left, chain[0][1]]);
      chain.push([this.box.left + this.box.width, chain[chain.length - 1][1]]);
    }
    this.line.replaceChildren(...chain.slice(1).map(([x, y], i) => make("line", {
      x1: `${chain[i][0]}%`, y1: `${chain[i][1]}%`, x2: `${x}%`, y2: `${y}%`,
    })));
  }

  /** @param {number} i */
  words(i) {
    const { value } = this.inputs[i];
    if (this.value(i) === null) return value.trim() || "not drawn";
    return this.unit && !this.unit.startsWith("°") ? `${value} ${this.unit}` : value + this.unit;
  }

  /** Says beside the field where a point is. @param {number} i */
  tell(i) {
    if (this.said) this.said.textContent = `${this.inputs[i].getAttribute("aria-label")?.replace(/, in .*/, "")}: ${this.words(i)}`;
  }
}
