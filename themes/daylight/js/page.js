// The page: listens to hands, keys and clocks, and hands on what they do.
"use strict";
document.addEventListener("DOMContentLoaded", async () => {
  const at = (id) => document.getElementById(id);
  const card = JSON.parse(at("card").textContent);
  let rung = "";

  desk.ready(card, (what) => {
    if (what === "saved") return view.saved();
    view.show();
    if (what !== "break") return;
    view.arrive();
    view.refuse(say("A break of {length}: prove zero again before hands come near.", { length: clock.spell(desk.it.state.pauses.at(-1).seconds) }));
  });

  // A choice of units where a reading may be entered in several.
  for (const step of card.steps.filter((each) => each.reading && each.reading.units.length > 1)) {
    for (const place of document.querySelectorAll(`#step-${step.number} .reading .unit:not(.fixed)`)) {
      const options = step.reading.units.map(([symbol]) => panel.el("option", { value: symbol }, symbol));
      place.replaceWith(panel.el("select", { class: "unit", name: `unit-${step.number}`, "data-own": step.reading.unit, "aria-label": say("Unit") }, options));
    }
  }

  function changed(field) {
    if (field.closest("#start") || field.name.startsWith("need-")) return start.draft();
    if (field.closest("#panel")) return draft(field);
    const value = field.type === "checkbox" ? field.checked : field.value;
    view.refuse("");
    desk.happen("set", { name: field.name, value });
    if (field.tagName === "SELECT") view.show();
  }

  // What somebody writes in a panel is kept before they are done with it.
  function draft(field) {
    if (field.type === "text" && desk.it.state.begun && !desk.it.state.ended) desk.happen("set", { name: `draft-${field.name}`, value: field.value });
  }

  // A finger that bounces must not take two steps at once.
  const BOUNCE = 400;
  let tapped = -BOUNCE;
  function bounced(event) {
    const soon = event.pointerType === "touch" && event.timeStamp - tapped < BOUNCE;
    tapped = event.timeStamp;
    return soon || event.detail > 1;
  }

  function onward() {
    if (desk.it.state.begun && desk.rest()) return;
    view.refuse("");
    const { lacks, run } = act.plan();
    if (lacks) return view.refuse(lacks);
    run();
  }

  document.addEventListener("input", (event) => event.target.type === "text" && changed(event.target));
  document.addEventListener("change", (event) => event.target.name && event.target.type !== "text" && changed(event.target));
  document.addEventListener("submit", (event) => event.preventDefault());
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && !event.repeat && event.target.type === "text" && !event.target.closest("#panel")) onward();
  });
  document.addEventListener("focusin", (event) => {
    const field = event.target.matches(".step.current .reading input") ? event.target : null;
    if (field && field.name.startsWith("read-")) view.choose(field.name);
    if (field && pad.coarse()) {
      field.inputMode = "none";
      pad.open(field);
    } else if (!event.target.closest("#pad")) pad.close();
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest("#work a[href^='#'], .finding a[href^='#']");
    if (link && !document.body.classList.contains("list")) event.preventDefault();
    const again = event.target.closest(".step.current .word");
    if (again) unfold(again);
  });
  document.addEventListener("keydown", (event) => {
    if ((event.key === "Enter" || event.key === " ") && event.target.matches(".step.current .word")) {
      event.preventDefault();
      unfold(event.target);
    }
  });
  at("onward").addEventListener("click", (event) => bounced(event) || onward());
  at("cant").addEventListener("click", menu.cant);
  at("menu").addEventListener("click", menu.open);
  at("load").addEventListener("click", menu.load);
  addEventListener("storage", (event) => desk.overheard(event.key));
  const back = () => desk.it.state.begun && (desk.catchUp(), desk.rest());
  addEventListener("pageshow", back);
  addEventListener("pagehide", desk.flush);
  document.addEventListener("visibilitychange", () => (document.hidden ? desk.flush() : back()));
  setInterval(() => {
    const step = view.current() && desk.it.way.step(view.current());
    const from = step && step.wait && desk.it.state.waits[step.number];
    if (!from) return;
    view.onward();
    if (clock.left(from, step.wait) === 0 && rung !== from) {
      rung = from;
      clock.ring();
    }
  }, 500);

  function unfold(word) {
    word.setAttribute("aria-expanded", word.parentElement.classList.toggle("shown"));
  }

  pad.make(at("pad"));
  // Jobs that are kept here come before all else.
  document.querySelector("main").prepend(at("jobs"));
  document.querySelector(".load").hidden = false;
  document.body.classList.add("live");
  view.lastLook();
  await store.open();
  await start.open();
  view.show();
  document.body.dataset.ready = "yes";
});
