// What is typed into a region goes along when the region is made anew.

export const TYPED = "input:not([type=hidden]):not([type=file]), textarea, select";

// What was typed, ticked or opened by hand, and not sent yet.
export function carry(old, now) {
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
export function nameOf(element, region) {
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

export function find({ how, at }, region) {
  return region.querySelectorAll(how)[at] ?? null;
}
