import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { browser, Element, Input, openBrowser } from "./browser.js";
import { addKeys, attachKeys } from "../js/keys.js";

let dialog, on, pressed;
beforeEach(() => {
  openBrowser();
  on = new Input({ type: "checkbox", checked: false });
  dialog = Object.assign(new Element({ ".js-keys-on": on }), { open: false, showModal() { this.open = true; } });
  browser.document.found[".js-keys"] = dialog;
  pressed = [];
  addKeys({
    x: () => pressed.push("x") > 0,
    PageDown: () => pressed.push("PageDown") > 0,
    y: () => false,
  });
  attachKeys({ say: () => pressed.push("again") });
});

/** Presses a key. @returns {boolean} whether a script took it */
function press(key, more = {}, target = new Element()) {
  const event = new Event("keydown", { cancelable: true });
  Object.defineProperties(event, { target: { value: target } });
  Object.assign(event, { key, ctrlKey: false, altKey: false, metaKey: false, isComposing: false, ...more });
  browser.document.dispatchEvent(event);
  return event.defaultPrevented;
}

test("letters act while no field has the caret", () => {
  assert.equal(press("x"), true);
  assert.equal(press("r"), true);
  assert.deepEqual(pressed, ["x", "again"]);
});

test("a key that does nothing here is left to the browser", () => {
  assert.equal(press("y"), false);
  assert.equal(press("q"), false);
});

test("keys of the browser, of a field and of a dialog are left alone", () => {
  for (const more of [{ ctrlKey: true }, { altKey: true }, { metaKey: true }, { isComposing: true }]) assert.equal(press("x", more), false);
  assert.equal(press("x", {}, new Input({ type: "text" })), false);
  const area = Object.assign(new Element(), { matches: (s) => s.includes("textarea") });
  assert.equal(press("x", {}, area), false);
  assert.equal(press("x", {}, new Input({ type: "range" })), true);
  dialog.open = true;
  assert.equal(press("x"), false);
  assert.deepEqual(pressed, ["x"]);
});

test("letters can be switched off for good, other keys stay", () => {
  on.checked = false;
  on.dispatchEvent(new Event("change"));
  assert.equal(press("x"), false);
  assert.equal(press("PageDown"), true);
  assert.equal(browser.storage.getItem("shaftbook:keys"), "off");
  attachKeys({ say() {} });
  assert.equal(on.checked, false, "also on the next page");
});

test("the question mark opens the list with the focus in it", () => {
  const close = new Element();
  dialog.found[".js-keys-close"] = close;
  assert.equal(press("?"), true);
  assert.equal(dialog.open, true);
  assert.equal(browser.document.activeElement, close);
});
