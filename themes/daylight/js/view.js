// Draws the state: which step shows, what its fields hold, what the reading says, what is locked, what comes next.
"use strict";
const view = (() => {
  const { it } = desk;
  const at = (id) => document.getElementById(id);
  const box = (step) => at(`step-${step.number}`);
  const LOOK = "benchleaf-look";
  let drawn = "";

  const current = () => (it.state.at && it.state.at.kind === "step" ? it.state.at.step : 0);

  function show() {
    const begun = Boolean(it.state.begun);
    document.body.classList.toggle("begun", begun);
    at("start").hidden = begun;
    at("menu").hidden = at("dock").hidden = false;
    at("cant").hidden = !current();
    for (const step of it.card.steps) showStep(step);
    for (const each of document.querySelectorAll(".finding")) mark(each, each.id === `finding-${it.state.at && it.state.at.kind === "finding" ? it.state.at.number : 0}`);
    leaving.draw(at("outcome"));
    showRecord();
    bar();
    onward();
  }

  function mark(node, here) {
    node.classList.toggle("current", here);
    if (here) node.setAttribute("aria-current", "step");
    else node.removeAttribute("aria-current");
  }

  function showStep(step) {
    const n = step.number;
    const here = n === current();
    const node = box(step);
    const visit = job.done(it.state, n);
    const values = here ? it.state.values : (visit && visit.values) || {};
    const read = step.warned && !values[`ack-${n}`] && here;
    mark(node, here);
    node.classList.toggle("done", Boolean(visit));
    node.classList.toggle("unread", read);
    for (const field of node.querySelectorAll("[name]")) fill(field, values, here && !read, n, Boolean(visit));
    if (!here && node.dataset.seen === String(it.state.visits.length) && it.state.begun) return;
    node.dataset.seen = String(it.state.visits.length);
    node.querySelector(".earlier").textContent = earlier(step);
    if (step.reading) showReading(step, node, here, visit);
    showPutBack(step, node, here);
    // At a hold there is time, and somebody else stands by: the moment for a copy that no device can lose.
    const save = node.querySelector(".save-here");
    if (save) panel.refill(save, here ? "here" : "", () => (here ? [panel.button(say("Save the record as a file"), menu.save, "choice")] : []));
    showAdded(step, node);
  }

  function fill(field, values, open, n, done) {
    field.disabled = !open || field.name === `tick-${n}`;
    if (field.name === `tick-${n}`) field.checked = done;
    else if (field.type === "checkbox") field.checked = values[field.name] === true;
    else if (field.type === "radio") field.checked = values[field.name] === field.value;
    else if (field.tagName === "SELECT") field.value = values[field.name] || field.dataset.own;
    else if (field !== document.activeElement || !values[field.name]) field.value = values[field.name] || "";
  }

  function earlier(step) {
    const past = it.state.visits.filter((visit) => visit.step === step.number && visit.found);
    const old = past.filter((visit) => visit.undone || visit !== past.at(-1) || step.number === current());
    return old.length ? say("Before: {values}", { values: old.map((visit) => visit.found.entries.map((each) => `${each.text} ${each.unit}`).join(", ")).join("; ") }) : "";
  }

  function showReading(step, node, here, visit) {
    const found = here ? act.reading(step) : visit && visit.found;
    const line = node.querySelector(".verdict");
    const words = found ? found.fault || found.sentence || found.unknown || "" : "";
    const stop = found && found.side && it.way.wayFor(step.number, found.side) < 0 ? ` ${say("No way is written for this: stop and ask.")}` : "";
    if (line.textContent !== words + stop) line.textContent = words + stop;
    line.className = `verdict ${!found ? "" : found.fault ? "fault" : found.side ? (found.side === "inside" ? "within" : "without") : ""}`;
    node.classList.toggle("undecided", Boolean(found && found.unknown));
    for (const way of node.querySelectorAll(".way")) {
      const index = Number(way.querySelector("input").value);
      way.hidden = !(found && found.unknown) && !it.way.open(step.number).some((each) => each.index === index);
    }
    if (here || !node.querySelector(".meter").hasChildNodes()) showMeter(step, node.querySelector(".meter"));
  }

  function showMeter(step, line) {
    const { reading } = step;
    const key = it.state.values[`meter-${step.number}`] || reading.meter;
    const meter = it.card.meters[key];
    const number = it.state.values[`meterno-${step.number}`];
    const due = meter && meter.due;
    const late = due && due < clock.now().slice(0, 10);
    const own = (reading.meters || {})[key];
    line.classList.toggle("late", Boolean(late));
    const words = [own && own.name !== reading.instrument ? say("Measured with {name}.", own) : "", number ? say("Number {number}.", { number }) : "", late ? say("Its calibration ran out on {due}: take another meter.", { due }) : due ? say("Calibration good until {due}.", { due }) : ""];
    const told = words.filter(Boolean).join(" ");
    panel.refill(line, told || " ", () => [told, ...(reading.instrument ? [" ", panel.button(say("Another meter"), () => menu.meter(step), "small")] : [])]);
  }

  // What was opened or put in place on the way here, to be looked at where the machine is about to run again.
  function putBack(step) {
    return step.role === "check" ? ledger.items(it.state, it.way) : [];
  }

  function showPutBack(step, node, here) {
    const place = node.querySelector(".put-back");
    const items = here ? putBack(step) : [];
    panel.refill(place, JSON.stringify(items), () => [...(items.length ? [panel.el("p", {}, panel.el("b", {}, say("Put back on this way:")))] : []), ...items.map((item, index) => {
      const words = item.closed ? say("{name}: opened or placed at step {step}, put back at step {closed}", item) : say("{name}: opened or placed at step {step}, stays so", item);
      return panel.el("label", { class: "require" }, panel.el("input", { type: "checkbox", name: `back-${step.number}-${index}` }), panel.el("span", {}, words));
    })]);
    for (const box of place.querySelectorAll("input")) box.checked = it.state.values[box.name] === true;
  }

  function showAdded(step, node) {
    const notes = it.state.notes.filter((note) => note.step === step.number);
    const photos = it.state.photos.filter((photo) => photo.step === step.number);
    node.querySelector(".added").replaceChildren(
      ...notes.map((note) => panel.el("p", { class: "note" }, `${clock.hour(note.at)} ${note.who}: ${note.text}`)),
      ...photos.map((photo) => panel.el("img", { alt: say("Photo taken at step {step}, {time}", { step: step.number, time: clock.hour(photo.at) }), src: (it.photos.find((each) => each.id === photo.id) || { data: "" }).data })),
    );
  }

  function bar() {
    const { begun, again, ended } = it.state;
    const where = current() ? say("step {number} of {count}", { number: current(), count: it.way.count }) : desk.where();
    at("bar-job").textContent = begun ? `${begun.serial} · ${where}` : it.card.title;
    const locks = ledger.locks(it.state, it.way);
    const proved = ledger.proved(it.state, it.way);
    const zero = again ? say("Zero is being proved again after a break.") : !locks.length ? "" : proved ? say("Zero proved {time}.", { time: clock.hour(proved).slice(0, 5) }) : say("Zero not proved.");
    at("locks").textContent = !begun || ended ? "" : `${locks.length ? say("Locked: {names}.", { names: locks.join(", ") }) : say("Nothing is locked.")} ${zero}`;
    saved();
  }

  // Says when the job was last kept, or loudly that it is not.
  function saved() {
    const { places, savedAt, unread } = it;
    at("saved").textContent = !it.about ? "" : places ? say("saved at {time}", { time: savedAt ? clock.hour(savedAt) : "…" }) : say("not saved");
    const words = [
      places ? "" : say("NOT SAVED: this browser keeps nothing more. Save the record as a file now (Menu), or write on paper."),
      places === 1 ? say("Kept in one place only: save the record as a file at the next hold (Menu).") : "",
      unread ? say("{count} kept entries can't be read. They stay kept; what shows is all that could be read.", { count: unread }) : "",
    ].filter(Boolean).join(" ");
    at("alarm").hidden = !words;
    at("alarm").classList.toggle("loud", !places);
    if (at("alarm").textContent !== words) at("alarm").textContent = words;
  }

  function onward() {
    const { label, lacks } = act.plan();
    const button = at("onward");
    button.textContent = label;
    button.classList.toggle("lacking", Boolean(lacks));
    const step = current() && it.way.step(current());
    const card = step && box(step).querySelector(".clock");
    if (card) card.textContent = it.state.waits[step.number] ? say("{time} left", { time: clock.spell(clock.left(it.state.waits[step.number], step.wait)) }) : "";
  }

  function showRecord() {
    const place = at("record");
    place.hidden = !it.state.ended;
    if (it.state.ended) place.replaceChildren(...recordPage.draw(desk.made(), it.card));
  }

  // The new place in sight and in focus; a screen reader reads it.
  function arrive() {
    refuse("");
    pad.close();
    const node = document.querySelector(".step.current, .finding.current") || (at("outcome").hidden ? null : at("outcome"));
    if (!node) return;
    node.tabIndex = -1;
    node.focus({ preventScroll: true });
    if (document.body.classList.contains("list")) node.scrollIntoView({ block: "start" });
    else scrollTo(0, 0);
  }

  function refuse(words, name) {
    at("refusal").textContent = words;
    const field = name && document.querySelector(`[name="${name}"]`);
    if (field) field.focus();
  }

  function toggleList() {
    document.body.classList.toggle("list");
    arrive();
  }

  function look(key) {
    if (key) document.documentElement.dataset.look = key;
    else delete document.documentElement.dataset.look;
    try {
      localStorage.setItem(LOOK, key);
    } catch {
      drawn = key;
    }
  }

  function lastLook() {
    try {
      look(localStorage.getItem(LOOK) || "");
    } catch {
      look(drawn);
    }
  }

  return Object.freeze({ show, saved, onward, arrive, refuse, toggleList, look, lastLook, putBack, current });
})();
