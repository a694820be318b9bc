// Regions that change when the build does. Where somebody types, a region waits until it is
// left; what was typed elsewhere in it goes along into its new form.

import { TYPED, carry, find, nameOf } from "./_fields.js";

let isWaiting = false;

// A finger takes a tenth of a second to press: what is put in another's place meanwhile would
// lose the click. `released` is done once nothing is pressed and its click has been sent.
let pressed = Promise.resolve();
let letGo = () => {};
document.addEventListener("pointerdown", () => {
  letGo();
  pressed = new Promise((done) => (letGo = done));
}, true);
for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => setTimeout(letGo), true);
}
export const released = () => pressed;

export function putInPlace(fresh, which) {
  for (const old of document.querySelectorAll(which)) {
    const now = fresh.getElementById(old.id);
    if (!now || now.isEqualNode(old)) continue;
    const focused = document.activeElement;
    const isInside = old.contains(focused);
    if (isInside && focused.matches(`${TYPED}, [contenteditable]`)) {
      isWaiting = true;
      continue;
    }
    const again = isInside ? nameOf(focused, old) : null;
    carry(old, now);
    old.replaceWith(now);
    if (again) find(again, now)?.focus({ preventScroll: true });
  }
}

export function whenLeft(refresh) {
  document.addEventListener("focusout", () => {
    if (!isWaiting) return;
    setTimeout(() => {
      if (document.activeElement?.matches(TYPED)) return;
      isWaiting = false;
      refresh();
    }, 150); // longer than it takes to press the button beside the field
  });
}
