// @ts-check
// One polite voice for the whole page. Results change at once for the eye; for
// the ear there is one sentence after things have been quiet for a while.

const quiet = 800; // ms

export class Status {
  /** @param {HTMLElement} region the page's one role=status element */
  constructor(region) {
    this.region = region;
    this.last = "";
    this.timer = 0;
    /** @type {Map<string, string>} newest sentence about each statement */
    this.heard = new Map();
  }

  /**
   * Notes that a statement changed.
   * @param {string} id @param {string} sentence
   */
  changed(id, sentence) {
    this.heard.delete(id);
    if (sentence) this.heard.set(id, sentence);
    this.wait();
  }

  wait() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.speak(), quiet);
  }

  speak() {
    const sentences = [...this.heard.values()];
    this.heard.clear();
    if (sentences.length === 0) return;
    const told = sentences.slice(-3).join("; ");
    this.say(sentences.length > 3 ? `${sentences.length} results changed; ${told}` : told);
  }

  /** Says the last sentence once more. */
  again() {
    const sentence = this.last || "Nothing has changed yet";
    this.region.textContent = "";
    setTimeout(() => { this.region.textContent = sentence; }, 50);
  }

  /** @param {string} sentence */
  say(sentence) {
    if (sentence === this.last) return;
    this.last = sentence;
    this.region.textContent = sentence;
  }
}
