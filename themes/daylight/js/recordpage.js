// The record as a page to print: who, when, which way, each reading with its meter, band and verdict.
"use strict";
const recordPage = (() => {
  const row = (name, ...words) => panel.el("tr", {}, panel.el("th", { scope: "row" }, name), panel.el("td", {}, ...words));

  function draw(made, card) {
    const people = [...new Set(made.people.map((each) => each.who)), made.second].filter(Boolean).join(", ");
    return [
      panel.el("h2", {}, say("Record")),
      panel.el("table", {},
        row(say("Procedure"), `${card.title} (${made.card.machine}/${made.card.id})`),
        row(say("Revision"), `${made.card.revision}, ${states()[made.card.state] || made.card.state}`),
        row(say("Digest"), made.card.digest),
        row(say("Machine"), say("{machine}, serial number {serial}", { machine: card.machine_name, serial: made.serial })),
        row(say("Worked"), say("{begin} to {end}, by {people}", { begin: clock.day(made.begun), end: clock.day(made.end.at), people })),
        row(say("End"), ended(made.end)),
        row(say("Locked"), made.left_as.locked.join(", ") || say("nothing")),
        row(say("Open"), made.left_as.open.join(", ") || say("nothing")),
        row(say("Job"), made.job)),
      panel.el("table", { class: "path" },
        panel.el("thead", {}, panel.el("tr", {}, ...[say("Step"), say("What was done"), say("Result"), say("When, who")].map((words) => panel.el("th", { scope: "col" }, words)))),
        panel.el("tbody", {}, ...made.path.map(step))),
      ...made.stops.map((stop) => panel.el("p", {}, [say("{time} stopped at step {step} by {who}: {reason}", { time: clock.day(stop.at), step: stop.step, who: stop.who, reason: say(stop.reason) }), stop.text, stop.asked ? say("Asked {asked}: {answer}", stop) : ""].filter(Boolean).join(" "))),
      ...made.pauses.map((pause) => panel.el("p", {}, say("{time} a break of {length}.", { time: clock.day(pause.at), length: clock.spell(pause.seconds) }))),
      ...made.clock.map((slip) => panel.el("p", {}, say("{time} the clock of the device was moved by {seconds} s.", { time: clock.day(slip.at), seconds: slip.seconds }))),
      ...made.gaps.map((gap) => panel.el("p", {}, say("{time} {count} entries could not be read: what came behind entry {after} does not count.", { ...gap, time: clock.day(gap.at) }))),
      ...made.notes.map((note) => panel.el("p", {}, say("{time} note at step {step} by {who}: {text}", { ...note, time: clock.day(note.at) }))),
      ...made.photos.map((photo) => panel.el("img", { src: photo.data, alt: say("Photo taken at step {step}, {time}", { step: photo.step, time: clock.day(photo.at) }) })),
    ];
  }

  const states = () => ({ draft: say("draft"), "in review": say("in review"), released: say("released"), superseded: say("superseded"), withdrawn: say("withdrawn") });

  // How the job ended and the machine is left, in whole sentences.
  function ended(end) {
    const found = end.kind === "finding" ? say("Finding {number}, {title}.", end) : end.kind === "stopped" ? say("Stopped before the end.") : say("All steps are done.");
    return `${found} ${end.left === "as-final" ? say("The machine is left ready for use.") : say("The machine is left out of service.")}`;
  }

  function step(visit) {
    const marks = [visit.undone ? say("undone") : "", visit.again ? say("proved again") : "", visit.confirmed_by ? say("confirmed by {name}", { name: visit.confirmed_by }) : ""];
    const entries = visit.entries.filter((entry) => entry.value).map((entry) => `${entry.label}: ${entry.value === "true" ? say("done") : entry.value}`);
    return panel.el("tr", {},
      panel.el("td", {}, String(visit.step)),
      panel.el("td", {}, visit.command),
      panel.el("td", {}, [reading(visit.reading), visit.answer, ...entries, ...marks].filter(Boolean).join("; ")),
      panel.el("td", {}, `${clock.hour(visit.to)} ${visit.who}`));
  }

  function reading(found) {
    if (!found) return "";
    const values = found.values.map((each) => `${each.label && found.values.length > 1 ? `${each.label} ` : ""}${each.typed} ${each.unit}`).join(", ");
    const meter = [found.meter.name, found.meter.number].filter(Boolean).join(" ");
    return `${values}${meter ? ` ${say("with {meter}", { meter })}` : ""} (${found.band.sentence}): ${found.verdict.sentence}`;
  }

  return Object.freeze({ draw, ended });
})();
