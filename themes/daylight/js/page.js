// The page: binds fields, verdicts and ways to the kept state.
"use strict";
document.addEventListener("DOMContentLoaded", async () => {
  const card = JSON.parse(document.getElementById("card").textContent);
  const way = walk.make(card);
  const fresh = () => ({ turn: 0, values: {}, current: `step-${way.first()}`, taken: {}, earlier: {} });
  const form = document.getElementById("work");
  const at = (id) => document.getElementById(id);
  let state = fresh();

  const fields = () => document.querySelectorAll("input[name]");
  const value = (name) => state.values[name];
  const typed = (step) => Array.from({ length: step.reading.blanks }, (_, i) => value(`read-${step.number}-${i}`) || "");

  function show() {
    for (const field of fields()) {
      const kept = value(field.name);
      if (field.type === "checkbox") field.checked = kept === true;
      else if (field.type === "radio") field.checked = kept === field.value;
      else if (field !== document.activeElement || !kept) field.value = kept || "";
    }
    for (const step of card.steps) showStep(step);
    for (const each of document.querySelectorAll(".current")) each.classList.remove("current");
    for (const each of document.querySelectorAll("[aria-current]")) each.removeAttribute("aria-current");
    const here = at(state.current);
    if (here) {
      here.classList.add("current");
      here.setAttribute("aria-current", "step");
    }
  }

  function showStep(step) {
    const box = at(`step-${step.number}`);
    box.classList.toggle("done", value(`tick-${step.number}`) === true);
    const chosen = step.reading ? showVerdict(step, box) : value(`way-${step.number}`);
    showOnward(step, box, chosen === undefined ? -1 : Number(chosen));
    const past = state.earlier[step.number] || [];
    box.querySelector(".earlier").textContent = past.length ? `Before: ${past.join("; ")}` : "";
  }

  function showVerdict(step, box) {
    const before = step.reading.limit.of ? way.step(step.reading.limit.of) : null;
    const found = verdict.judge(step.reading, typed(step), before && before.reading ? typed(before) : null);
    const line = box.querySelector(".verdict");
    line.textContent = found.fault || found.note || found.sentence || "";
    line.className = `verdict ${found.fault ? "fault" : found.side ? (found.side === "inside" ? "within" : "without") : ""}`;
    const index = found.side ? way.wayFor(step.number, found.side) : -1;
    for (const radio of box.querySelectorAll(".way input")) {
      radio.disabled = found.side !== undefined;
      if (found.side !== undefined) radio.checked = Number(radio.value) === index;
    }
    if (found.side && index < 0 && !(found.side === "inside" && !step.ways.length)) {
      line.textContent += " No way is written for this: stop and ask.";
      return undefined;
    }
    return found.side ? index : value(`way-${step.number}`);
  }

  function showOnward(step, box, index) {
    const button = box.querySelector(".onward");
    const ready = index >= 0 && step.ways.length > 0;
    button.hidden = !ready || value(`tick-${step.number}`) === true;
    if (!ready) return;
    button.value = String(index);
    const to = way.target(step.number, index);
    button.textContent = to.stop ? "Stop and ask" : to.finding ? `Go to finding ${to.finding}` : `Go on with step ${to.step}`;
  }

  function say(step, sentence) {
    at(`step-${step.number}`).querySelector(".refusal").textContent = sentence;
  }

  // Leave a step by a way; refuses, with a sentence, what the card does not allow.
  function leave(step, index) {
    say(step, "");
    if (step.hold && !(value(`hold-${step.number}`) || "").trim()) {
      return refuse(step, "Hold: somebody else confirms this step before work goes on.");
    }
    const chosen = step.ways[index];
    const mark = `${step.number}:${index}`;
    if (chosen && chosen.most && (state.taken[mark] || 0) >= chosen.most) {
      return refuse(step, "This way was taken as often as the card allows: stop and ask.");
    }
    const to = way.target(step.number, index);
    if (to.stop) return refuse(step, "Stop here and ask.");
    state.taken[mark] = (state.taken[mark] || 0) + 1;
    state.values[`tick-${step.number}`] = true;
    if (way.back(step.number, to)) putAside(to.step, step.number);
    go(to.finding ? `finding-${to.finding}` : `step-${to.step}`);
  }

  function refuse(step, sentence) {
    state.values[`tick-${step.number}`] = false;
    say(step, sentence);
    keep();
  }

  // Steps that are done again start empty; what was read before stays beside them.
  function putAside(first, last) {
    for (const number of way.between(first, last)) {
      const step = way.step(number);
      if (step.reading && typed(step).some(Boolean)) {
        const line = `${typed(step).join(", ")} ${step.reading.unit}`;
        state.earlier[number] = [...(state.earlier[number] || []), line];
      }
      const mine = new RegExp(`^(tick|way|read|entry|hold|stage)-${number}(-|$)`);
      for (const name of Object.keys(state.values)) if (mine.test(name)) delete state.values[name];
    }
  }

  function go(id) {
    state.current = id;
    keep();
    at(id).focus({ preventScroll: true });
    at(id).scrollIntoView({ block: "start" });
  }

  async function keep() {
    state.turn += 1;
    show();
    const turn = state.turn;
    const places = await store.save(state);
    if (turn === state.turn) tellSaved(places);
  }

  function tellSaved(places) {
    const line = at("saved");
    line.classList.toggle("alarm", places === 0);
    line.textContent = places
      ? `saved at ${new Date().toLocaleTimeString([], { hour12: false })}`
      : "NOT SAVED: this browser keeps nothing. Write on paper.";
  }

  function changed(field) {
    const number = Number((/^(?:tick|way)-(\d+)$/.exec(field.name) || [])[1]);
    state.values[field.name] = field.type === "checkbox" ? field.checked : field.value;
    if (field.type === "checkbox" && number && field.checked) return ticked(way.step(number));
    if (field.type === "radio" && number) return answered(way.step(number), Number(field.value));
    keep();
  }

  function ticked(step) {
    if (!step.ways.length || step.ways.length === 1) return leave(step, step.ways.length ? 0 : -1);
    const button = at(`step-${step.number}`).querySelector(".onward");
    show();
    if (button.value !== "" && !at(`step-${step.number}`).querySelector(".way input:checked")) button.value = "";
    if (button.value === "") return refuse(step, step.reading ? "Fill in the reading first." : "Choose an answer first.");
    leave(step, Number(button.value));
  }

  const answered = (step, index) => leave(step, index);

  document.addEventListener("input", (event) => {
    if (event.target.type === "text") changed(event.target);
  });
  document.addEventListener("change", (event) => {
    if (event.target.name && event.target.type !== "text") changed(event.target);
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  document.addEventListener("click", (event) => {
    const button = event.target.closest(".onward");
    if (button) return leave(way.step(Number(button.dataset.step)), Number(button.value));
    const closing = event.target.closest(".finding a[href^='#step-']");
    if (closing) {
      event.preventDefault();
      go(closing.getAttribute("href").slice(1));
    }
  });
  at("again").addEventListener("click", () => {
    if (!confirm("Clear everything that was filled in on this checklist?")) return;
    state = { ...fresh(), turn: state.turn };
    keep();
    scrollTo(0, 0);
  });
  addEventListener("storage", (event) => {
    if (event.key !== store.key() || !event.newValue) return;
    const other = JSON.parse(event.newValue);
    if (other.turn > state.turn) {
      state = other;
      show();
    }
  });

  document.body.classList.add("live");
  await store.open(`benchleaf:${card.machine}/${card.id}:${card.revision}:${card.digest.slice(0, 16)}`);
  const found = await store.load();
  if (found) state = found;
  show();
  tellSaved(await store.save(state));
  document.body.dataset.ready = "yes";
});
