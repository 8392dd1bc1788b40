// Before the work: which machine, who works, what has to be true; and the jobs that are already kept here.
"use strict";
const start = (() => {
  const { it } = desk;
  const typed = (name) => (document.querySelector(`#start [name="${name}"]`) || { value: "" }).value.trim();
  const DRAFT = `benchleaf-start:${document.title}`;
  const GONE = new Set(["withdrawn", "superseded"]);
  let odd = "";

  function begin() {
    if (GONE.has(it.card.state)) return view.refuse(say("This card no longer holds: begin no work with it. Take the current one."), "serial");
    const [serial, who, second] = ["serial", "who", "second"].map(typed);
    if (!serial) return view.refuse(say("Write the serial number from the plate of the machine first."), "serial");
    if (!who) return view.refuse(say("Write your name first."), "who");
    const open = document.querySelector("main > .about .require input:not(:checked)");
    if (open) return view.refuse(say("Tick first what must be true before you start."), open.name);
    const strange = unlike(serial);
    // Where other machines have cards of their own, nobody begins with the wrong one.
    if (strange && it.card.others) return view.refuse(`${strange} ${say("Take the card that is for it.")}`, "serial");
    if (strange && odd !== serial) {
      odd = serial;
      return view.refuse(`${strange} ${say("Look at the plate again; begin once more if it is right.")}`, "serial");
    }
    hold("");
    desk.begin({ serial, who, second, odd: Boolean(strange) });
    remember();
    view.arrive();
  }

  // A sentence where the serial number does not look like those of the card.
  function unlike(serial) {
    const { ranges, serials } = it.card;
    const fits = ranges.some(({ prefix, first, last }) => {
      const tail = serial.startsWith(prefix) ? serial.slice(prefix.length) : "";
      return /^\d+$/.test(tail) && Number(tail) >= Number(first) && (!last || Number(tail) <= Number(last));
    });
    return fits || !ranges.length ? "" : say("{serial} is none of {serials}.", { serial, serials });
  }

  function remember() {
    try {
      sessionStorage.setItem("benchleaf-open", it.about ? it.about.job : "");
    } catch {
      odd = "";
    }
  }

  function remembered() {
    try {
      return sessionStorage.getItem("benchleaf-open");
    } catch {
      return null;
    }
  }

  const mine = (about) =>
    about.card && about.card.digest === it.card.digest && about.card.id === it.card.id && about.card.machine === it.card.machine;

  // After a restart: the job that this tab had open, else the only one that is not ended.
  async function open() {
    const jobs = await store.jobs();
    const left = jobs.filter((about) => mine(about) && !about.ended);
    const last = remembered();
    const alone = last === null && left.length === 1 && fresh(left[0]) ? left[0] : null;
    const about = left.find((each) => each.job === last) || alone;
    if (about) await resume(about);
    await draw();
    refill();
  }

  // After a longer break somebody may stand at another machine: then the list asks.
  const fresh = (about) => Math.abs(clock.between(about.last, clock.now())) < (it.card.pause || 3600);

  // What was typed here before the work began, until it begins.
  function draft() {
    const fields = [...document.querySelectorAll("#start [name], main > .about .require input")];
    hold(JSON.stringify(fields.map((field) => [field.name, field.type === "checkbox" ? field.checked : field.value])));
  }

  function hold(text) {
    try {
      localStorage.setItem(DRAFT, text);
    } catch {
      odd = "";
    }
  }

  function refill() {
    let kept = null;
    try {
      kept = JSON.parse(localStorage.getItem(DRAFT));
    } catch {
      return;
    }
    for (const [name, value] of Array.isArray(kept) ? kept : []) {
      const field = document.querySelector(`[name="${CSS.escape(name)}"]`);
      if (field && field.type === "checkbox") field.checked = value === true;
      else if (field) field.value = value;
    }
  }

  async function resume(about) {
    const done = await desk.resume(about);
    if (!done) {
      desk.leave();
      panel.show(about.serial, (close) => [
        panel.el("p", {}, say("What was kept of {serial} can't be read. It stays kept; nothing was changed.", about)),
        panel.button(say("Save what is kept of {serial} as a file", about), () => hand(about), "choice"),
        panel.button(say("Close"), close, "choice"),
      ]);
    }
    remember();
    if (done) view.arrive();
  }

  async function draw() {
    const box = document.getElementById("jobs");
    const jobs = (await store.jobs()).filter((about) => about.card && about.card.id === it.card.id && about.card.machine === it.card.machine);
    const open = jobs.filter((about) => mine(about));
    const strange = jobs.filter((about) => !mine(about) && !about.ended);
    box.replaceChildren(
      ...open.filter((about) => !about.ended).map((about) => panel.button(say("Go on with {serial}: {where}, {time}", { serial: about.serial, where: about.where, time: clock.day(about.last) }), () => resume(about), "job")),
      ...open.filter((about) => about.ended).slice(0, 5).map((about) => panel.button(say("Look at {serial}, ended {time}", { serial: about.serial, time: clock.day(about.last) }), () => resume(about), "job ended")),
      ...strange.flatMap((about) => [panel.el("p", { class: "strange" }, about.card.revision === it.card.revision
        ? say("{serial} was begun with revision {revision} of other content: it is kept, and goes on with that checklist only.", { serial: about.serial, revision: about.card.revision })
        : say("{serial} was begun with revision {revision}: it is kept, and goes on with that checklist only.", { serial: about.serial, revision: about.card.revision }), " ", standing(about)), panel.button(say("Save what is kept of {serial} as a file", about), () => hand(about), "job")]),
    );
    box.hidden = !box.hasChildNodes();
  }

  // How that job left off: a machine may stand locked.
  const standing = (about) => (about.locked && about.locked.length ? say("At {where}, locked: {names}.", { where: about.where, names: about.locked.join(", ") }) : say("At {where}.", about));

  async function hand(about) {
    const { events } = await store.load(about.job);
    const text = JSON.stringify(record.kept(about, events, await store.photos(about.job)), null, 1);
    files.save(`${about.serial}_${about.card.id}_${about.card.revision}_kept.json`, text);
  }

  return Object.freeze({ begin, open, draw, draft, hand, remember });
})();
