// The record of a job: what `schema/record.schema.json` describes, made from the events and nothing else.
"use strict";
const record = (() => {
  const FORMAT = "benchleaf/record/1";
  const KEPT = "benchleaf/kept/1";

  function make(about, events, state, way, photos) {
    return {
      format: FORMAT,
      tool: about.card.tool,
      job: about.job,
      card: identity(about.card),
      serial: state.begun.serial,
      begun: state.begun.at,
      last: state.last,
      people: state.people,
      second: state.begun.second,
      end: end(state, way),
      path: state.visits.map((visit) => step(visit, way)),
      left_as: { locked: ledger.locks(state, way), open: open(state, way) },
      stops: state.stops.map((stop) => ({ asked: "", answer: "", resumed: "", ...stop })),
      pauses: state.pauses,
      clock: state.clocks,
      gaps: state.gaps,
      notes: state.notes,
      photos: state.photos.map((photo) => ({ ...photo, data: (photos.find((each) => each.id === photo.id) || { data: "" }).data })),
      events,
    };
  }

  const identity = ({ machine, id, title, revision, state, digest }) => ({ machine, id, title, revision, state, digest });

  const open = (state, way) => ledger.items(state, way).filter((item) => !item.closed).map((item) => item.name);

  function end(state, way) {
    if (!state.ended) return null;
    const stop = state.stops.at(-1);
    const stopped = stop && !stop.resumed;
    const finding = state.finding && !stopped ? way.finding(state.finding) : null;
    return {
      at: state.ended.at,
      kind: stopped ? "stopped" : finding ? "finding" : "done",
      number: finding ? finding.number : 0,
      key: finding ? finding.key : "",
      title: finding ? finding.title : "",
      left: state.ended.left,
    };
  }

  function step(visit, way) {
    const card = way.step(visit.step);
    const { values } = visit;
    const n = card.number;
    const way_ = card.ways[visit.way];
    return {
      step: n,
      key: card.key,
      command: card.command,
      from: visit.from,
      to: visit.to,
      who: visit.who,
      side: visit.side,
      answer: way_.label,
      led: visit.led,
      again: visit.again,
      undone: visit.undone || "",
      confirmed_by: values[`hold-${n}`] || "",
      entries: card.entries.map(([key, label]) => ({ key, label, value: String(values[`entry-${n}-${key}`] || "") })),
      reading: visit.found ? reading(card.reading, visit.found) : null,
    };
  }

  function reading(card, found) {
    const { limit } = card;
    return {
      limit: limit.key,
      name: limit.name,
      measure: card.measure,
      values: [...found.entries.map((entry, place) => value(card, entry, (found.values || [])[place], place)), ...warmth(card, found)],
      unit: card.unit,
      meter: { key: found.meter.key, name: found.meter.name, number: found.meter.number, due: desk.due(found.meter) },
      band: {
        form: limit.form,
        sentence: limit.sentence,
        low: printed(limit.low),
        high: printed(limit.high),
        accept_low: printed((found.meter.limit || limit).accept_low),
        accept_high: printed((found.meter.limit || limit).accept_high),
        source: limit.source,
      },
      verdict: { side: found.side || "unknown", sentence: found.sentence || found.unknown || "" },
    };
  }

  // The temperature at which the limit was taken.
  function warmth(card, found) {
    const at = numbers.parse(found.warmth || "");
    if (at.n === undefined) return [];
    return [{ label: say("Temperature"), typed: found.warmth, unit: card.limit.rows[0].at.unit, value: numbers.plain(at) }];
  }

  const printed = (edge) => (edge ? `${edge.value} ${edge.unit}` : "");

  function value(card, entry, number, place) {
    const known = number && number.n !== undefined;
    return { label: card.labels[place], typed: entry.text, unit: entry.unit, value: known ? numbers.plain(number) : "" };
  }

  // The entries of a job whose card is not at hand: the checklist of that card loads them.
  const kept = (about, events, photos) => ({
    format: KEPT, tool: about.card.tool, job: about.job, card: identity(about.card), serial: about.serial, events,
    photos: photos.map(({ id, data }) => ({ id, data })),
  });

  // Whether these can be the entries of a checklist: plain values only, in rising order.
  const plain = (value) => ["string", "number", "boolean"].includes(typeof value);
  const sane = ({ job: name, events }) =>
    /^[0-9a-f]{8,64}$/.test(name) && events.length > 0 && events.every((each, place) =>
      each && typeof each === "object" && Number.isInteger(each.n) && each.n > (place ? events[place - 1].n : 0) &&
      typeof each.kind === "string" && !Number.isNaN(Date.parse(each.at)) && Object.values(each).every(plain));
  const picture = (each) => each && typeof each.id === "string" && /^data:image\/jpeg;base64,[A-Za-z0-9+/=]*$/.test(each.data);

  // Reads a file that should be a record of this card. Returns {record} or {fault}, a sentence.
  function read(text, card) {
    let found;
    try {
      found = JSON.parse(text);
    } catch {
      return { fault: say("This file can't be read: it is damaged, or no record at all. Nothing was changed.") };
    }
    if (!found || ![FORMAT, KEPT].includes(found.format) || !Array.isArray(found.events) || !found.card) {
      return { fault: say("This file is no record of a checklist. Nothing was changed.") };
    }
    const { machine, id, revision, digest } = found.card;
    if (machine !== card.machine || id !== card.id) {
      return { fault: say("This file is a record of {name}, and this checklist is {own}. Nothing was changed.", { name: `${machine}/${id}`, own: `${card.machine}/${card.id}` }) };
    }
    if (revision !== card.revision) {
      return { fault: say("This file is a record of revision {revision}, and this checklist is revision {own}: go on with the checklist of revision {revision}. Nothing was changed.", { revision, own: card.revision }) };
    }
    if (digest !== card.digest) {
      return { fault: say("This file is a record of revision {revision} with other content than this checklist's. Nothing was changed.", { revision }) };
    }
    if (!sane(found) || !job.fold(found.events, walk.make(card)).state.begun) {
      return { fault: say("This file can't be read: it is damaged, or no record at all. Nothing was changed.") };
    }
    return { record: { ...found, photos: (Array.isArray(found.photos) ? found.photos : []).filter(picture) } };
  }

  return Object.freeze({ make, kept, read, identity, FORMAT });
})();
