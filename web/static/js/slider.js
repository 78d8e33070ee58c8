// @ts-check
// A driven name: a slider, a number field and a unit that always agree. The
// element carries data-name; the value is in the unit that stands beside the
// field, and no arithmetic on it happens here.

export class Slider {
  /**
   * @param {HTMLElement} root
   * @param {(name: string, value: number) => void} moved
   * @param {{draw: () => void}} [track] what shows the value of the range
   */
  constructor(root, moved, track) {
    this.root = root;
    this.track = track;
    this.name = root.dataset.name ?? "";
    this.spokenUnit = root.dataset.spokenUnit ?? "";
    this.range = /** @type {HTMLInputElement} */ (root.querySelector("input[type=range]"));
    this.number = /** @type {HTMLInputElement} */ (root.querySelector("input[type=number]"));
    this.range.disabled = this.number.disabled = false;
    this.range.addEventListener("input", () => {
      this.number.value = this.range.value;
      this.describe();
      moved(this.name, this.range.valueAsNumber);
    });
    this.number.addEventListener("input", () => {
      if (!this.number.validity.valid || Number.isNaN(this.number.valueAsNumber)) return;
      this.range.value = this.number.value;
      this.describe();
      moved(this.name, this.number.valueAsNumber);
    });
    this.number.addEventListener("change", () => {
      // An empty or impossible entry goes back to the value in force.
      if (!this.number.validity.valid || this.number.value === "") this.number.value = this.range.value;
    });
    this.describe();
  }

  get value() {
    return this.range.valueAsNumber;
  }

  /** @param {string} value as the server prints it */
  set(value) {
    if (this.range.value !== value) this.range.value = value;
    if (this.number.value !== value && document.activeElement !== this.number) this.number.value = value;
    this.describe();
  }

  describe() {
    this.track?.draw();
    this.range.setAttribute("aria-valuetext", `${this.range.value} ${this.spokenUnit}`.trim());
  }
}
