// @ts-check
// What a slider looks like: a line with marks at round values, a thumb with the value
// above it. The range itself lies over it, unseen, so that keys and screen readers have
// what every range has. A count that is searched by ratio has logarithmic places.

const close = 0.09; // of the length: two numbers that are nearer would touch
const most = 6; // steps between numbers that are evenly placed

export class Track {
  /**
   * @param {HTMLInputElement} range with data-scale="ratio" if its places are logarithmic,
   *   and in data-at its value where it cannot hold that: beyond an end, between its places
   */
  constructor(range) {
    this.range = range;
    this.ends = "";
    this.box = document.createElement("span");
    this.box.className = "scale";
    this.line = element("scale-line");
    this.thumb = element("scale-thumb");
    this.value = element("scale-value");
    range.before(this.box);
    this.thumb.append(this.value);
    this.box.append(this.line, range, this.thumb);
    this.attachPointer();
    this.draw();
  }

  get byRatio() {
    return this.range.dataset.scale === "ratio";
  }

  /** The place of a value, from 0 to 1. @param {number} value */
  place(value) {
    const { min, max } = this.range;
    value = Math.min(Number(max), Math.max(Number(min), value)); // beyond an end the thumb rests there
    return this.byRatio ? Math.log(value / Number(min)) / Math.log(Number(max) / Number(min)) : (value - Number(min)) / (Number(max) - Number(min));
  }

  draw() {
    const { min, max } = this.range;
    const value = this.range.dataset.at ?? this.range.value;
    const ends = `${min} ${max} ${this.byRatio}`;
    if (this.ends !== ends) {
      this.ends = ends;
      this.box.classList.toggle("by-ratio", this.byRatio);
      this.mark(Number(min), Number(max));
    }
    set(this.thumb, this.place(Number(value)));
    this.value.textContent = shown(value);
  }

  /** Puts marks on the line, with their numbers where there is room. @param {number} min @param {number} max */
  mark(min, max) {
    let last = -1;
    this.line.replaceChildren(...marksOf(min, max, this.byRatio).map((value) => {
      const tick = element("scale-mark");
      const at = this.place(value);
      set(tick, at);
      if (at - last >= close && (value === max || 1 - at >= close)) {
        last = at;
        tick.textContent = shown(value);
      }
      return tick;
    }));
  }

  /** Of logarithmic places: the range itself would take the pointer for even ones. */
  attachPointer() {
    const { box, range } = this;
    /** @param {PointerEvent} event */
    const follow = (event) => {
      const line = this.line.getBoundingClientRect();
      const at = Math.min(1, Math.max(0, (event.clientX - line.left) / line.width));
      const value = String(Math.round(Number(range.min) * (Number(range.max) / Number(range.min)) ** at));
      if (value === (range.dataset.at ?? range.value)) return;
      range.value = value;
      range.dispatchEvent(new Event("input", { bubbles: true }));
    };
    box.addEventListener("pointerdown", (event) => {
      if (!this.byRatio || event.button !== 0 || range.disabled) return;
      event.preventDefault();
      box.setPointerCapture(event.pointerId);
      range.focus();
      follow(event);
    });
    box.addEventListener("pointermove", (event) => {
      if (box.hasPointerCapture(event.pointerId)) follow(event);
    });
    box.addEventListener("lostpointercapture", () => range.dispatchEvent(new Event("change", { bubbles: true }))); // let go
  }
}

/**
 * The values that are marked: the ends, and between them 1, 2 and 5 of each power of ten,
 * or round multiples.
 * @param {number} min @param {number} max @param {boolean} byRatio
 */
export function marksOf(min, max, byRatio) {
  const marks = [min];
  if (byRatio) {
    for (let power = 1; power < max; power *= 10) {
      for (const value of [power, 2 * power, 5 * power]) if (value > min && value < max) marks.push(value);
    }
  } else if (max > min) {
    const power = 10 ** Math.floor(Math.log10((max - min) / most));
    const step = [1, 2, 5, 10].map((m) => m * power).find((s) => (max - min) / s <= most + 1e-6) ?? max - min;
    for (let i = Math.floor(min / step) + 1; i * step < max - step / 1e6; i++) {
      const value = Number((i * step).toPrecision(12));
      if (value > min) marks.push(value);
    }
  }
  return [...marks, max];
}

/** @param {string|number} value */
const shown = (value) => String(value).replace("-", "−");

/** @param {string} name */
function element(name) {
  const e = document.createElement("span");
  e.className = name;
  e.setAttribute("aria-hidden", "true");
  return e;
}

/** @param {HTMLElement} e @param {number} at from 0 to 1 */
function set(e, at) {
  e.style.setProperty("--at", at.toFixed(4));
}
