// The job in hand: takes what happens, sees to breaks and clocks first, folds it in, and has it kept.
"use strict";
const desk = (() => {
  const it = { card: null, way: null, about: null, events: [], state: null, photos: [], sound: 0, highest: 0, unread: 0, bare: 0, places: 2, savedAt: "" };
  let waiting = [];
  let writing = null;
  let changed = () => {};

  function ready(card, onChange) {
    it.card = card;
    it.way = walk.make(card);
    it.state = job.fresh();
    changed = onChange;
  }

  // A new job: its key is drawn, so that two jobs on one machine are two.
  function begin(facts) {
    const drawn = [...crypto.getRandomValues(new Uint8Array(12))].map((each) => each.toString(16).padStart(2, "0")).join("");
    take({ job: drawn, card: { ...record.identity(it.card), tool: it.card.tool }, serial: facts.serial, n: 0, last: "", ended: false }, [], []);
    happen("begin", facts);
  }

  // A job from the store or from a file: its events are told again, as far as they can be read; all of them stay kept.
  function take(about, events, numbers) {
    const { state, sound } = job.fold(events, it.way);
    const unread = numbers.filter((n) => n > sound).length;
    Object.assign(it, { about, events, state, sound, highest: numbers.at(-1) || 0, photos: [], unread, bare: 0 });
  }

  // Goes on behind entries that can't be read: they stay kept, and the record says so.
  function mend() {
    if (it.unread && !it.state.ended) add("mend", { after: it.sound, count: it.unread });
  }

  async function resume(about) {
    const { events, numbers } = await store.load(about.job);
    take(about, events, numbers);
    it.photos = await store.photos(about.job);
    if (!it.state.begun) return false;
    mend();
    rest();
    changed();
    return true;
  }

  // A record from a file becomes the job again, and is kept here from now on.
  async function restore(found) {
    const { events, photos, job: name, serial } = found;
    const about = { job: name, card: { ...found.card, tool: found.tool }, serial, n: 0, last: "", ended: false };
    take(about, events, events.map((each) => each.n));
    it.photos = photos;
    for (const photo of photos) if (!(await store.keepPhoto(name, { id: photo.id, data: photo.data }))) it.bare += 1;
    for (const event of events) keep(event);
    mend();
    await writing;
    rest();
    changed();
  }

  // Something happens: false where a break came to light that has to be seen to first.
  function happen(kind, facts) {
    if (it.state.begun && !it.state.ended && rest()) return false;
    add(kind, facts);
    changed();
    return true;
  }

  function add(kind, facts) {
    const event = { n: it.highest + 1, at: clock.now(), kind, ...facts };
    job.apply(it.state, event, it.way);
    it.events.push(event);
    it.highest = event.n;
    clock.touch();
    keep(event);
  }

  // Tells of a clock that was moved and of a break that was too long; true when zero has to be proved again.
  function rest() {
    if (it.state.ended) return false;
    const { gap, back } = clock.since(it.state.last);
    const ahead = clock.ranAhead();
    if (back || ahead) add("clock", { seconds: ahead || -back });
    const { pause } = it.card;
    if (!pause || (gap <= pause && !back)) return false;
    const before = it.state.again;
    add("pause", { seconds: Math.round(gap) });
    const again = Boolean(it.state.again) && it.state.again !== before;
    changed(again ? "break" : "");
    return again;
  }

  // The second copy at once; the first by one writer at a time, who tries again with whatever comes next.
  async function keep(event) {
    const state = it.state;
    const locked = ledger.locks(state, it.way);
    const about = Object.assign(it.about, { n: event.n, last: event.at, ended: Boolean(state.ended), where: where(), locked });
    const entry = { about: { ...about }, event };
    waiting.push({ ...entry, jotted: store.jot(entry) });
    if (writing) return writing;
    writing = write();
    await writing;
    writing = null;
  }

  async function write() {
    let places = 2;
    let tried = 0;
    while (waiting.length > tried) {
      const batch = waiting.slice();
      const kept = await store.append(batch);
      for (const entry of batch) entry.jotted ||= store.jot(entry);
      const jotted = batch.every((entry) => entry.jotted);
      if (kept || jotted) waiting = waiting.slice(batch.length);
      else tried = batch.length;
      const now = Number(kept) + Number(jotted);
      if (now) it.savedAt = clock.now();
      if (now) places = Math.min(places, now);
      it.places = now ? places : 0;
      const last = batch.at(-1).about;
      if (now === 2 && last.ended) await store.lighten(last.job);
    }
    changed("saved");
  }

  // The page may be gone in a moment: all that still waits goes to the database now.
  const flush = () => waiting.length && store.append(waiting);

  // The day until which a meter's calibration is good by its label, or else by the card; empty where nobody says.
  const due = (meter) => meter.due || (it.card.meters[meter.key] || { due: "" }).due;

  const allKept = () => !waiting.length;
  const where = () => (it.state.at && it.state.at.step ? say("step {number}", { number: it.state.at.step }) : it.state.at ? place(it.state.at.kind) : "");
  // Where a job stands that is at no step.
  const place = (kind) => ({ finding: say("finding"), stopped: say("stopped"), ended: say("ended") })[kind] || kind;

  async function photo(data) {
    const id = `${it.about.job.slice(0, 6)}-${it.highest + 1}`;
    it.photos.push({ id, data });
    if (!(await store.keepPhoto(it.about.job, { id, data }))) it.bare += 1;
    return happen("photo", { id });
  }

  const made = () => record.make(it.about, it.events, it.state, it.way, it.photos);

  // Another page may have worked on the same job: take over what it wrote.
  async function catchUp() {
    if (!it.about || waiting.length) return;
    const { events, numbers } = await store.load(it.about.job);
    if ((numbers.at(-1) || 0) <= it.highest) return;
    take(it.about, events, numbers);
    it.photos = await store.photos(it.about.job);
    changed();
  }

  const overheard = (key) => it.about && store.isOurs(key) && key.includes(`event:${it.about.job}:`) && catchUp();

  function leave() {
    Object.assign(it, { about: null, events: [], state: job.fresh(), photos: [], sound: 0, highest: 0, unread: 0, bare: 0 });
    changed();
  }

  return Object.freeze({ it, ready, begin, resume, restore, happen, rest, photo, made, overheard, catchUp, leave, flush, allKept, where, due });
})();
