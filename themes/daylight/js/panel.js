// Panels over the page, one at a time: built of text, never of markup.
"use strict";
const panel = (() => {
  // A node with attributes and children; functions listen, text stays text.
  function el(tag, attributes, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (typeof value === "function") node.addEventListener(name, value);
      else if (value === true) node.setAttribute(name, "");
      else if (value !== false && value !== undefined) node.setAttribute(name, value);
    }
    node.append(...children.flat().filter((child) => child !== null && child !== undefined));
    return node;
  }

  // New children for a box, unless it already holds these: a box that is made anew loses the focus of whoever is in it.
  function refill(box, key, make) {
    if (box.dataset.holds === key) return;
    box.dataset.holds = key;
    box.replaceChildren(...make());
  }

  const button = (words, act, kind) => el("button", { type: "button", class: kind || "", click: act }, words);

  // Shows the panel; `build` returns its nodes and gets a function that closes it.
  function show(title, build) {
    const box = document.getElementById("panel");
    const close = () => box.open && box.close();
    close();
    box.replaceChildren(el("h2", { id: "panel-title", tabindex: "-1" }, title), ...build(close).flat());
    box.showModal();
    box.scrollTop = 0;
    document.getElementById("panel-title").focus();
  }

  const field = (words, name, attributes) =>
    el("label", { class: "entry" }, words, el("input", { type: "text", name, maxlength: "200", value: desk.it.state.values[`draft-${name}`], ...attributes }));
  const said = (name) => (document.querySelector(`#panel [name="${name}"]`) || { value: "" }).value.trim();
  const fault = (words) => {
    const line = document.querySelector("#panel .refusal") || document.getElementById("panel").appendChild(el("p", { class: "refusal", role: "alert" }));
    line.textContent = words;
  };

  return Object.freeze({ el, refill, button, show, field, said, fault });
})();
