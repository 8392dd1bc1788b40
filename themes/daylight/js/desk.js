// The job in hand: takes what happens, sees to breaks and clocks first, folds it in, and has it kept.
"use strict";
const desk = (() => {
  const it = { card: null, way: null, about: null, events: [], state: null, photos: [], unread: 0, places: 2, savedAt: "" };
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
    take({ job: drawn, card: { ...record.identity(it.card), tool: it.card.tool }, serial: facts.serial, n: 0, last: "", ended: false }, []);
    happen("begin", facts);
  }

  // A job from the store or from a file: its events are told again; those that make no sense are counted, and kept.
  function take(about, events) {
    Object.assign(it, { about, events: [], state: job.fresh(), photos: [], unread: 0 });
    for (const event of events) {
      try {
        job.apply(it.state, event, it.way);
      } catch {
        it.unread += 1;
      }
      it.events.push(event);
    }
  }

  async function resume(about) {
    const { events, spoilt } = await store.load(about.job);
    take(about, events);
    it.unread += spoilt;
    it.photos = await store.photos(about.job);
    if (!it.state.begun) return false;
    rest();
    changed();
    return true;
  }

  // A record from a file becomes the job again, and is kept here from now on.
  async function restore(found) {
    const { events, photos, job: name, serial } = found;
    take({ job: name, card: found.card && { ...found.card, tool: found.tool }, serial, n: 0, last: "", ended: false }, []);
    for (const photo of photos) await store.keepPhoto(name, { id: photo.id, data: photo.data });
    take(it.about, events);
    it.photos = photos;
    for (const event of events) keep(event);
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
    const last = it.events.at(-1);
    const event = { n: last ? last.n + 1 : 1, at: clock.now(), kind, ...facts };
    job.apply(it.state, event, it.way);
    it.events.push(event);
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

  // One writer at a time; what could not be kept is tried again with whatever comes next.
  async function keep(event) {
    const about = Object.assign(it.about, { n: event.n, last: event.at, ended: Boolean(it.state.ended), where: where() });
    waiting.push({ about: { ...about }, event });
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
      if (kept) waiting = waiting.slice(batch.length);
      else tried = batch.length;
      places = Math.min(places, kept);
      it.places = waiting.length ? Math.min(1, places) : places;
      if (!kept) it.places = 0;
      if (kept) it.savedAt = clock.now();
      const last = batch.at(-1).about;
      if (kept === 2 && last.ended) await store.lighten(last.job);
    }
    changed("saved");
  }

  const allKept = () => !waiting.length;
  const where = () => (it.state.at && it.state.at.step ? say("step {number}", { number: it.state.at.step }) : it.state.at ? place(it.state.at.kind) : "");
  // Where a job stands that is at no step.
  const place = (kind) => ({ finding: say("finding"), stopped: say("stopped"), ended: say("ended") })[kind] || kind;

  async function photo(data) {
    const id = `${it.about.job.slice(0, 6)}-${it.photos.length + 1}`;
    it.photos.push({ id, data });
    await store.keepPhoto(it.about.job, { id, data });
    return happen("photo", { id });
  }

  const made = () => record.make(it.about, it.events, it.state, it.way, it.photos);

  // Another page worked on the same job: take over what it wrote.
  async function overheard(key) {
    if (!it.about || !store.isOurs(key) || !key.includes(`event:${it.about.job}:`)) return;
    const { events } = await store.load(it.about.job);
    if (events.length <= it.events.length) return;
    take(it.about, events);
    it.photos = await store.photos(it.about.job);
    changed();
  }

  function leave() {
    Object.assign(it, { about: null, events: [], state: job.fresh(), photos: [], unread: 0 });
    changed();
  }

  return Object.freeze({ it, ready, begin, resume, restore, happen, rest, photo, made, overheard, leave, allKept, where });
})();
