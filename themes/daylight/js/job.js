// A job is a list of events; this folds them into where the work stands. Knows no page and no store.
"use strict";
const job = (() => {
  const HANDS = ["hands", "probe"];

  const fresh = () => ({
    begun: null, at: null, who: "", visits: [], values: {}, taken: {}, waits: {}, notes: [], photos: [], people: [],
    stops: [], pauses: [], clocks: [], finding: 0, stale: false, again: null, ended: null, last: "",
  });

  // What each kind of event does to the state; `way` is the card's walk. Unknown kinds throw.
  const KINDS = {
    begin(state, event, way) {
      state.begun = { at: event.at, serial: event.serial, odd: Boolean(event.odd), second: event.second || "" };
      person(state, event);
      arrive(state, way, way.first(), event.at);
    },
    person,
    set(state, event) {
      state.values[event.name] = event.value;
    },
    leave(state, event, way) {
      const step = way.step(state.at.step);
      const chosen = step.ways[event.way] || { kind: "stop" };
      const found = reading(state, step, way);
      state.visits.push({
        step: step.number, from: state.since, to: event.at, who: state.who, way: event.way, side: chosen.side,
        led: { kind: chosen.kind, number: chosen.number || 0 }, values: state.values, found, again: Boolean(state.again),
        finding: state.finding,
      });
      if (chosen.most) state.taken[`${step.number}:${event.way}`] = (state.taken[`${step.number}:${event.way}`] || 0) + 1;
      state.values = {};
      go(state, way, chosen, event.at);
    },
    back(state, event, way) {
      const visit = state.visits.findLast((each) => !each.undone);
      visit.undone = event.at;
      const key = `${visit.step}:${visit.way}`;
      if (state.taken[key]) state.taken[key] -= 1;
      state.finding = visit.finding;
      state.values = { ...visit.values };
      state.at = { kind: "step", step: visit.step };
      state.since = event.at;
      delete state.waits[visit.step];
    },
    wait(state, event) {
      state.waits[state.at.step] = event.at;
    },
    pause(state, event, way) {
      state.pauses.push({ at: event.at, seconds: event.seconds });
      state.stale = true;
      if (state.at && state.at.kind === "step") arrive(state, way, state.at.step, event.at);
    },
    clock(state, event) {
      state.clocks.push({ at: event.at, seconds: event.seconds });
      state.waits = {};
    },
    note(state, event) {
      state.notes.push({ at: event.at, who: state.who, step: here(state), text: event.text });
    },
    photo(state, event) {
      state.photos.push({ at: event.at, who: state.who, step: here(state), id: event.id });
    },
    stop(state, event) {
      state.stops.push({ at: event.at, who: state.who, step: here(state), reason: event.reason, text: event.text || "" });
      state.at = { kind: "stopped", step: here(state) };
      state.again = null;
    },
    asked(state, event, way) {
      const stop = state.stops[state.stops.length - 1];
      Object.assign(stop, { asked: event.who, answer: event.text, resumed: event.at });
      state.values = {};
      arrive(state, way, stop.step, event.at);
    },
    close(state, event, way) {
      arrive(state, way, way.finding(state.finding).closing, event.at);
    },
    end(state, event) {
      state.ended = { at: event.at, left: event.left };
      state.at = { kind: "ended" };
    },
  };

  function person(state, event) {
    state.who = event.who;
    state.people.push({ at: event.at, who: event.who });
  }

  const here = (state) => (state.at && state.at.step) || 0;

  function apply(state, event, way) {
    KINDS[event.kind](state, event, way);
    state.last = event.at;
    return state;
  }

  // After a break that makes the proof stale, zero is proved again before hands come near.
  function arrive(state, way, number, at) {
    state.at = { kind: "step", step: number };
    state.since = at;
    const step = way.step(number);
    const steps = ledger.proofs(state, way);
    if (!state.stale || state.again || !(HANDS.includes(step.near) || step.role === "prove")) return;
    state.stale = false;
    if (!steps.length) return;
    state.again = { steps, then: number, held: state.values };
    state.values = {};
    state.at = { kind: "step", step: steps[0] };
  }

  function go(state, way, chosen, at) {
    // A closing section may lead back to the finding that it closes.
    const closed = chosen.kind === "end" || (chosen.kind === "finding" && chosen.number === state.finding);
    if (closed) {
      Object.assign(state, { again: null, ended: { at, left: left(state, way) }, at: { kind: "ended" } });
    } else if (chosen.kind === "finding") {
      Object.assign(state, { again: null, finding: chosen.number, at: { kind: "finding", number: chosen.number } });
    } else if (chosen.kind === "stop") {
      throw new Error("a stop is an event of its own");
    } else if (state.again) {
      proveOn(state, way, at);
    } else {
      arrive(state, way, chosen.number, at);
    }
  }

  function proveOn(state, way, at) {
    const { steps, then, held } = state.again;
    const next = steps[steps.indexOf(state.at.step) + 1];
    if (next) {
      state.at = { kind: "step", step: next };
      state.since = at;
      return;
    }
    state.again = null;
    state.values = held;
    arrive(state, way, then, at);
  }

  function left(state, way) {
    return state.finding ? way.finding(state.finding).leave : "as-final";
  }

  // Reading of the step with what now stands in its fields; null where it has none.
  function reading(state, step, way) {
    if (!step.reading) return null;
    const entries = typed(state, step);
    const before = step.reading.limit.of ? done(state, step.reading.limit.of) : null;
    const meter = meterOf(state, step);
    const earlier = before && before.found && { values: before.found.values, unit: way.step(before.step).reading.unit };
    const warmth = state.values[`temp-${step.number}`] || "";
    return { ...verdict.judge(step.reading, entries, earlier, meter, warmth), entries, meter, warmth };
  }

  function typed(state, step) {
    const unit = state.values[`unit-${step.number}`] || step.reading.unit;
    return step.reading.labels.map((_, place) => ({ text: state.values[`read-${step.number}-${place}`] || "", unit }));
  }

  function meterOf(state, step) {
    const key = state.values[`meter-${step.number}`] || step.reading.meter;
    const own = (step.reading.meters || {})[key];
    const name = own ? own.name : step.reading.instrument;
    return { key, name, number: state.values[`meterno-${step.number}`] || "", limit: own && own.limit };
  }

  // The last visit to a step that still counts.
  const done = (state, number) => state.visits.findLast((each) => each.step === number && !each.undone);

  return Object.freeze({ fresh, apply, reading, done, HANDS });
})();
