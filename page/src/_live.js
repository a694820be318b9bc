// Regions that change when the build does. Where somebody types, a region waits until it is
// left; what was typed elsewhere in it goes along into its new form.

const TYPED = "input:not([type=hidden]):not([type=file]), textarea, select";
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

// What was typed, ticked or opened by hand, and not sent yet.
function carry(old, now) {
  for (const field of old.querySelectorAll(TYPED)) {
    const isTicked = field.type === "checkbox" || field.type === "radio";
    const isChanged = isTicked ? field.checked !== field.defaultChecked
      : field.tagName === "SELECT" ? [...field.options].some((o) => o.selected !== o.defaultSelected)
      : field.value !== field.defaultValue;
    const same = isChanged && find(nameOf(field, old), now);
    if (!same) continue;
    if (isTicked) same.checked = field.checked;
    else same.value = field.value;
  }
  for (const opened of old.querySelectorAll("details[id]")) {
    const same = now.querySelector(`#${CSS.escape(opened.id)}`);
    if (same) same.open = opened.open;
  }
}

// How an element is found again in the same region made anew.
function nameOf(element, region) {
  if (element.id) return { how: `#${CSS.escape(element.id)}`, at: 0 };
  const form = element.form?.getAttribute("action");
  const tag = element.tagName.toLowerCase();
  const name = element.getAttribute("name");
  const href = element.getAttribute("href");
  let how = tag;
  if (name) how += `[name="${CSS.escape(name)}"]`;
  if (href) how += `[href="${CSS.escape(href)}"]`;
  if (form) how = `form[action="${CSS.escape(form)}"] ${how}`;
  return { how, at: [...region.querySelectorAll(how)].indexOf(element) };
}

function find({ how, at }, region) {
  return region.querySelectorAll(how)[at] ?? null;
}
