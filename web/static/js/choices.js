// @ts-check
// Completion of names, units, words and Greek letters. The list opens after
// two letters (one after a number, where a unit stands); the arrow keys choose,
// Enter takes the chosen one, Escape closes the list. Without a choice Enter
// and Tab do what they always do.

/**
 * @typedef {{text: string, means: string}} Word
 * @typedef {{units: Word[], words: Word[], greek: Word[]}} Words  mirrors page.Words
 */

/** @type {Promise<Words>|null} */
let loading = null;
let count = 0;

/** @param {string} url @returns {Promise<Words>} */
function load(url) {
  loading ??= fetch(url).then((answer) => answer.json());
  return loading;
}

export class Choices {
  /**
   * @param {import("./editor.js").Editor} editor
   * @param {string} url where the words are
   * @param {() => string[]} names the names defined in the lesson
   */
  constructor(editor, url, names) {
    this.editor = editor;
    this.url = url;
    this.names = names;
    this.list = document.createElement("ul");
    this.list.className = "choices";
    this.list.id = `choices-${++count}`;
    this.list.setAttribute("role", "listbox");
    this.list.setAttribute("aria-label", "Suggestions");
    this.list.hidden = true;
    editor.root.append(this.list);
    const area = editor.area;
    area.setAttribute("aria-autocomplete", "list");
    area.setAttribute("aria-controls", this.list.id);
    /** @type {Word[]} */
    this.found = [];
    this.active = -1;
    this.start = 0;
  }

  async update() {
    const { area } = this.editor;
    const caret = area.selectionStart;
    if (caret !== area.selectionEnd) return this.close();
    const before = area.value.slice(0, caret);
    const piece = /(\d[^\S\n]*)?([\p{L}_µ°%][\p{L}\d_]*)$/u.exec(before);
    if (!piece) return this.close();
    const typed = piece[2];
    const afterNumber = piece[1] !== undefined || /[\d)][^\S\n]*[\p{L}·/⁰-⁹]*[·/]$/u.test(before.slice(0, -typed.length));
    if (!afterNumber && typed.length < 2) return this.close();
    const words = await load(this.url);
    if (area.selectionStart !== caret) return; // typed on while the words came
    this.start = caret - typed.length;
    this.found = matches(typed, afterNumber, words, this.names());
    if (this.found.length === 0) return this.close();
    this.show();
  }

  show() {
    this.active = -1;
    this.list.replaceChildren(
      ...this.found.map((word, i) => {
        const item = document.createElement("li");
        item.id = `${this.list.id}-${i}`;
        item.setAttribute("role", "option");
        item.setAttribute("aria-selected", "false");
        const text = document.createElement("b");
        text.textContent = word.text;
        const means = document.createElement("span");
        means.textContent = word.means;
        item.append(text, means);
        item.addEventListener("pointerdown", (event) => {
          event.preventDefault();
          this.take(i);
        });
        return item;
      }),
    );
    this.list.scrollLeft = 0;
    this.list.hidden = false;
  }

  /** @param {KeyboardEvent} event @returns {boolean} whether the key was ours */
  key(event) {
    if (this.list.hidden) return false;
    switch (event.key) {
      case "ArrowDown":
      case "ArrowUp": {
        const n = this.found.length;
        const step = event.key === "ArrowDown" ? 1 : -1;
        this.choose(this.active < 0 ? (step > 0 ? 0 : n - 1) : (this.active + step + n) % n);
        break;
      }
      case "Enter":
        if (this.active < 0) {
          this.close();
          return false;
        }
        this.take(this.active);
        break;
      case "Escape":
        this.close();
        break;
      default:
        return false;
    }
    event.preventDefault();
    return true;
  }

  /** @param {number} i */
  choose(i) {
    this.list.children[this.active]?.setAttribute("aria-selected", "false");
    this.active = i;
    const item = this.list.children[i];
    item.setAttribute("aria-selected", "true");
    item.scrollIntoView({ block: "nearest" });
    this.editor.area.setAttribute("aria-activedescendant", item.id);
  }

  /** @param {number} i */
  take(i) {
    const { area } = this.editor;
    const word = this.found[i];
    this.close();
    this.editor.insert(word.text, this.start, area.selectionStart);
    this.close();
  }

  close() {
    this.list.hidden = true;
    this.active = -1;
    this.editor.area.removeAttribute("aria-activedescendant");
  }
}

/**
 * @param {string} typed @param {boolean} afterNumber @param {Words} words @param {string[]} names
 * @returns {Word[]}
 */
function matches(typed, afterNumber, words, names) {
  // 48 mm is finished; after 5 N or 3 k more may come.
  if (afterNumber && typed.length > 1 && words.units.some((w) => w.text === typed)) return [];
  if (afterNumber) return words.units.filter((w) => w.text.startsWith(typed) && w.text !== typed).slice(0, 8);
  const low = typed.toLowerCase();
  /** @type {Word[]} */
  const own = names.map((text) => ({ text, means: "in this lesson" }));
  const greek = words.greek.filter((w) => w.means.toLowerCase().startsWith(low) && (typed[0] === w.means[0]));
  return [...greek, ...[...own, ...words.words].filter((w) => w.text.toLowerCase().startsWith(low) && w.text !== typed)].slice(0, 8);
}
