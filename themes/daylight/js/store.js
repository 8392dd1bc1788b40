// Keeps the events of all jobs on this device, each in two places, and says in how many it now stands.
"use strict";
const store = (() => {
  const PREFIX = "benchleaf-job:";
  let database = null;

  // Resolves once the stores are tried; a store that cannot be had is done without.
  function open() {
    return new Promise((done) => {
      let request;
      try {
        request = indexedDB.open("benchleaf-jobs", 1);
      } catch {
        return done();
      }
      request.onupgradeneeded = () => {
        request.result.createObjectStore("events", { keyPath: ["job", "n"] });
        request.result.createObjectStore("jobs", { keyPath: "job" });
        request.result.createObjectStore("photos", { keyPath: ["job", "id"] });
      };
      request.onsuccess = () => {
        database = request.result;
        database.onversionchange = () => database.close();
        database.onclose = () => (database = null);
        if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => false);
        done();
      };
      request.onerror = request.onblocked = () => done();
    });
  }

  // Resolves to what `ask` requested, or to `otherwise` when the database fails.
  function within(names, mode, ask, otherwise) {
    return new Promise((done) => {
      if (!database) return done(otherwise);
      try {
        const transaction = database.transaction(names, mode, { durability: "strict" });
        const request = ask(transaction);
        transaction.oncomplete = () => done(request ? request.result : true);
        transaction.onerror = transaction.onabort = () => done(otherwise);
      } catch {
        done(otherwise);
      }
    });
  }

  const local = (name) => {
    try {
      return localStorage.getItem(PREFIX + name);
    } catch {
      return null;
    }
  };

  function putLocal(name, value) {
    try {
      const text = JSON.stringify(value);
      localStorage.setItem(PREFIX + name, text);
      return localStorage.getItem(PREFIX + name) === text ? 1 : 0;
    } catch {
      return 0;
    }
  }

  function localNames(start) {
    try {
      return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX + start)).map((key) => key.slice(PREFIX.length));
    } catch {
      return [];
    }
  }

  // What stands there as JSON; undefined for what is no JSON.
  function read(name) {
    try {
      return JSON.parse(local(name));
    } catch {
      return undefined;
    }
  }

  // All jobs of all checklists that this device knows, the newest first.
  async function jobs() {
    const found = new Map();
    for (const name of localNames("about:")) {
      const about = read(name);
      if (about && about.job) found.set(about.job, about);
    }
    for (const about of await within("jobs", "readonly", (t) => t.objectStore("jobs").getAll(), [])) {
      const other = found.get(about.job);
      if (!other || other.n <= about.n) found.set(about.job, about);
    }
    return [...found.values()].sort((a, b) => (a.last < b.last ? 1 : -1));
  }

  // Events of a job from both places in their order, and the numbers of all that stands there, readable or not.
  async function load(job) {
    const found = new Map();
    const start = `event:${job}:`;
    const numbers = new Set();
    const take = (n, event) => {
      if (!Number.isInteger(n)) return;
      numbers.add(n);
      if (event && typeof event === "object" && event.n === n && typeof event.kind === "string") found.set(n, event);
    };
    for (const name of localNames(start)) take(Number(name.slice(start.length)), read(name));
    for (const row of await within("events", "readonly", (t) => t.objectStore("events").getAll(rangeOf(job)), [])) take(row.n, row.event);
    const order = [...numbers].sort((a, b) => a - b);
    return { events: order.filter((n) => found.has(n)).map((n) => found.get(n)), numbers: order };
  }

  const rangeOf = (job) => (globalThis.IDBKeyRange ? IDBKeyRange.bound([job], [job, []]) : null);

  // The second copy, made at once and without waiting: whether it stands there now.
  const jot = ({ about, event }) => Boolean(putLocal(`event:${about.job}:${event.n}`, event) && putLocal(`about:${about.job}`, about));

  // The first copy: resolves to whether the database holds all these {about, event} now.
  const append = (batch) =>
    within(["events", "jobs"], "readwrite", (t) => {
      for (const { about, event } of batch) {
        t.objectStore("events").put({ job: about.job, n: event.n, event });
        t.objectStore("jobs").put(about);
      }
      return null;
    }, false);

  // Resolves to whether the photo is kept; photos have one place only.
  const keepPhoto = (job, photo) =>
    within("photos", "readwrite", (t) => (t.objectStore("photos").put({ job, ...photo }), null), false);
  const photos = (job) => within("photos", "readonly", (t) => t.objectStore("photos").getAll(rangeOf(job)), []);

  // The second copy of a job that has ended, once the first is there: local storage is small.
  async function lighten(job) {
    const kept = await within("events", "readonly", (t) => t.objectStore("events").count(rangeOf(job)), 0);
    const names = localNames(`event:${job}:`);
    if (kept < names.length) return;
    for (const name of names) localStorage.removeItem(PREFIX + name);
  }

  const isOurs = (key) => Boolean(key) && key.startsWith(PREFIX);

  return Object.freeze({ open, jobs, load, jot, append, keepPhoto, photos, lighten, isOurs, PREFIX });
})();
