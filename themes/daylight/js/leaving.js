// How a machine is left where the card has no steps for it: lines that are ticked one by one.
"use strict";
const leaving = (() => {
  const { it } = desk;
  const open = () => ledger.items(it.state, it.way).filter((item) => !item.closed).map((item) => item.name);

  function lines(left) {
    if (left === "ready") {
      return [
        say("Nothing is open, loose or in place that was not so before the work."),
        say("Tools are out of the machine, and everybody stands clear of it."),
        say("The machine stands as it did before the work, and may be used."),
      ];
    }
    const locks = ledger.locks(it.state, it.way);
    const loose = open();
    return [
      locks.length ? say("My locks and tags stay on: {names}.", { names: locks.join(", ") }) : say("The machine is shut down and isolated, with my lock and tag on, as the site's programme says."),
      ...(loose.length ? [say("Everything stays as it stands: {names}.", { names: loose.join(", ") })] : []),
      say("A danger tag with date, name and reason hangs on the machine."),
      say("I have reported it to the person in charge."),
    ];
  }

  // Whether the machine can have been left as it was before the work.
  const mayBeReady = () => !ledger.locks(it.state, it.way).length && !open().length;

  function draw(box) {
    const { at } = it.state;
    const finding = at && at.kind === "finding" ? it.way.finding(at.number) : null;
    const left = finding && !finding.closing ? (finding.leave === "as-final" ? "ready" : "locked") : wanted();
    const make = [];
    if (at && at.kind === "stopped") make.push(why, choice);
    if ((finding && !finding.closing) || (at && at.kind === "stopped" && left)) make.push(() => ticks(left));
    if (at && at.kind === "ended") make.push(summary);
    box.hidden = !make.length;
    const key = JSON.stringify([at, left, it.state.stops.length, it.about && it.about.job]);
    panel.refill(box, make.length ? key : "", () => make.flatMap((each) => each()));
    for (const field of box.querySelectorAll("input")) {
      const value = it.state.values[field.name];
      field.checked = field.type === "radio" ? value === field.value : value === true;
    }
  }

  const wanted = () => it.state.values.left || (mayBeReady() ? "" : "locked");

  function why() {
    const stop = it.state.stops.at(-1);
    const step = it.way.step(stop.step);
    return [
      panel.el("h2", {}, say("Stopped")),
      panel.el("p", {}, say("At step {number}: {command}", step)),
      panel.el("p", {}, panel.el("b", {}, say(stop.reason)), stop.text ? ` ${stop.text}` : ""),
      panel.el("p", {}, panel.button(say("I have asked: do the step again"), menu.asked)),
    ];
  }

  function choice() {
    if (!mayBeReady()) return [];
    const one = (key, words) =>
      panel.el("label", { class: "way" }, panel.el("input", { type: "radio", name: "left", value: key }), panel.el("span", {}, words));
    return [
      panel.el("fieldset", { class: "ways" }, panel.el("legend", {}, say("How do you leave the machine?")),
        one("locked", say("Locked and tagged")), one("ready", say("As it was before the work"))),
    ];
  }

  function ticks(left) {
    return [
      panel.el("h2", {}, say("Before you end")),
      ...lines(left).map((line, place) => {
        const field = panel.el("input", { type: "checkbox", name: `leave-${left}-${place}` });
        return panel.el("label", { class: "require" }, field, panel.el("span", {}, line));
      }),
    ];
  }

  function summary() {
    const { end, left_as: as } = desk.made();
    return [
      panel.el("h2", {}, say("{serial}: ended {time}", { serial: it.state.begun.serial, time: clock.day(end.at) })),
      panel.el("p", {}, recordPage.ended(end)),
      as.locked.length ? panel.el("p", {}, say("Locked: {names}.", { names: as.locked.join(", ") })) : null,
      as.open.length ? panel.el("p", {}, say("Open or in place: {names}.", { names: as.open.join(", ") })) : null,
      panel.el("p", { class: "buttons" }, panel.button(say("Print the record"), menu.print), panel.button(say("Another machine"), menu.others)),
    ].filter(Boolean);
  }

  return Object.freeze({ lines, open, draw });
})();
