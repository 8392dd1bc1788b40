// All that is not the next step: can't do this, the way back, notes, photos, files, other machines, the look.
"use strict";
const menu = (() => {
  const { it } = desk;
  const el = (...given) => panel.el(...given);
  const button = (...given) => panel.button(...given);
  const field = (...given) => panel.field(...given);
  const said = (name) => panel.said(name);
  const REASONS = ["It is not as written", "I can't reach it", "A part or tool is missing", "I am not sure that it is safe", "Something else"];
  const LOOKS = [["", "as the device"], ["light", "light"], ["dark", "dark"], ["sunlight", "bright sun"]];

  function open() {
    const begun = Boolean(it.state.begun);
    const choice = (words, act) => button(words, act, "choice");
    panel.show("Menu", (close) => [
      begun ? choice("Go back a step", () => (close(), back())) : null,
      begun ? choice("Add a note", () => (close(), note())) : null,
      begun ? choice("Add a photo", () => (close(), photo())) : null,
      begun ? choice(document.body.classList.contains("list") ? "One step at a time" : "Show the whole list", () => (close(), view.toggleList())) : null,
      begun ? choice("Save the record as a file", () => (close(), save())) : null,
      choice("Load a record from a file", () => (close(), load())),
      begun && !it.state.ended ? choice("Somebody else takes over", () => (close(), person())) : null,
      begun ? choice("Another machine", () => (close(), others())) : null,
      ...LOOKS.map(([key, words]) => choice(`Look: ${words}`, () => (close(), view.look(key)))),
      choice("Close the menu", close),
    ].filter(Boolean));
  }

  function back() {
    const found = ledger.undoable(it.state, it.way);
    if (found.why) return panel.show("No way back", (close) => [el("p", {}, found.why), button("Close", close, "choice")]);
    const { visit, step } = found;
    const values = visit.found ? visit.found.entries.map((entry) => `${entry.text} ${entry.unit}`).join(", ") : "";
    const way = step.ways[visit.way];
    panel.show(`Back to step ${step.number}`, (close) => [
      el("p", {}, step.command),
      el("p", {}, "This undoes in the record, where it stays as undone:"),
      el("ul", {}, values ? el("li", {}, `the reading ${values}`) : null, way.label ? el("li", {}, `the answer “${way.label}”`) : null,
        el("li", {}, `that step ${step.number} was done at ${clock.hour(visit.to)}`)),
      step.opens.length || step.closes.length || step.near !== "senses" ? el("p", {}, el("b", {}, "The machine itself stays as it is.")) : null,
      button(`Go back to step ${step.number}`, () => (close(), desk.happen("back", {}) && view.arrive()), "choice"),
      button("Stay here", close, "choice"),
    ].filter(Boolean));
  }

  function cant() {
    panel.show("Can't do this, or not as written", (close) => [
      el("fieldset", { class: "ways" }, el("legend", {}, "Why?"), REASONS.map((reason) =>
        el("label", { class: "way" }, el("input", { type: "radio", name: "reason", value: reason }), el("span", {}, reason)))),
      field("In your words", "reason-text"),
      button("Add a photo", photo, "choice"),
      button("Stop here", () => {
        const picked = document.querySelector("#panel [name=reason]:checked");
        if (!picked) return panel.fault("Say why first.");
        if (picked.value === "Something else" && !said("reason-text")) return panel.fault("Say in your words why.");
        const text = said("reason-text");
        close();
        stop(picked.value, text);
      }, "choice"),
      button("Go on with the step", close, "choice"),
    ]);
  }

  const stop = (reason, text) => desk.happen("stop", { reason, text: text || "" }) && view.arrive();

  function asked() {
    panel.show("Asked", (close) => [
      field("Who answered?", "asked-who"), field("What did they say?", "asked-text"),
      button("Do the step again", () => {
        if (!said("asked-who") || !said("asked-text")) return panel.fault("Write who answered, and what, first.");
        const facts = { who: said("asked-who"), text: said("asked-text") };
        close();
        if (desk.happen("asked", facts)) view.arrive();
      }, "choice"),
      button("Close", close, "choice"),
    ]);
  }

  function note() {
    panel.show("Note", (close) => [
      field("Note", "note-text"),
      button("Keep the note", () => {
        if (!said("note-text")) return panel.fault("Write something first.");
        const text = said("note-text");
        close();
        desk.happen("note", { text });
      }, "choice"),
      button("Close", close, "choice"),
    ]);
  }

  async function photo() {
    const file = await files.choose("image/*", true);
    try {
      await desk.photo(await files.small(file));
      if (document.getElementById("panel").open) panel.fault("The photo is kept.");
    } catch {
      view.refuse(`${file.name} is no picture that this browser can read: nothing was kept.`);
    }
  }

  function person() {
    panel.show("Somebody else takes over", (close) => [
      field("Name", "new-who"),
      button("Take over", () => {
        if (!said("new-who")) return panel.fault("Write the name first.");
        const who = said("new-who");
        close();
        desk.happen("person", { who });
      }, "choice"),
      button("Close", close, "choice"),
    ]);
  }

  function save() {
    const { serial } = it.state.begun;
    files.save(`${serial}_${it.card.id}_${it.card.revision}_${it.state.last.slice(0, 10)}.json`, JSON.stringify(desk.made(), null, 1));
  }

  async function load() {
    const file = await files.choose(".json,application/json");
    const found = record.read(await file.text(), it.card);
    if (found.fault) return view.refuse(found.fault);
    const known = (await store.jobs()).find((about) => about.job === found.record.job);
    if (known && known.n > found.record.events.length) {
      return view.refuse("This device already holds more of this job than the file does. Nothing was changed.");
    }
    await desk.restore(found.record);
    start.remember();
    view.arrive();
  }

  async function others() {
    desk.leave();
    start.remember();
    await start.draw();
    scrollTo(0, 0);
  }

  function print() {
    document.body.classList.add("record-only");
    addEventListener("afterprint", () => document.body.classList.remove("record-only"), { once: true });
    globalThis.print();
  }

  function meter(step) {
    const { reading } = step;
    const n = step.number;
    const others = Object.entries(reading.meters || {});
    panel.show("Another meter", (close) => [
      el("p", {}, others.length ? "Only a meter that the shop lists for this limit brings a band of its own." : "The card knows no other meter for this limit: stop and ask, or use the one it names."),
      ...others.map(([key, other]) => button(`${other.name}${other.sentence ? `: ${other.sentence}` : ""}`, () => (close(), desk.happen("set", { name: `meter-${n}`, value: key })), "choice")),
      field("Number of the meter used", "meter-number", { value: it.state.values[`meterno-${n}`] || "" }),
      button("Keep the number", () => {
        const value = said("meter-number");
        close();
        desk.happen("set", { name: `meterno-${n}`, value });
      }, "choice"),
      button("Close", close, "choice"),
    ]);
  }

  return Object.freeze({ open, back, cant, stop, asked, save, load, others, print, meter });
})();
