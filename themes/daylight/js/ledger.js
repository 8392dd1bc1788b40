// What the way so far has locked, opened and proved: worked out from the visits, never kept apart from them.
"use strict";
const ledger = (() => {
  const MOVES = ["shut-down", "isolate", "lock", "unlock", "restore"];
  const LOCKS = ["lock", "unlock", "restore"];

  const counted = (state) => state.visits.filter((visit) => !visit.undone);

  // Names of the isolators that carry a lock now.
  function locks(state, way) {
    const on = new Set();
    for (const visit of counted(state)) {
      const step = way.step(visit.step);
      for (const name of step.locks) step.role === "unlock" ? on.delete(name) : on.add(name);
    }
    return [...on].map(way.called);
  }

  // The steps that proved zero since the first lock now on, in their order; what was proved anew counts once.
  function proofs(state, way) {
    const on = new Set();
    let found = [];
    for (const visit of counted(state)) {
      const step = way.step(visit.step);
      for (const name of step.locks) step.role === "unlock" ? on.delete(name) : on.add(name);
      if (step.role === "unlock" && !on.size) found = [];
      if (step.role === "prove" && !visit.again && !found.includes(step)) found.push(step);
    }
    const later = (step, name) => found.some((each) => each.block > step.block && each.proves.includes(name));
    return found.filter((step) => !superseded(found, step, later)).map((step) => step.number);
  }

  const superseded = (found, step, later) =>
    found.some((each) => each.block > step.block) && step.proves.every((name) => later(step, name));

  // When zero was last proved: the end of the newest passed proof, empty while it goes on or where a lock moved since.
  function proved(state, way) {
    let at = "";
    for (const visit of counted(state)) {
      const { role } = way.step(visit.step);
      if (LOCKS.includes(role)) at = "";
      if (role === "prove" && visit.led.kind === "step") at = visit.to;
    }
    const proving = state.at && state.at.kind === "step" && way.step(state.at.step).role === "prove";
    return state.stale || proving ? "" : at;
  }

  // What was opened, taken off or put in place on this way: {key, name, step, closed} in the order of opening.
  function items(state, way) {
    const found = [];
    for (const visit of counted(state)) {
      const step = way.step(visit.step);
      for (const key of step.closes) {
        const item = found.findLast((each) => each.key === key && !each.closed);
        if (item) item.closed = step.number;
      }
      for (const key of step.opens) found.push({ key, name: way.called(key), step: step.number, closed: 0 });
    }
    return found;
  }

  // The visit that a way back would undo, or why there is none.
  function undoable(state, way) {
    if (!state.at || !["step", "finding", "stopped"].includes(state.at.kind)) return { why: say("There is no way back from here.") };
    if (state.again) return { why: say("Zero is being proved again: there is no way back until it is proved.") };
    const visit = counted(state).at(-1);
    if (!visit) return { why: say("This is the first step.") };
    const step = way.step(visit.step);
    if (MOVES.includes(step.role) || step.locks.length) {
      return { why: say("Step {number} moved a switch or a lock, and what is undone here does not undo that. Go on, or say that you can't.", step) };
    }
    return { visit, step };
  }

  return Object.freeze({ locks, proofs, proved, items, undoable });
})();
