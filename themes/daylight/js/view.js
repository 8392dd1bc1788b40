// Draws the state: which step shows, what its fields hold, what the reading says, what is locked, what comes next.
"use strict";
const view = (() => {
  const { it } = desk;
  const at = (id) => document.getElementById(id);
  const box = (step) => at(`step-${step.number}`);
  const LOOK = "benchleaf-look";
  // Letters of a label from which on it is set smaller, so that the dock does not grow.
  const LONG = 34;
  let drawn = "";
  let chosen = "";

  const current = () => (it.state.at && it.state.at.kind === "step" ? it.state.at.step : 0);

  function show() {
    const begun = Boolean(it.state.begun);
    document.body.classList.toggle("begun", begun);
    at("start").hidden = begun;
    at("jobs").hidden = begun || !at("jobs").hasChildNodes();
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
    for (const word of node.querySelectorAll(".word")) foldable(word, here && !read);
    for (const field of node.querySelectorAll("[name]")) fill(field, values, here && !read, n, Boolean(visit));
    if (!here && node.dataset.seen === String(it.state.visits.length) && it.state.begun) return;
    node.dataset.seen = String(it.state.visits.length);
    node.querySelector(".earlier").textContent = earlier(step);
    if (step.reading) showReading(step, node, here, visit);
    showPutBack(step, node, here);
    if (step.photo.length) panel.refill(made(node, "p", "take", ".put-back"), here ? "here" : "", () => (here ? [panel.button(say("Take the photo"), menu.photo, "choice")] : []));
    // At a hold there is time, and somebody else stands by: the moment for a copy that no device can lose.
    const save = node.querySelector(".save-here");
    if (save) panel.refill(save, here ? "here" : "", () => (here ? [panel.button(say("Save the record as a file"), menu.save, "choice")] : []));
    showAdded(step, node);
  }

  // A warning that was read folds to one line, and unfolds again for hands and keys.
  function foldable(word, yes) {
    if (yes === word.hasAttribute("role")) return;
    for (const [name, value] of [["role", "button"], ["tabindex", "0"], ["aria-expanded", "false"]]) {
      if (yes) word.setAttribute(name, value);
      else word.removeAttribute(name);
    }
    word.parentElement.classList.remove("shown");
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
    showBlanks(step, node, here);
    if (here || !node.querySelector(".meter").hasChildNodes()) showMeter(step, node.querySelector(".meter"));
  }

  // A box that is of no use without scripts, made where it is first needed.
  function made(node, tag, kind, behind) {
    const found = node.querySelector(`.${kind}`);
    if (found) return found;
    const box = panel.el(tag, { class: kind });
    (node.querySelector(behind) || node.querySelector(".reading")).after(box);
    return box;
  }

  // Of several blanks the one that is asked for: at first the first that is empty, then as somebody chooses.
  function blank(step) {
    const names = step.reading.labels.map((_, place) => `read-${step.number}-${place}`);
    if (!names.includes(chosen)) chosen = names.find((name) => !it.state.values[name]) || names.at(-1);
    return names.indexOf(chosen);
  }

  const choose = (name) => (chosen = name);

  function toBlank(name) {
    chosen = name;
    show();
    const field = document.querySelector(`.step.current [name="${name}"]`);
    if (field) field.focus({ preventScroll: true });
    if (!document.body.classList.contains("list")) scrollTo(0, 0);
  }

  // One blank in sight at a time, the others as buttons below: a bad reading and its way need no scrolling.
  function showBlanks(step, node, here) {
    const { labels } = step.reading;
    const boxes = [...node.querySelectorAll(".blanks > div, .pairs > div")];
    if (labels.length < 2 || boxes.length !== labels.length) return;
    const list = made(node, "div", "other-blanks", ".leads-on");
    boxes[0].parentElement.classList.add("several");
    const place = here ? blank(step) : -1;
    boxes.forEach((box, index) => box.classList.toggle("here", index === place));
    const told = labels.map((label, index) => {
      const text = it.state.values[`read-${step.number}-${index}`];
      return [`read-${step.number}-${index}`, `${label || index + 1}: ${text ? `${text} ${it.state.values[`unit-${step.number}`] || step.reading.unit}` : "–"}`];
    });
    panel.refill(list, here ? JSON.stringify([place, told]) : "", () => (here ? told.filter((_, index) => index !== place).map(([name, words]) => panel.button(words, () => toBlank(name), "small")) : []));
  }

  function showMeter(step, line) {
    const { reading } = step;
    const { key, number, ...meter } = job.meterOf(it.state, step);
    const due = desk.due({ key, ...meter });
    const late = due && due < clock.today();
    const own = (reading.meters || {})[key];
    line.classList.toggle("late", Boolean(late));
    const words = [own && own.name !== reading.instrument ? say("Measured with {name}.", own) : "", number ? say("Number {number}.", { number }) : "", late ? say("Its calibration ran out on {due}: take another meter.", { due }) : due ? say("Calibration good until {due}.", { due }) : key !== reading.meter ? say("The card does not know until when its calibration is good: look at its label.") : ""];
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
    const zero = again ? say("Zero is being proved again.") : !locks.length ? "" : proved ? say("Zero proved {time}.", { time: clock.hour(proved).slice(0, 5) }) : say("Zero not proved.");
    at("locks").textContent = !begun || ended ? "" : `${locks.length ? say("Locked: {names}.", { names: locks.join(", ") }) : say("Nothing is locked.")} ${zero}`;
    saved();
  }

  // Entries that were lost since the last step was left.
  function fresh(state) {
    const gap = state.gaps.at(-1);
    return gap && !state.visits.some((visit) => visit.to > gap.at) ? gap.count : 0;
  }

  // Says when the job was last kept, or loudly that it is not.
  function saved() {
    const { places, savedAt, bare } = it;
    const unread = it.state.gaps.length ? fresh(it.state) : it.unread;
    at("saved").textContent = !it.about ? "" : places ? say("saved at {time}", { time: savedAt ? clock.hour(savedAt) : "…" }) : say("not saved");
    const words = [
      places ? "" : say("NOT SAVED: this browser keeps nothing more. Save the record as a file now (Menu), or write on paper."),
      places === 1 ? say("Kept in one place only: save the record as a file at the next hold (Menu).") : "",
      bare ? say("A photo is kept in this page only: save the record as a file now (Menu).") : "",
      unread ? say("{count} kept entries can't be read, or follow on one that can't. They stay kept. Look at the machine itself: locks and covers may stand otherwise than here.", { count: unread }) : "",
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
    button.classList.toggle("long", label.length > LONG);
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
    chosen = "";
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

  return Object.freeze({ show, saved, onward, arrive, refuse, toggleList, look, lastLook, putBack, current, blank, choose, toBlank });
})();
