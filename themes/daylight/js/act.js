// What the main button does now, and what still stands in its way: a label, a sentence or a deed.
"use strict";
const act = (() => {
  const value = (name) => desk.it.state.values[name];
  const filled = (name) => String(value(name) || "").trim() !== "";

  // {label, lacks, run}: `lacks` says what is to be done first, `run` does it.
  function plan() {
    const { at } = desk.it.state;
    if (!at) return { label: say("Begin on this machine"), lacks: "", run: () => start.begin() };
    if (at.kind === "step") return step(desk.it.way.step(at.step));
    if (at.kind === "finding") return finding(desk.it.way.finding(at.number));
    if (at.kind === "stopped") return stopped();
    return { label: say("Save the record as a file"), lacks: "", run: () => menu.save() };
  }

  function step(card) {
    const n = card.number;
    if (card.warned && !value(`ack-${n}`)) {
      return { label: say("I have read this"), lacks: "", run: () => desk.happen("set", { name: `ack-${n}`, value: true }) };
    }
    if (card.wait && !waited(card)) return wait(card);
    const chosen = wayOut(card);
    if (chosen.next >= 0) return { label: nextBlank(card, chosen.next), lacks: "", run: () => view.toBlank(`read-${n}-${chosen.next}`) };
    const way = chosen.index >= 0 ? card.ways[chosen.index] : null;
    const label = way ? onward(card, way) : chosen.stop ? say("Stop and ask") : chosen.lacks.replace(/ first\.$/, "").replace(/\.$/, "");
    if (chosen.stop) return { label, lacks: "", run: () => menu.stop(chosen.why) };
    const lacks = chosen.lacks || missing(card, way);
    if (way && way.kind === "stop") return { label, lacks: "", run: () => menu.stop(way.label) };
    return { label, lacks, run: () => leave(chosen.index) };
  }

  const nextBlank = (card, place) => say("Next reading: {place} of {count}", { place: place + 1, count: card.reading.labels.length });

  function onward(card, way) {
    if (way.kind === "stop") return say("Stop and ask");
    if (way.kind === "finding") return say("Go to finding {number}: {title}", desk.it.way.finding(way.number));
    if (way.kind === "end") return say("Done: that was the last step");
    const again = desk.it.state.again;
    const next = again ? again.steps[again.steps.indexOf(card.number) + 1] || again.then : way.number;
    return way.label ? say("Go on: step {next}", { next }) : say("Done: step {next} next", { next });
  }

  // The way that the reading or the answer takes: {index}, or what is lacking, or that the card has no way for it.
  function wayOut(card) {
    const picked = value(`way-${card.number}`);
    const index = picked === undefined ? -1 : Number(picked);
    if (card.reading) {
      const found = reading(card);
      if (index >= 0 && desk.it.way.open(card.number).some((way) => way.index === index)) return taken(card, index);
      if (found.fault) return { index: -1, lacks: found.fault };
      if (found.unknown) return index >= 0 ? taken(card, index) : { index: -1, lacks: say("Choose an answer first.") };
      if (!found.side) return { index: -1, next: following(card), lacks: say("Fill in the reading first.") };
      const way = desk.it.way.wayFor(card.number, found.side);
      if (way >= 0) return taken(card, way);
      return { index: -1, stop: true, why: found.sentence, lacks: "" };
    }
    const open = desk.it.way.open(card.number);
    if (!open.length) return { index: 0, lacks: "" };
    if (open.length === 1 && card.ways.length === 1) return taken(card, 0);
    return index >= 0 ? taken(card, index) : { index: -1, lacks: say("Choose an answer first.") };
  }

  function taken(card, index) {
    const { most } = card.ways[index];
    const times = desk.it.state.taken[`${card.number}:${index}`] || 0;
    if (most && times >= most) {
      return { index: -1, stop: true, why: say("This way was taken as often as the card allows."), lacks: "" };
    }
    return { index, lacks: "" };
  }

  // Once one of several readings is filled in, the next one that is not; -1 where there is none.
  function following(card) {
    const n = card.number;
    const places = card.reading.labels.map((_, place) => place);
    if (!filled(`read-${n}-${view.blank(card)}`)) return -1;
    return places.find((place) => !filled(`read-${n}-${place}`)) ?? -1;
  }

  const reading = (card) => job.reading(desk.it.state, card, desk.it.way);

  // What else a step asks for before it may be left. A way that ends the work asks for nothing more.
  function missing(card, way) {
    const n = card.number;
    const name = String(value(`hold-${n}`) || "").trim();
    if (card.hold && !name) return say("Hold: somebody else confirms this step before work goes on.");
    if (card.hold && name.toLowerCase() === desk.it.state.who.trim().toLowerCase()) {
      return say("Hold: somebody else than you confirms this step.");
    }
    const late = card.reading && old(card);
    if (late) return late;
    if (way && way.kind === "finding") return "";
    for (let stage = 1; stage <= card.stages; stage += 1) {
      if (!value(`stage-${n}-${stage}`)) return say("Tick each stage of the tightening first.");
    }
    const empty = card.entries.find(([key]) => !filled(`entry-${n}-${key}`));
    if (empty) return say("Fill in first: {what}. Write “none” where there is none.", { what: empty[1] });
    if (view.putBack(card).some((item, place) => !value(`back-${n}-${place}`))) return say("Look at each thing to be put back, and tick it, first.");
    return "";
  }

  // A sentence where the calibration of the meter in hand has run out.
  function old(card) {
    const meter = job.meterOf(desk.it.state, card);
    const date = desk.due(meter);
    return date && date < clock.today() ? say("The calibration of {meter} ran out on {date}: take another meter, or write the date on its label (Another meter).", { meter: meter.name, date }) : "";
  }

  function leave(index) {
    if (desk.happen("leave", { way: index })) view.arrive();
  }

  const waited = (card) => desk.it.state.waits[card.number] && clock.left(desk.it.state.waits[card.number], card.wait) === 0;

  function wait(card) {
    const from = desk.it.state.waits[card.number];
    if (!from) return { label: say("Start the clock: {time}", { time: clock.spell(card.wait) }), lacks: "", run: () => desk.happen("wait", {}) };
    const time = clock.spell(clock.left(from, card.wait));
    return { label: say("Wait: {time} left", { time }), lacks: say("Wait by the clock first: {time} left.", { time }), run: () => undefined };
  }

  function finding(found) {
    if (found.closing) {
      return { label: say("Go on: close the card from step {closing}", found), lacks: "", run: () => desk.happen("close", {}) && view.arrive() };
    }
    return end(found.leave === "as-final" ? "ready" : "locked");
  }

  function stopped() {
    const left = value("left") || (ledger.locks(desk.it.state, desk.it.way).length || leaving.open().length ? "locked" : "");
    if (!left) return { label: say("Say how you leave the machine"), lacks: say("Say first how you leave the machine."), run: () => undefined };
    return end(left);
  }

  function end(left) {
    const open = leaving.lines(left).some((_, place) => !value(`leave-${left}-${place}`));
    return {
      label: say("End here"),
      lacks: open ? say("Tick each line first: it stands in the record.") : "",
      run: () => desk.happen("end", { left: left === "ready" ? "as-final" : "out-of-service" }) && view.arrive(),
    };
  }

  return Object.freeze({ plan, reading });
})();
