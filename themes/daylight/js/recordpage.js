// The record as a page to print: who, when, which way, each reading with its meter, band and verdict.
"use strict";
const recordPage = (() => {
  const row = (name, ...words) => panel.el("tr", {}, panel.el("th", { scope: "row" }, name), panel.el("td", {}, ...words));

  function draw(made, card) {
    const people = [...new Set(made.people.map((each) => each.who)), made.second].filter(Boolean).join(", ");
    return [
      panel.el("h2", {}, "Record"),
      panel.el("table", {},
        row("Procedure", `${card.title} (${made.card.machine}/${made.card.id})`),
        row("Revision", `${made.card.revision}, ${made.card.state}`),
        row("Digest", made.card.digest),
        row("Machine", `${card.machine_name}, serial number ${made.serial}`),
        row("Worked", `${clock.day(made.begun)} to ${clock.day(made.end.at)}, by ${people}`),
        row("End", `${made.end.kind === "finding" ? `finding ${made.end.number}, ${made.end.title}` : made.end.kind}; left ${made.end.left}`),
        row("Locked", made.left_as.locked.join(", ") || "nothing"),
        row("Open", made.left_as.open.join(", ") || "nothing"),
        row("Job", made.job)),
      panel.el("table", { class: "path" },
        panel.el("thead", {}, panel.el("tr", {}, ...["Step", "What was done", "Result", "When, who"].map((words) => panel.el("th", { scope: "col" }, words)))),
        panel.el("tbody", {}, ...made.path.map(step))),
      ...made.stops.map((stop) => panel.el("p", {}, `${clock.day(stop.at)} stopped at step ${stop.step} by ${stop.who}: ${stop.reason} ${stop.text}${stop.asked ? ` Asked ${stop.asked}: ${stop.answer}` : ""}`)),
      ...made.pauses.map((pause) => panel.el("p", {}, `${clock.day(pause.at)} a break of ${clock.spell(pause.seconds)}.`)),
      ...made.clock.map((slip) => panel.el("p", {}, `${clock.day(slip.at)} the clock of the device was moved by ${slip.seconds} s.`)),
      ...made.notes.map((note) => panel.el("p", {}, `${clock.day(note.at)} note at step ${note.step} by ${note.who}: ${note.text}`)),
      ...made.photos.map((photo) => panel.el("img", { src: photo.data, alt: `Photo taken at step ${photo.step}, ${clock.day(photo.at)}` })),
    ];
  }

  function step(visit) {
    const marks = [visit.undone ? "undone" : "", visit.again ? "proved again" : "", visit.confirmed_by ? `confirmed by ${visit.confirmed_by}` : ""];
    const entries = visit.entries.filter((entry) => entry.value).map((entry) => `${entry.label}: ${entry.value === "true" ? "done" : entry.value}`);
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
    return `${values}${meter ? ` with ${meter}` : ""} (${found.band.sentence}): ${found.verdict.sentence}`;
  }

  return Object.freeze({ draw });
})();
