// @ts-check
// Earlier versions of a cell's text, as long as the page is open. A version is
// kept whenever typing rests; going back loses nothing, since what was there
// stays in the row of versions.

const rest = 1500; // ms
const most = 60;

export class History {
  /**
   * @param {HTMLElement} bar where the buttons go
   * @param {string} text the first version
   * @param {(text: string) => void} put
   */
  constructor(bar, text, put) {
    this.versions = [text];
    this.at = 0;
    this.timer = 0;
    this.put = put;
    this.earlier = button("Earlier version", () => this.step(-1));
    this.later = button("Later version", () => this.step(1));
    this.place = document.createElement("span");
    bar.className = "versions";
    bar.append(this.earlier, this.later, this.place);
    this.bar = bar;
    this.show();
  }

  /** Takes in the text as it is now; a version is made of it when it rests. @param {string} text */
  note(text) {
    clearTimeout(this.timer);
    if (text === this.versions[this.at]) return;
    this.timer = setTimeout(() => this.keep(text), rest);
    this.latest = text;
  }

  /** @param {string} text */
  keep(text) {
    clearTimeout(this.timer);
    this.latest = undefined;
    if (text === this.versions[this.at]) return;
    this.versions.push(text);
    if (this.versions.length > most) this.versions.splice(1, 1); // the first is the lesson's
    this.at = this.versions.length - 1;
    this.show();
  }

  /** @param {1|-1} by */
  step(by) {
    if (this.latest !== undefined) this.keep(this.latest);
    const to = this.at + by;
    if (to < 0 || to >= this.versions.length) return;
    this.at = to;
    this.show();
    this.put(this.versions[to]);
  }

  show() {
    this.bar.hidden = this.versions.length < 2;
    this.earlier.setAttribute("aria-disabled", String(this.at === 0));
    this.later.setAttribute("aria-disabled", String(this.at === this.versions.length - 1));
    this.place.textContent = `${this.at + 1} of ${this.versions.length}`;
  }
}

/** @param {string} name @param {() => void} press */
function button(name, press) {
  const b = document.createElement("button");
  b.type = "button";
  b.textContent = name;
  b.addEventListener("click", press);
  return b;
}
