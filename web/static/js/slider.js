// @ts-check
// A driven name: a slider, a number field and a unit that always agree. The element
// carries data-name; the value is in the unit beside the field, and no arithmetic on it
// happens here. The field may take more than the slider has (data-free: also values
// between its places; min and max of the field: beyond its ends). While what stands in
// the field is not the value in force, the page says beside it what it takes.

export class Slider {
  /**
   * @param {HTMLElement} root
   * @param {(name: string, value: number) => void} moved
   * @param {{draw: () => void}} [track] what shows the value of the range
   * @param {(sentence: string) => void} [say] for the ear
   */
  constructor(root, moved, track, say) {
    this.root = root;
    this.moved = moved;
    this.track = track;
    this.say = say;
    this.name = root.dataset.name ?? "";
    this.spokenUnit = root.dataset.spokenUnit ?? "";
    this.range = /** @type {HTMLInputElement} */ (root.querySelector("input[type=range]"));
    this.number = /** @type {HTMLInputElement} */ (root.querySelector("input[type=number]"));
    /** The value in force, as text: the field may hold another, the range cannot hold each. */
    this.text = this.number.getAttribute("value") ?? this.number.value;
    /** What was in force before what is being typed: its beginnings are tried, and may hold where it does not. */
    this.before = this.text;
    /** What stood in the field at the last key. */
    this.typed = this.number.value;
    /** @type {HTMLElement|null} what the field takes while it holds something else, or that what was chosen lies outside */
    this.words = root.querySelector(".takes");
    this.range.disabled = this.number.disabled = false;
    this.range.addEventListener("input", () => this.pick());
    // A press on the end at which the thumb of a value beyond it rests moves no range.
    this.range.addEventListener("click", () => {
      if (this.value < Number(this.range.min) || this.value > Number(this.range.max)) this.pick();
    });
    this.number.addEventListener("input", () => {
      const now = this.number.value, last = this.typed;
      if (!now.startsWith(last) && !last.startsWith(now)) this.before = this.text; // typing begins anew
      this.typed = now;
      const refused = this.refusal();
      this.explain(refused);
      if (!refused) this.take(this.number.value);
      else if (this.value !== Number(this.before)) this.take(this.before, true);
    });
    // What does not hold goes when the field is left or Enter pressed; why stays to be read.
    this.number.addEventListener("change", () => this.putBack());
    this.number.addEventListener("blur", () => this.putBack());
    this.number.addEventListener("focus", () => {
      this.before = this.text;
      this.typed = this.number.value;
      this.explain("");
    });
    this.number.addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !this.words) return;
      event.stopPropagation();
      event.preventDefault();
      this.putBack();
      this.explain("");
    });
    this.putBack();
    this.describe();
  }

  /** Takes over a slider with the same ends, as the server prints it. @param {HTMLElement} fresh */
  follow(fresh) {
    const value = fresh.querySelector("input")?.getAttribute("value");
    if (value) this.set(value);
    const outside = fresh.querySelector(".takes")?.textContent;
    if (outside) this.explain(outside);
  }

  get value() {
    return Number(this.text);
  }

  /** Why what stands in the field cannot be taken, as what can; empty if it can. */
  refusal() {
    const { min, max, step } = this.number;
    const way = Number(min) !== Number(this.range.min) ? `${this.range.min} to ${this.range.max}` : Number(max) !== Number(this.range.max) ? `to ${this.range.max}` : "";
    const ends = (`${min} to ${max} ${this.spokenUnit}`.trim() + (way && `, the slider ${way}`)).replaceAll("-", "−");
    const value = this.number.valueAsNumber;
    if (Number.isNaN(value) || value < Number(min) || value > Number(max)) return ends;
    const places = (value - Number(min)) / Number(step);
    if ("free" in this.number.dataset || Math.abs(places - Math.round(places)) < 1e-6) return "";
    return Number(step) === 1 ? `${ends}, whole numbers` : `${ends}, in steps of ${step}`;
  }

  /** Says at the field what it takes. @param {string} words empty: nothing */
  explain(words) {
    if (words === (this.words?.textContent ?? "")) return;
    if (!words) {
      this.words?.remove();
      this.words = null;
      this.number.removeAttribute("aria-describedby");
    } else {
      if (!this.words) {
        this.words = document.createElement("span");
        this.words.className = "takes";
        this.words.id = `${this.number.id}-takes`;
        this.number.after(this.words);
        this.number.setAttribute("aria-describedby", this.words.id);
      }
      this.words.textContent = words;
      if (this.number.value !== "") this.say?.(`${this.name}: ${words}`);
    }
    this.number.setAttribute("aria-invalid", String(words !== "" && this.number.value !== this.text));
  }

  /** The field shows the value in force again. */
  putBack() {
    if (this.number.value !== this.text || this.number.validity.badInput) this.number.value = this.text;
    this.number.setAttribute("aria-invalid", "false");
    this.before = this.text;
  }

  pick() {
    this.take(this.range.value);
    this.before = this.text;
  }

  /** A value of the reader's. @param {string} text @param {boolean} [typing] whether the field keeps what is being typed */
  take(text, typing = false) {
    this.text = String(Number(text));
    this.show(typing);
    this.moved(this.name, this.value);
  }

  /** @param {string} text as the server prints it */
  set(text) {
    const typing = this.words && document.activeElement === this.number;
    if (Number(text) === this.value && this.words) return; // why something was refused stays to be read
    this.text = text;
    this.show(Boolean(typing));
  }

  /** @param {boolean} [typing] whether the reader is at something else in the field */
  show(typing = false) {
    if (Number(this.range.value) !== this.value) this.range.value = this.text;
    if (!typing) {
      this.explain("");
      // What is being typed stays as it is typed: 4.0 on the way to 4.05.
      if (this.number.valueAsNumber !== this.value) this.number.value = this.text;
    }
    this.describe();
  }

  describe() {
    this.range.dataset.at = this.text;
    this.track?.draw();
    this.range.setAttribute("aria-valuetext", `${this.text} ${this.spokenUnit}`.trim());
  }
}
