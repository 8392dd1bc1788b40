// What hands do at a checklist, in one go. A touch that no finger could make is an error, as the page would not feel it.
([deed, ...given]) => {
  const one = (selector) => document.querySelector(selector);
  const shown = (node) => Boolean(node) && node.getBoundingClientRect().height > 0 && node.checkVisibility({ visibilityProperty: true });

  // Whether the middle of the node lies in the window and under nothing else.
  function free(node) {
    const box = node.getBoundingClientRect();
    const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    return Boolean(top) && (node === top || node.contains(top) || (top.closest("label") || {}).control === node);
  }

  function usable(node, what) {
    if (!shown(node)) throw new Error(`${what} does not show`);
    if (node.disabled) throw new Error(`${what} can't be used now`);
  }

  function touch(node, what) {
    usable(node, what);
    for (const block of ["", "nearest", "center", "start", "end"]) {
      if (block) node.scrollIntoView({ block, behavior: "instant" });
      if (free(node)) return node.click();
    }
    throw new Error(`something lies over ${what}`);
  }

  function write(node, text, what) {
    usable(node, what);
    node.focus();
    if (document.activeElement !== node) throw new Error(`${what} takes no keys`);
    node.value = text;
    node.dispatchEvent(new InputEvent("input", { bubbles: true }));
  }

  const hands = {
    async on(times) {
      for (let turn = 0; turn < times; turn += 1) await touch(one("#onward"), "the main button");
    },
    begin(serial, who) {
      for (const box of document.querySelectorAll("main > .about .require input")) if (!box.checked) touch(box, box.name);
      write(one("[name=serial]"), serial, "the serial number");
      write(one("[name=who]"), who, "the name");
      touch(one("#onward"), "the main button");
    },
    fill: (selector, text) => write(one(selector), text, selector),
    read(values) {
      const step = one(".step.current");
      const fields = [...step.querySelectorAll("[name^=read-]")];
      values.forEach((value, place) => {
        if (!shown(fields[place])) {
          const here = fields.findIndex(shown);
          touch(step.querySelectorAll(".other-blanks button")[place - (place > here)], `the button of reading ${place + 1}`);
        }
        write(fields[place], value, `reading ${place + 1}`);
      });
    },
    answer(place) {
      const box = document.querySelectorAll(".step.current .way:not([hidden]) input")[place];
      if (!box.checked) touch(box, `answer ${place + 1}`);
      touch(one("#onward"), "the main button");
    },
    menu(words) {
      touch(one("#menu"), "the menu");
      touch([...document.querySelectorAll("#panel button")].find((each) => each.textContent.includes(words)), words);
    },
  };
  return hands[deed](...given);
}
