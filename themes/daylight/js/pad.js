// A number pad for gloved hands; it types into the field that it was opened for, as a keyboard would.
"use strict";
const pad = (() => {
  const KEYS = ["7", "8", "9", "⌫", "4", "5", "6", "−", "1", "2", "3", "OL", "0", ".", "C", "Next"];
  const spoken = () => ({
    "⌫": say("Delete the last digit"),
    "−": say("Minus"),
    OL: say("Over limit"),
    ".": say("Decimal point"),
    C: say("Clear"),
    Next: say("Next field or close"),
  });
  let field = null;
  let box = null;

  function make(node) {
    box = node;
    const names = spoken();
    for (const key of KEYS) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = key === "Next" ? say("Next") : key === "." ? say.mark() : key;
      if (names[key]) button.setAttribute("aria-label", names[key]);
      button.addEventListener("click", () => press(key));
      box.append(button);
    }
    // A key must not take the focus from the field.
    box.addEventListener("pointerdown", (event) => event.preventDefault());
  }

  const coarse = () => matchMedia("(pointer: coarse)").matches;

  function open(input) {
    field = input;
    box.hidden = false;
    document.body.classList.add("padding");
    input.scrollIntoView({ block: document.body.classList.contains("list") ? "center" : "nearest" });
  }

  function close() {
    field = null;
    if (box) box.hidden = true;
    document.body.classList.remove("padding");
  }

  function press(key) {
    if (!field) return close();
    if (key === "Next") return next();
    const text = field.value;
    if (key === "⌫") field.value = text === "OL" ? "" : text.slice(0, -1);
    else if (key === "C") field.value = "";
    else if (key === "OL") field.value = "OL";
    else if (key === "−") field.value = text.startsWith("-") ? text.slice(1) : `-${text}`;
    else field.value = (text === "OL" ? "" : text) + key;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function next() {
    const all = [...document.querySelectorAll(".step.current .reading input[inputmode]")];
    const following = all[all.indexOf(field) + 1];
    if (!following) return close();
    if (following.name.startsWith("read-")) view.toBlank(following.name);
    else following.focus();
    open(following);
  }

  return Object.freeze({ make, open, close, coarse });
})();
