// All that is not the next step: can't do this, the way back, notes, photos, files, other machines, the look.
"use strict";
const menu = (() => {
  const { it } = desk;
  const el = (...given) => panel.el(...given);
  const button = (...given) => panel.button(...given);
  const field = (...given) => panel.field(...given);
  const said = (name) => panel.said(name);
  // By what stands in the record, whatever the language of the page.
  const reasons = () => ({
    "It is not as written": say("It is not as written"),
    "I can't reach it": say("I can't reach it"),
    "A part or tool is missing": say("A part or tool is missing"),
    "I am not sure that it is safe": say("I am not sure that it is safe"),
    "Something else": say("Something else"),
  });
  const looks = () => [["", say("Look: as the device")], ["light", say("Look: light")], ["dark", say("Look: dark")], ["sunlight", say("Look: bright sun")]];

  function open() {
    const begun = Boolean(it.state.begun);
    const choice = (words, act) => button(words, act, "choice");
    panel.show(say("Menu"), (close) => [
      begun ? choice(say("Go back a step"), () => (close(), back())) : null,
      begun ? choice(say("Add a note"), () => (close(), note())) : null,
      begun ? choice(say("Add a photo"), () => (close(), photo())) : null,
      begun ? choice(document.body.classList.contains("list") ? say("One step at a time") : say("Show the whole list"), () => (close(), view.toggleList())) : null,
      begun ? choice(say("Save the record as a file"), () => (close(), save())) : null,
      choice(say("Load a record from a file"), () => (close(), load())),
      begun && !it.state.ended ? choice(say("Somebody else takes over"), () => (close(), person())) : null,
      begun ? choice(say("Another machine"), () => (close(), others())) : null,
      ...looks().map(([key, words]) => choice(words, () => (close(), view.look(key)))),
      choice(say("Close the menu"), close),
    ].filter(Boolean));
  }

  function back() {
    const found = ledger.undoable(it.state, it.way);
    if (found.why) return panel.show(say("No way back"), (close) => [el("p", {}, found.why), button(say("Close"), close, "choice")]);
    const { visit, step } = found;
    const values = visit.found ? visit.found.entries.map((entry) => `${entry.text} ${entry.unit}`).join(", ") : "";
    const way = step.ways[visit.way];
    panel.show(say("Back to step {number}", step), (close) => [
      el("p", {}, step.command),
      el("p", {}, say("This undoes in the record, where it stays as undone:")),
      el("ul", {}, values ? el("li", {}, say("the reading {values}", { values })) : null, way.label ? el("li", {}, say("the answer “{label}”", way)) : null,
        el("li", {}, say("that step {number} was done at {time}", { number: step.number, time: clock.hour(visit.to) }))),
      step.opens.length || step.closes.length || step.near !== "senses" ? el("p", {}, el("b", {}, say("The machine itself stays as it is."))) : null,
      button(say("Go back to step {number}", step), () => (close(), desk.happen("back", {}) && view.arrive()), "choice"),
      button(say("Stay here"), close, "choice"),
    ].filter(Boolean));
  }

  function cant() {
    panel.show(say("Can't do this, or not as written"), (close) => [
      el("fieldset", { class: "ways" }, el("legend", {}, say("Why?")), Object.entries(reasons()).map(([reason, words]) =>
        el("label", { class: "way" }, el("input", { type: "radio", name: "reason", value: reason }), el("span", {}, words)))),
      field(say("In your words"), "reason-text"),
      button(say("Add a photo"), photo, "choice"),
      button(say("Stop here"), () => {
        const picked = document.querySelector("#panel [name=reason]:checked");
        if (!picked) return panel.fault(say("Say why first."));
        if (picked.value === "Something else" && !said("reason-text")) return panel.fault(say("Say in your words why."));
        const text = said("reason-text");
        close();
        stop(picked.value, text);
      }, "choice"),
      button(say("Go on with the step"), close, "choice"),
    ]);
  }

  const stop = (reason, text) => desk.happen("stop", { reason, text: text || "" }) && view.arrive();

  function asked() {
    panel.show(say("Asked"), (close) => [
      field(say("Who answered?"), "asked-who"), field(say("What did they say?"), "asked-text"),
      button(say("Do the step again"), () => {
        if (!said("asked-who") || !said("asked-text")) return panel.fault(say("Write who answered, and what, first."));
        const facts = { who: said("asked-who"), text: said("asked-text") };
        close();
        if (desk.happen("asked", facts)) view.arrive();
      }, "choice"),
      button(say("Close"), close, "choice"),
    ]);
  }

  function note() {
    panel.show(say("Note"), (close) => [
      field(say("Note"), "note-text"),
      button(say("Keep the note"), () => {
        if (!said("note-text")) return panel.fault(say("Write something first."));
        const text = said("note-text");
        close();
        desk.happen("note", { text });
      }, "choice"),
      button(say("Close"), close, "choice"),
    ]);
  }

  async function photo() {
    const file = await files.choose("image/*", true);
    try {
      await desk.photo(await files.small(file));
      tick();
      if (document.getElementById("panel").open) panel.fault(say("The photo is kept."));
    } catch {
      view.refuse(say("{name} is no picture that this browser can read: nothing was kept.", { name: file.name }));
    }
  }

  // The step's first blank that wants a photo and has none.
  function tick() {
    const step = view.current() && it.way.step(view.current());
    const key = step && step.photo.find((each) => !it.state.values[`entry-${step.number}-${each}`]);
    if (key) desk.happen("set", { name: `entry-${step.number}-${key}`, value: true });
  }

  function person() {
    const locks = ledger.locks(it.state, it.way);
    panel.show(say("Somebody else takes over"), (close) => [
      // 29 CFR 1910.147(f)(4): protection goes on without a gap when shifts change.
      locks.length ? el("p", {}, el("b", {}, say("Put your own lock and tag on before the others come off: {names}. Then prove zero yourself before hands come near.", { names: locks.join(", ") }))) : null,
      field(say("Name"), "new-who"),
      button(say("Take over"), () => {
        if (!said("new-who")) return panel.fault(say("Write the name first."));
        const who = said("new-who");
        close();
        if (desk.happen("person", { who })) view.arrive();
      }, "choice"),
      button(say("Close"), close, "choice"),
    ].filter(Boolean));
  }

  function save() {
    const { serial } = it.state.begun;
    files.save(`${serial}_${it.card.id}_${it.card.revision}_${it.state.last.slice(0, 10)}.json`, JSON.stringify(desk.made(), null, 1));
  }

  async function load() {
    const file = await files.choose(".json,application/json");
    const found = record.read(await file.text(), it.card);
    if (found.fault) return view.refuse(found.fault);
    const own = (await store.load(found.record.job)).events;
    const theirs = new Map(found.record.events.map((event) => [event.n, JSON.stringify(event)]));
    if (own.some((event) => theirs.has(event.n) && theirs.get(event.n) !== JSON.stringify(event))) {
      return view.refuse(say("This job went another way on this device than in the file. Nothing was changed."));
    }
    if (own.length > theirs.size) {
      return view.refuse(say("This device already holds more of this job than the file does. Nothing was changed."));
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
    panel.show(say("Another meter"), (close) => [
      el("p", {}, others.length ? say("Only a meter that the shop lists for this limit brings a band of its own.") : say("The card knows no other meter for this limit: stop and ask, or use the one it names.")),
      ...others.map(([key, other]) => button(`${other.name}${other.sentence ? `: ${other.sentence}` : ""}`, () => (close(), desk.happen("set", { name: `meter-${n}`, value: key })), "choice")),
      field(say("Number of the meter used"), "meter-number", { value: job.meterOf(it.state, step).number }),
      field(say("Calibration good until, by its label"), "meter-due", { value: job.meterOf(it.state, step).due, placeholder: clock.today() }),
      button(say("Keep number and date"), () => {
        const [number, due] = [said("meter-number"), said("meter-due")];
        if (due && (!/^\d{4}-\d\d-\d\d$/.test(due) || Number.isNaN(Date.parse(due)))) return panel.fault(say("Write the date as year, month, day, like {date}.", { date: clock.today() }));
        close();
        desk.happen("set", { name: `meterno-${n}`, value: number });
        desk.happen("set", { name: `due-${n}`, value: due });
      }, "choice"),
      button(say("Close"), close, "choice"),
    ]);
  }

  return Object.freeze({ open, back, cant, stop, asked, save, load, others, print, meter });
})();
