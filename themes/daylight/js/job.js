// A job is a list of events; this folds them into where the work stands. Knows no page and no store.
"use strict";
const job = (() => {
  const HANDS = ["hands", "probe"];

  const fresh = () => ({
    begun: null, at: null, who: "", visits: [], values: {}, taken: {}, waits: {}, notes: [], photos: [], people: [],
    stops: [], pauses: [], clocks: [], gaps: [], finding: 0, stale: false, again: null, ended: null, last: "",
  });

  // What each kind of event does to the state; `way` is the card's walk. Unknown kinds throw.
  const KINDS = {
    begin(state, event, way) {
      state.begun = { at: event.at, serial: event.serial, odd: Boolean(event.odd), second: event.second || "" };
      person(state, event);
      arrive(state, way, way.first(), event.at);
    },
    person(state, event, way) {
      person(state, event);
      // Who takes over has not seen zero proved.
      if (ledger.locks(state, way).length) doubt(state, way, event.at);
    },
    set(state, event) {
      state.values[event.name] = event.value;
    },
    leave(state, event, way) {
      const step = way.step(state.at.step);
      if (!Number.isInteger(event.way)) throw new Error("no way out");
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
      doubt(state, way, event.at);
    },
    // Entries between `after` and this one could not be read, and what came behind them stood on sand.
    mend(state, event, way) {
      state.gaps.push({ at: event.at, after: event.after, count: event.count });
      doubt(state, way, event.at);
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

  // What stood half written in a panel is done with.
  function clean(state) {
    state.values = Object.fromEntries(Object.entries(state.values).filter(([name]) => !name.startsWith("draft-")));
  }

  function apply(state, event, way) {
    if (!Object.hasOwn(KINDS, event.kind)) throw new Error("no kind of event");
    KINDS[event.kind](state, event, way);
    if (["person", "note", "stop", "asked"].includes(event.kind)) clean(state);
    state.last = event.at;
    return state;
  }

  // The events that count: a `mend` takes out all between the last one that could be read and itself.
  function counting(events) {
    let bound = Infinity;
    const found = [];
    for (const event of [...events].reverse()) {
      if (event.n > bound) continue;
      found.push(event);
      if (event.kind === "mend") bound = event.after;
    }
    return found.reverse();
  }

  // Where the events lead. At the first that is missing or makes no sense it ends: {state, sound}, `sound` its number.
  function fold(events, way) {
    const kept = counting(events);
    let state = fresh();
    let sound = 0;
    for (const [place, event] of kept.entries()) {
      if (event.kind !== "mend" && event.n !== sound + 1) break;
      try {
        apply(state, event, way);
      } catch {
        // What it did before it failed must not stay.
        state = kept.slice(0, place).reduce((done, each) => apply(done, each, way), fresh());
        break;
      }
      sound = event.n;
    }
    return { state, sound };
  }

  // What was proved counts no longer: zero is proved anew, from the first proof on, before hands come near.
  function doubt(state, way, at) {
    state.stale = true;
    if (!state.at || state.at.kind !== "step") return;
    if (!state.again) return arrive(state, way, state.at.step, at);
    Object.assign(state, { stale: false, values: {}, since: at, at: { kind: "step", step: state.again.steps[0] } });
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

  // The meter in hand: the one chosen here, else the one that stood in for this step's meter before, else this step's.
  function meterOf(state, step) {
    const { reading } = step;
    const before = state.visits.findLast((each) => !each.undone && each.found && each.found.meter.of === reading.meter);
    const last = before && (before.found.meter.key === reading.meter || (reading.meters || {})[before.found.meter.key]) ? before.found.meter : {};
    const value = (name) => state.values[`${name}-${step.number}`];
    const key = value("meter") || last.key || reading.meter;
    const same = key === last.key ? last : {};
    const own = (reading.meters || {})[key];
    return {
      key, of: reading.meter, name: own ? own.name : reading.instrument, number: value("meterno") ?? same.number ?? "",
      due: value("due") || same.due || "", limit: own && own.limit,
    };
  }

  // The last visit to a step that still counts.
  const done = (state, number) => state.visits.findLast((each) => each.step === number && !each.undone);

  return Object.freeze({ fresh, apply, fold, reading, meterOf, done, HANDS });
})();
