// The bench: a pad of keys for a thumb, and nothing sent twice by a trembling one.
// Without this script the same form works with the keys of the device.

const form = document.querySelector("form.readings");
const pad = document.getElementById("pad");

if (form && pad && matchMedia("(pointer: coarse)").matches) {
  const fields = [...form.querySelectorAll(".field input")];
  const usual = fields.map((field) => field.inputMode);
  let current = null;

  const show = () => {
    if (!current) return;
    const label = form.querySelector(`label[for="${current.id}"]`);
    document.getElementById("echo-name").textContent = label.textContent.trim();
    document.getElementById("echo").textContent = current.value;
  };
  const open = (field) => {
    current = field;
    pad.hidden = false;
    document.body.classList.add("padded");
    show();
    field.scrollIntoView({ block: "start" });
    scrollBy(0, -Math.min(260, innerHeight - pad.offsetHeight - field.offsetHeight - 24));
  };
  const close = () => {
    pad.hidden = true;
    document.body.classList.remove("padded");
  };
  const put = (text, start, end) => {
    const { value } = current;
    current.value = value.slice(0, start) + text + value.slice(end);
    current.setSelectionRange(start + text.length, start + text.length);
    // what keeps typed text across a lost line listens for this
    current.dispatchEvent(new Event("input", { bubbles: true }));
  };

  fields.forEach((field) => {
    field.inputMode = "none";
    field.addEventListener("focus", () => open(field));
    field.addEventListener("input", show);
  });
  // the field keeps the caret, so that each key goes where the last one did
  pad.addEventListener("pointerdown", (event) => {
    if (event.target.closest("[data-key]")) event.preventDefault();
  });
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]")?.dataset.key;
    if (!key || !current) return;
    const { selectionStart: start, selectionEnd: end } = current;
    if (key === "back") put("", start === end ? Math.max(0, start - 1) : start, end);
    else if (key === "next") fields[(fields.indexOf(current) + 1) % fields.length].focus();
    else if (key === "letters") {
      fields.forEach((field, i) => (field.inputMode = usual[i] === "decimal" ? "text" : usual[i]));
      close();
      current.blur();
      current.focus({ preventScroll: true });
      close();
    } else if (current.value.length < current.maxLength) put(key, start, end);
  });
  document.addEventListener("pointerdown", (event) => {
    if (!pad.hidden && !event.target.closest(".field, .pad, .doubt")) close();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && !pad.hidden) close();
  });
  // without a connection a reading is kept and the field is free: the pad would hide those words
  form.addEventListener("reset", () => {
    close();
    current?.blur();
  });
}

// A reading that is refused is asked about on the sheet itself, beside where the tool goes.
document.addEventListener("refused", (event) => {
  const { address, page, fields } = event.detail;
  if (page !== location.pathname || !address.endsWith("/readings")) return;
  event.preventDefault();
  const again = document.createElement("form");
  again.method = "post";
  again.action = address;
  again.hidden = true;
  for (const [name, value] of [["token", document.body.dataset.token], ...fields]) {
    const field = document.createElement("input");
    field.name = name;
    field.value = value;
    again.append(field);
  }
  document.body.append(again);
  HTMLFormElement.prototype.submit.call(again); // asks nobody else on its way
});

// What is asked back stands below the picture: a thumb that just wrote it down has to see it.
const doubt = form?.querySelector(".doubt");
if (doubt) {
  doubt.tabIndex = -1;
  doubt.focus({ preventScroll: true });
  doubt.closest(".ask-for").scrollIntoView({ block: "start" });
}

// What came of a reading is read out, and the keyboard goes on from there.
if (new URLSearchParams(location.search).has("after") && document.querySelector("#came-out section")) {
  const place = document.getElementById("came-out");
  place.tabIndex = -1;
  place.focus({ preventScroll: true });
  place.scrollIntoView({ block: "nearest" });
}
