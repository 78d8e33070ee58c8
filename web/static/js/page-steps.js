// @ts-check
// Undo and redo of a page of blocks: what all blocks were after each step. Typing in one
// block is one step until it rests.

import { same } from "./page-save.js";

const rest = 1500; // ms
const most = 200;

export class Steps {
  /** @param {string[]} blocks @param {() => void} changed told when there is another step to go back or forth to */
  constructor(blocks, changed) {
    this.list = [blocks];
    this.at = 0;
    this.changed = changed;
    this.place = -1; // the block that is typed in; -1 for none
    this.last = 0; // when it was typed in last
  }

  get canUndo() {
    return this.at > 0;
  }

  get canRedo() {
    return this.at + 1 < this.list.length;
  }

  /** Takes in the blocks after a step. @param {string[]} blocks @param {number} [place] of the block that was typed in */
  add(blocks, place = -1) {
    if (same(blocks, this.list[this.at])) return;
    const now = performance.now();
    const goesOn = place >= 0 && place === this.place && now - this.last < rest && !this.canRedo && this.at > 0;
    this.place = place;
    this.last = now;
    if (goesOn) {
      this.list[this.at] = blocks;
      return;
    }
    this.list.splice(this.at + 1);
    this.list.push(blocks);
    if (this.list.length > most) this.list.shift();
    this.at = this.list.length - 1;
    this.changed();
  }

  /** Takes in the blocks as the server has them, which is no step of its own. @param {string[]} blocks */
  settle(blocks) {
    this.list[this.at] = blocks;
  }

  /** @param {1|-1} by @returns {string[]|null} the blocks to go to */
  go(by) {
    if (by < 0 ? !this.canUndo : !this.canRedo) return null;
    this.at += by;
    this.place = -1;
    this.changed();
    return this.list[this.at];
  }
}
