// @ts-check
// The slider under a twisted shaft: it takes away a share of the load and puts
// it back. What is drawn for each share comes from the server; here only the
// path data and the texts that move with the load are exchanged.

import { changedRequest } from "./figure.js";

const pace = 90; // ms between two drawings when the load goes on by itself

/**
 * @param {HTMLElement} root holds all rows, also those that come later
 * @param {import("./state.js").State} state
 * @param {(sentence: string) => void} say
 */
export function attachLoads(root, state, say) {
  /** @type {WeakMap<Element, Load>} */
  const loads = new WeakMap();
  /** @param {Event} event @returns {Load|null} */
  const loadOf = (event) => {
    const element = /** @type {Element} */ (event.target).closest(".js-load");
    if (!(element instanceof HTMLElement)) return null;
    const load = loads.get(element) ?? new Load(element, state, say);
    loads.set(element, load);
    return load;
  };
  root.addEventListener("input", (event) => loadOf(event)?.moved());
  root.addEventListener("click", (event) => {
    if (/** @type {Element} */ (event.target).closest(".js-play")) loadOf(event)?.play();
  });
}

class Load {
  /** @param {HTMLElement} element @param {import("./state.js").State} state @param {(sentence: string) => void} say */
  constructor(element, state, say) {
    this.element = element;
    this.state = state;
    this.say = say;
    this.range = /** @type {HTMLInputElement} */ (element.querySelector("input"));
    this.button = /** @type {HTMLButtonElement} */ (element.querySelector("button"));
    this.share = /** @type {HTMLElement} */ (element.querySelector(".share"));
    this.timer = 0;
    /** @type {Map<number, Promise<string[][]>>} by the width of the drawing */
    this.frames = new Map();
    const figure = /** @type {HTMLElement} */ (element.closest("figure"));
    this.drawings = [...figure.querySelectorAll("[data-part=figure]")];
    // A drawing that the server has drawn again is under the full load.
    const watch = new MutationObserver(() => this.renewed());
    for (const drawing of this.drawings) watch.observe(drawing, { childList: true });
    // A telephone that is turned shows the other drawing.
    new ResizeObserver(() => { if (this.range.value !== this.range.max) this.show(); }).observe(element);
  }

  renewed() {
    this.stop();
    this.frames.clear();
    this.range.value = this.range.max;
    this.describe();
  }

  moved() {
    this.stop();
    this.show();
  }

  describe() {
    this.share.textContent = `${this.range.value} %`;
    this.range.setAttribute("aria-valuetext", `${this.range.value} % of the load`);
  }

  async show() {
    this.describe();
    try {
      for (const drawing of this.drawings) {
        const svg = drawing.querySelector("svg");
        if (!svg || !svg.checkVisibility()) continue;
        const frames = await this.fetch(svg.viewBox.baseVal.width);
        if (!svg.isConnected) return;
        const frame = frames[Math.round(Number(this.range.value) / Number(this.range.step))];
        svg.querySelectorAll(".fig-moving > path, .fig-moving > text").forEach((e, i) => {
          if (e.localName === "path") e.setAttribute("d", frame[i] ?? "");
          else e.textContent = frame[i] ?? "";
        });
      }
    } catch {
      this.stop();
      this.frames.clear();
      this.say("The drawing for this load could not be loaded. Try again when the server responds.");
    }
  }

  /** @param {number} width @returns {Promise<string[][]>} */
  fetch(width) {
    let frames = this.frames.get(width);
    if (!frames) {
      frames = fetch(`${this.element.dataset.frames}?width=${width}`, changedRequest(this.state)).then(async (answer) => {
        if (!answer.ok) throw new Error(answer.statusText);
        return (await answer.json()).frames;
      });
      this.frames.set(width, frames);
    }
    return frames;
  }

  /** Goes from no load to the full one and stops there; pressed again, it stops at once. */
  play() {
    if (this.timer) return this.stop();
    this.range.value = "0";
    this.button.textContent = "Stop";
    const step = async () => {
      await this.show();
      if (!this.timer) return;
      if (this.range.value === this.range.max) return this.stop();
      this.timer = setTimeout(() => {
        this.range.stepUp();
        step();
      }, pace);
    };
    this.timer = -1;
    step();
  }

  stop() {
    clearTimeout(this.timer);
    this.timer = 0;
    this.button.textContent = "Apply gradually";
  }
}
